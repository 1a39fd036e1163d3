//! Holes of set-in tubes, read as walls: cut square to the body's wall they let the tube pass. The reading lays a place of
//! the outline back onto the skin by formulas of its own, and follows the cut's wall down to the inner skin.

mod support;

use std::f64::consts::TAU;

use girthline::job::read::read_job;
use girthline::job::{HoleInBody, resolve};
use girthline::solver::{HoleOutline, hole_outline};
use glam::DVec3;
use kurbo::{ParamCurve, PathSeg, Point};
use support::Shop;

/// A solved outline keeps to what is drawn within so many millimetres.
const FITTED: f64 = 0.005;
/// A solved place is on one of the two outlines within so many millimetres.
const SOLVED: f64 = 1e-6;

/// A body about +z with its zero line towards +x, or a plate square to +z: the outside, and how thick it is.
#[derive(Debug, Clone, Copy)]
enum Shape {
    Cylinder(f64),
    /// Radius at its end, and by how much it grows per millimetre along.
    Cone(f64, f64),
    Plate,
    /// Half its greatest diameter, which lies along x, and half its smallest.
    Oval(f64, f64),
}

#[derive(Debug, Clone, Copy)]
struct Case {
    shape: Shape,
    wall: f64,
    tube: &'static str,
    /// Half width, half height and corner radius of what has to pass, without the clearance.
    half: [f64; 3],
    turned: f64,
    clearance: f64,
    /// In degrees from the zero line, or in millimetres on a plate.
    round: f64,
    step: [f64; 3],
}

const ROUND: Case = Case {
    shape: Shape::Cylinder(150.0),
    wall: 3.0,
    tube: "60.3mm x 2mm",
    half: [30.15, 30.15, 30.15],
    turned: 0.0,
    clearance: 0.0,
    round: 20.0,
    step: [0.0, 0.0, 0.0],
};

/// A step from the skin straight out, out and up, and askew.
fn steps(shape: Shape, round: f64) -> Vec<[f64; 3]> {
    let (sin, cos) = round.to_radians().sin_cos();
    let (out, aside, up) = match shape {
        Shape::Plate => (DVec3::Z, DVec3::X, DVec3::Y),
        _ => (DVec3::new(cos, sin, 0.0), DVec3::new(-sin, cos, 0.0), DVec3::Z),
    };
    let square = match shape {
        Shape::Cone(_, growth) => out - growth * up,
        _ => out,
    };
    let ways = [
        square,
        out,
        out + 0.4 * up,
        out - 0.3 * up + 0.35 * aside,
        square + 0.25 * aside,
    ];
    ways.map(|way| (300.0 * way.normalize()).to_array()).to_vec()
}

fn cases() -> Vec<Case> {
    let shapes = [
        (Shape::Cylinder(150.0), 3.0),
        (Shape::Cylinder(60.0), 6.0),
        (Shape::Cone(300.0, -0.2), 3.0),
        (Shape::Cone(200.0, 0.15), 3.0),
        (Shape::Cone(400.0, -1.0), 6.0),
        (Shape::Cone(150.0, 1.0), 6.0),
        (Shape::Plate, 10.0),
        (Shape::Oval(160.0, 140.0), 4.0),
    ];
    let mut cases = Vec::new();
    for (shape, wall) in shapes {
        let round = if matches!(shape, Shape::Plate) { 15.0 } else { 20.0 };
        for step in steps(shape, round) {
            let plain = Case {
                shape,
                wall,
                round,
                step,
                ..ROUND
            };
            cases.push(plain);
            cases.push(Case {
                clearance: 0.8,
                ..plain
            });
            cases.push(Case {
                tube: "rect 60mm x 40mm x 2mm r 6mm",
                half: [30.0, 20.0, 6.0],
                turned: 25.0,
                clearance: 0.5,
                ..plain
            });
        }
    }
    cases
}

impl Case {
    fn hole(&self) -> HoleInBody {
        let Self {
            wall,
            tube,
            turned,
            clearance,
            round,
            step,
            ..
        } = *self;
        let axis = r#""from": [0, 0, 0], "to": [0, 0, 200], "zero": [1, 0, 0]"#;
        let body = match self.shape {
            Shape::Cylinder(radius) => format!(
                r#""shape": "cylinder", "size": "{}mm x {wall}mm", {axis}"#,
                2.0 * radius
            ),
            Shape::Cone(radius, growth) => format!(
                r#""shape": "cone", "size": "{}mm x {wall}mm", "size_to": "{}mm x {wall}mm", {axis}"#,
                2.0 * radius,
                2.0 * (radius + 200.0 * growth)
            ),
            Shape::Plate => {
                format!(r#""shape": "plane", "size": "{wall}mm", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [0, 1, 0]"#)
            }
            Shape::Oval(wide, high) => format!(
                r#""shape": "cylinder", "size": "girth {:.9}mm x {wall}mm", "section": {{ "oval": [{}, {}] }}, {axis}"#,
                Oval(wide, high).girth(),
                2.0 * wide,
                2.0 * high
            ),
        };
        let turned = if turned == 0.0 {
            String::new()
        } else {
            format!(r#""turned": {turned}, "#)
        };
        let round = if matches!(self.shape, Shape::Plate) {
            round.to_string()
        } else {
            format!("\"{round}deg\"")
        };
        let text = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "{tube}" }} }}, "bodies": {{ "b": {{ {body} }} }},
            "tubes": {{ "t": {{ "stock": "a", {turned}"path": [ {{ "on": "b", "along": 100, "round": {round} }}, {{ "step": {step:?} }} ],
              "start": {{ "join": "set-in", "clearance": {clearance} }} }} }} }}"#
        );
        let raw = read_job("job.json", &text).unwrap_or_else(|problems| panic!("{self:?}: {problems}"));
        let job = resolve::job_file(&raw, &raw.sheet).unwrap_or_else(|problems| panic!("{self:?}: {problems}"));
        job.joint.holes(&job.joint.tubes[0]).swap_remove(0)
    }

    /// The place on the outer skin and the way straight out of it.
    fn back_onto_the_skin(&self, place: Point) -> (DVec3, DVec3) {
        let turn = self.round.to_radians();
        let out = |angle: f64| DVec3::new(angle.cos(), angle.sin(), 0.0);
        match self.shape {
            Shape::Cylinder(radius) => {
                let normal = out(turn + place.x / radius);
                (radius * normal + place.y * DVec3::Z, normal)
            }
            Shape::Cone(radius, growth) => {
                // The tip of the sector is as far from its zero as the skin is long there.
                let sin_half = growth.abs() / growth.hypot(1.0);
                let (x, y) = (place.x, radius / sin_half + growth.signum() * place.y);
                let (distance, angle) = (x.hypot(y), turn + x.atan2(y) / sin_half);
                let across = distance * sin_half;
                let normal = (out(angle) - growth * DVec3::Z).normalize();
                (across * out(angle) + (across - radius) / growth * DVec3::Z, normal)
            }
            Shape::Plate => (DVec3::new(place.x, place.y, 0.0), DVec3::Z),
            Shape::Oval(wide, high) => {
                let oval = Oval(wide, high);
                let (across, normal) = oval.on_from((turn.sin() * wide).atan2(turn.cos() * high), place.x);
                (across + place.y * DVec3::Z, normal)
            }
        }
    }

    /// How far a place is outside of what has to pass; below 0 inside.
    fn outside(&self, hole: &HoleInBody, place: DVec3) -> f64 {
        let frame = hole.drilling.frame;
        let from = place - frame.origin;
        let (right, front) = (from.dot(frame.right), from.dot(frame.front));
        let [wide, high, corner] = self.half;
        let (x, y) = (right.abs() - (wide - corner), front.abs() - (high - corner));
        x.max(0.0).hypot(y.max(0.0)) + x.max(y).min(0.0) - corner - self.clearance
    }

    /// How far outside the cut's wall is, from the outer skin to the inner one.
    fn wall_of_cut(&self, hole: &HoleInBody, place: Point) -> Vec<f64> {
        let (top, out) = self.back_onto_the_skin(place);
        (0..=60)
            .map(|layer| self.outside(hole, top - self.wall * f64::from(layer) / 60.0 * out))
            .collect()
    }
}

/// Half its diameters along x and y.
struct Oval(f64, f64);

impl Oval {
    fn pace(&self, angle: f64) -> f64 {
        (self.0 * angle.sin()).hypot(self.1 * angle.cos())
    }

    fn girth(&self) -> f64 {
        (0..4000)
            .map(|step| self.pace(TAU * f64::from(step) / 4000.0) * TAU / 4000.0)
            .sum()
    }

    /// The place so far round from an eccentric angle, and the way out of it; by small steps through their middles.
    fn on_from(&self, mut angle: f64, arc: f64) -> (DVec3, DVec3) {
        let steps = 4000;
        for _ in 0..steps {
            let length = arc / f64::from(steps);
            let middle = angle + 0.5 * length / self.pace(angle);
            angle += length / self.pace(middle);
        }
        let (sin, cos) = angle.sin_cos();
        let normal = DVec3::new(cos / self.0, sin / self.1, 0.0).normalize();
        (DVec3::new(self.0 * cos, self.1 * sin, 0.0), normal)
    }
}

fn solved(case: &Case) -> (HoleInBody, HoleOutline) {
    let hole = case.hole();
    let outline = hole_outline(&hole.drilling).unwrap_or_else(|problem| panic!("{case:?}: {problem}"));
    (hole, outline)
}

#[test]
fn a_hole_cut_square_to_the_wall_lets_the_tube_pass_but_for_what_is_said_to_stand_in() {
    let mut most = 0.0_f64;
    for case in cases() {
        let (hole, outline) = solved(&case);
        let mut stands_in = 0.0_f64;
        for place in &outline.points {
            let wall = case.wall_of_cut(&hole, *place);
            let (top, bottom) = (wall[0], wall[60]);
            // On one of the two outlines, and inside neither.
            assert!(top.min(bottom).abs() < SOLVED, "{case:?} {place}: {top} {bottom}");
            stands_in = wall.iter().fold(stands_in, |most, outside| most.max(-outside));
        }
        let said = outline.stands_in_mm;
        assert!((stands_in - said).abs() < 2e-3, "{case:?}: {stands_in}, {said} is said");
        most = most.max(said);
    }
    assert!(
        most > 0.3,
        "there are holes at whose corners the wall stands in: {most}"
    );
}

#[test]
fn an_outline_is_closed_and_goes_on_without_a_jump() {
    for case in cases() {
        let (hole, outline) = solved(&case);
        let segments: Vec<PathSeg> = outline.path.segments().collect();
        for (index, segment) in segments.iter().enumerate() {
            let next = segments[(index + 1) % segments.len()];
            assert_eq!(segment.end(), next.start(), "{case:?}");
            for step in 0..=8 {
                let wall = case.wall_of_cut(&hole, segment.eval(f64::from(step) / 8.0));
                assert!(
                    wall[0].min(wall[60]).abs() < FITTED,
                    "{case:?}: {}",
                    wall[0].min(wall[60])
                );
            }
        }
        // What is straight between two places strays by a thousandth at most: where the outline jumped, it would leave it.
        let count = outline.points.len();
        for index in 0..count {
            let middle = outline.points[index].midpoint(outline.points[(index + 1) % count]);
            let wall = case.wall_of_cut(&hole, middle);
            let stray = wall[0].min(wall[60]);
            assert!(stray.abs() < 1.5e-3, "{case:?} {middle}: {stray}");
        }
    }
}

#[test]
fn a_job_says_by_how_much_the_wall_stands_in_on_a_cone() {
    let shop = Shop::open();
    for (clearance, is_said) in [(0.0, true), (6.0, false)] {
        let text = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "60.3mm x 2mm" }} }},
            "bodies": {{ "hopper": {{ "shape": "cone", "size": "800mm x 6mm", "size_to": "400mm x 6mm", "from": [0, 0, 0], "to": [0, 0, 200], "zero": [1, 0, 0] }} }},
            "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "hopper", "along": 100, "round": 0 }}, {{ "step": [300, 0, 0] }} ],
              "start": {{ "join": "set-in", "clearance": {clearance} }} }} }} }}"#
        );
        shop.write("job.json", text.as_bytes());
        shop.run("batch job.json --report r.json --out d.pdf").succeeds();
        let warnings = shop.report("r.json")["warnings"].to_string();
        let words = "the hole in hopper for t (piece 1, start): at the hole's two corners the wall stands in by ";
        assert_eq!(warnings.contains(words), is_said, "{clearance}: {warnings}");
    }
}
