//! Paper strips of holes in balls and dished heads: put back in space by a map of the test's own they lie on the tube that they are for.

use girthline::job::raw::Sheet;
use girthline::job::read::read_job;
use girthline::job::{Assembly, resolve};
use girthline::plan::{Gore, Gores, MOST_OFF_MM, Plan, batch};
use glam::DVec3;
use kurbo::{ParamCurveNearest, Point, Shape};
use proptest::prelude::*;
use support::{Pdf, Shop};
use trying::tried_afresh;

mod support;
mod trying;

const BALL: &str = r#""shape": "sphere", "size": "300mm x 4mm", "at": [5, 6, 7], "zero": [1, 0, 0]"#;
const KLOEPPER: &str = r#""shape": "head", "size": "600mm x 6mm", "at": [10, 20, 30], "out": [0, 1, 3], "zero": [1, 0, 0], "dish": "DIN 28011", "flange": 20"#;
const ELLIPSOID: &str = r#""shape": "head", "size": "500mm x 5mm", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [1, 0, 0], "dish": { "depth": 130 }"#;

/// What a body's skin is, in its own coordinates, y along the axis: by formulas that share nothing with the program.
#[derive(Debug, Clone, Copy)]
enum Skin {
    Ball,
    Kloepper,
    Ellipsoid,
}

impl Skin {
    fn words(self) -> &'static str {
        match self {
            Self::Ball => BALL,
            Self::Kloepper => KLOEPPER,
            Self::Ellipsoid => ELLIPSOID,
        }
    }

    fn wall(self) -> f64 {
        match self {
            Self::Ball => 4.0,
            Self::Kloepper => 6.0,
            Self::Ellipsoid => 5.0,
        }
    }

    /// How far outside the skin a place near it is, and the normal there (REFERENCES, DIN 28011: R = D, k = 0.1 D).
    fn at(self, p: DVec3) -> (f64, DVec3) {
        match self {
            Self::Ball => (p.length() - 150.0, p.normalize()),
            Self::Ellipsoid => {
                let squares = DVec3::new(250.0_f64.powi(-2), 130.0_f64.powi(-2), 250.0_f64.powi(-2));
                let gradient = 2.0 * squares * p;
                let length = gradient.length();
                (((squares * p).dot(p) - 1.0) / length, gradient / length)
            }
            Self::Kloepper => {
                let (crown, knuckle, flange) = (600.0, 60.0, 20.0);
                let phi = (240.0_f64 / 540.0).asin();
                let out = DVec3::new(p.x, 0.0, p.z).normalize_or_zero();
                let from_crown = p - DVec3::new(0.0, flange - 540.0 * phi.cos(), 0.0);
                let ring = p - 240.0 * out - flange * DVec3::Y;
                if from_crown.dot(out) <= from_crown.y * phi.tan() {
                    (from_crown.length() - crown, from_crown.normalize())
                } else if p.y >= flange {
                    (ring.length() - knuckle, ring.normalize())
                } else {
                    (p.dot(out) - 300.0, out)
                }
            }
        }
    }

    /// How the way of a straightest line turns: only towards the skin's inside.
    fn turn(self, p: DVec3, way: DVec3) -> DVec3 {
        let by = 1e-4;
        let bend = (self.at(p + by * way).1 - self.at(p - by * way).1) / (2.0 * by);
        -bend.dot(way) * self.at(p).1
    }

    /// Straight on over the skin, by the classical steps of Runge and Kutta; where it is then and its way there.
    fn walk(self, from: DVec3, way: DVec3, length: f64) -> (DVec3, DVec3) {
        let steps = (length.abs() / 0.5).ceil().max(1.0);
        let (h, mut p, mut v) = (length / steps, from, way);
        for _ in 0..steps as usize {
            let (k1, l1) = (v, self.turn(p, v));
            let (k2, l2) = (v + h / 2.0 * l1, self.turn(p + h / 2.0 * k1, v + h / 2.0 * l1));
            let (k3, l3) = (v + h / 2.0 * l2, self.turn(p + h / 2.0 * k2, v + h / 2.0 * l2));
            let (k4, l4) = (v + h * l3, self.turn(p + h * k3, v + h * l3));
            p += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
            v = (v + h / 6.0 * (l1 + 2.0 * l2 + 2.0 * l3 + l4)).normalize();
        }
        (p, v)
    }
}

fn job(skin: Skin, size: &str, along: f64, round: f64, step: DVec3, start: &str) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "{size}" }} }}, "bodies": {{ "body": {{ {} }} }},
  "tubes": {{ "filler": {{ "stock": "tube", "path": [ {{ "on": "body", "along": {along}, "round": "{round}deg" }},
                 {{ "step": [{}, {}, {}] }} ], "start": {{ {start} }} }} }} }}"#,
        skin.words(),
        step.x,
        step.y,
        step.z
    )
}

fn read(job: &str) -> resolve::Resolved<Assembly> {
    let words = read_job("job.json", job).expect("JSON");
    resolve::job_file(&words, &Sheet::default()).unwrap_or_else(|problems| panic!("{problems}"))
}

fn solved(job: &str) -> (Assembly, Plan) {
    let resolved = read(job);
    let plan = batch(&resolved, &|_, _| ()).unwrap_or_else(|problems| panic!("{problems}"));
    (resolved.joint, plan)
}

/// Where strips come to lie that are taped on as the sheet says, in the body's own coordinates.
struct Taped {
    skin: Skin,
    middle: DVec3,
    up: DVec3,
}

impl Taped {
    fn new(skin: Skin, assembly: &Assembly) -> Self {
        let body = &assembly.bodies[0];
        let middle = body.placement.inverse().transform_point3(assembly.tubes[0].nodes[0]);
        let normal = skin.at(middle).1;
        // The apex or the pole is up; on it, the zero line.
        let laid = |way: DVec3| way - way.dot(normal) * normal;
        let up = Some(laid(DVec3::Y))
            .filter(|way| way.length() > 1e-5)
            .unwrap_or(laid(DVec3::Z));
        Self {
            skin,
            middle,
            up: up.normalize(),
        }
    }

    /// Where each strip's middle line begins, over the skin to the right of the middle: edge to edge from the middle strip.
    fn begins(gores: &Gores) -> Vec<f64> {
        let width = |gore: &Gore, side: usize| {
            let end = [gore.cross.first(), gore.cross.last()][side];
            end.expect("a cross line").x
        };
        let middle = gores
            .strips
            .iter()
            .position(|gore| gore.beside == 0)
            .expect("a middle one");
        let mut begins = vec![0.0; gores.strips.len()];
        for at in middle + 1..gores.strips.len() {
            begins[at] = begins[at - 1] + width(&gores.strips[at - 1], 1) - width(&gores.strips[at], 0);
        }
        for at in (0..middle).rev() {
            begins[at] = begins[at + 1] + width(&gores.strips[at + 1], 0) - width(&gores.strips[at], 1);
        }
        begins
    }

    /// The place of a strip's middle line beside a place of it, with the way to the right there.
    fn beside(&self, begin: f64, at: Point) -> (DVec3, DVec3) {
        let right = self.up.cross(self.skin.at(self.middle).1);
        let (start, across) = self.skin.walk(self.middle, right, begin);
        let (place, way) = self.skin.walk(start, self.skin.at(start).1.cross(across), at.y);
        (place, way.cross(self.skin.at(place).1))
    }

    /// Pressed down on the skin.
    fn pressed(&self, begin: f64, at: Point) -> DVec3 {
        let (place, right) = self.beside(begin, at);
        self.skin.walk(place, right, at.x).0
    }

    /// Bent along its middle line alone.
    fn bent(&self, begin: f64, at: Point) -> DVec3 {
        let (place, right) = self.beside(begin, at);
        place + at.x * right
    }
}

/// How far a place in the body's own coordinates is off the tube's axis.
fn off_axis(assembly: &Assembly, own: DVec3) -> f64 {
    let frame = assembly.pieces(&assembly.tubes[0])[0].near.frame;
    let from = assembly.bodies[0].placement.transform_point3(own) - frame.origin;
    (from - from.dot(frame.axis) * frame.axis).length()
}

fn flat_length(places: &[Point]) -> f64 {
    places.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}

fn length(places: &[DVec3]) -> f64 {
    places.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}

/// How far a place is off a line, where it is beside it.
fn off_line(place: DVec3, line: &[DVec3]) -> Option<f64> {
    let off = |pair: &[DVec3]| {
        let (from, way) = (pair[0], pair[1] - pair[0]);
        let share = (place - from).dot(way) / way.length_squared();
        (0.0..=1.0).contains(&share).then(|| place.distance(from + share * way))
    };
    line.windows(2).filter_map(off).reduce(f64::min)
}

/// Holds the strips of the hole of a job against the tube: `radius` cuts the hole out.
fn require_on_tube(skin: Skin, job: &str, radius: f64, is_set_in: bool) -> Gores {
    let (assembly, plan) = solved(job);
    let hole = &plan.compass_holes()[0];
    let gores = hole.gores(0.0).expect("strips");
    let (taped, begins) = (Taped::new(skin, &assembly), Taped::begins(&gores));
    assert!(gores.off_mm <= MOST_OFF_MM, "{}", gores.off_mm);
    let (mut off_skin, mut all) = (0.0_f64, 0.0);
    for (gore, begin) in gores.strips.iter().zip(&begins) {
        for run in &gore.outline {
            let placed: Vec<DVec3> = run.iter().map(|at| taped.pressed(*begin, *at)).collect();
            all += length(&placed);
            for place in placed {
                let inner = place - skin.wall() * skin.at(place).1;
                let off = if is_set_in {
                    off_axis(&assembly, place).min(off_axis(&assembly, inner))
                } else {
                    off_axis(&assembly, place)
                };
                assert!(
                    (off - radius).abs() < gores.off_mm.max(0.01),
                    "{skin:?} {} {gores:?}",
                    off - radius
                );
                // Pressed down it is far nearer than standing off.
                assert!((off - radius).abs() < 0.06, "{skin:?} {}", off - radius);
            }
        }
        let strip = gore.edges.iter().chain(&gore.outline).flatten();
        off_skin = strip.fold(off_skin, |most, at| most.max(skin.at(taped.bent(*begin, *at)).0.abs()));
    }
    // The error that is stated is the one there is.
    assert!(
        (off_skin - gores.off_mm).abs() < 0.01,
        "{skin:?} {off_skin} {}",
        gores.off_mm
    );
    // Nothing of the outline is left out.
    let places: Vec<DVec3> = hole
        .outline
        .iter()
        .chain(hole.outline.first())
        .map(|at| at.place)
        .collect();
    let whole = length(&places);
    assert!((all - whole).abs() < 0.004 * whole, "{all} {whole}");
    require_neighbours_meet(&taped, &gores, &begins);
    gores
}

fn require_neighbours_meet(taped: &Taped, gores: &Gores, begins: &[f64]) {
    for at in 1..gores.strips.len() {
        let line = |strip: usize, side: usize| -> Vec<DVec3> {
            let edge = &gores.strips[strip].edges[side];
            edge.iter().map(|place| taped.pressed(begins[strip], *place)).collect()
        };
        let (right, left) = (line(at - 1, 1), line(at, 0));
        assert!(gores.strips[at - 1].joins[1] && gores.strips[at].joins[0]);
        let off: Vec<f64> = right.iter().filter_map(|place| off_line(*place, &left)).collect();
        assert!(off.len() > 10 && off.iter().all(|off| *off < 0.06), "{off:?}");
    }
}

fn leaning(skin: Skin, along: f64, round: f64, lean: (f64, f64)) -> DVec3 {
    let upright = read(&job(skin, "48.3mm x 2.6mm", along, round, DVec3::Z, "")).joint;
    let site = upright.bodies[0].surface.site(along, round.to_radians());
    let (a, b) = site.normal.any_orthonormal_pair();
    300.0 * (site.normal + 0.7 * (lean.0 * a + lean.1 * b))
}

const SKINS: [Skin; 3] = [Skin::Ball, Skin::Kloepper, Skin::Ellipsoid];

proptest! {
    #![proptest_config(tried_afresh(16))]
    #[test]
    fn strips_put_back_in_space_lie_on_the_bore(
        along in 0.0..200.0_f64,
        round in -170.0..170.0_f64,
        lean in (-1.0..1.0_f64, -1.0..1.0_f64),
        skin in prop::sample::select(SKINS.to_vec()),
    ) {
        let job = job(skin, "48.3mm x 2.6mm", along, round, leaning(skin, along, round, lean), "");
        require_on_tube(skin, &job, 21.55, false);
    }

    #[test]
    fn strips_of_a_set_in_tube_lie_on_its_outside_with_the_clearance(
        along in 40.0..200.0_f64,
        lean in (-1.0..1.0_f64, -1.0..1.0_f64),
        skin in prop::sample::select(vec![Skin::Ball, Skin::Kloepper]),
    ) {
        let step = leaning(skin, along, 30.0, lean);
        let job = job(skin, "48.3mm x 2.6mm", along, 30.0, step, r#""join": "set-in", "clearance": 0.5"#);
        require_on_tube(skin, &job, 24.65, true);
    }
}

#[test]
fn a_wide_hole_takes_more_strips_and_a_small_one_a_single_piece() {
    let count = |size: &str, radius: f64| {
        let job = job(
            Skin::Ball,
            size,
            60.0,
            20.0,
            leaning(Skin::Ball, 60.0, 20.0, (0.2, 0.1)),
            "",
        );
        let gores = require_on_tube(Skin::Ball, &job, radius, false);
        gores.strips.len()
    };
    // On a ball of R = 150 a strip that stands off 0.2 mm at its edges is 2 sqrt(0.4 R) = 15.5 mm wide, by Pythagoras.
    assert_eq!(count("12mm x 2mm", 4.0), 3);
    assert_eq!(count("6mm x 1mm", 2.0), 1);
    let wide = count("139.7mm x 4mm", 65.85);
    assert!((10..=12).contains(&wide), "{wide}");
}

/// The bold lines on the sheet are the strips' own, true to size, with the strips' numbers and which way is up.
#[test]
fn what_is_printed_are_the_strips() {
    let step = leaning(Skin::Kloepper, 150.0, 40.0, (0.5, -0.3));
    let text = job(Skin::Kloepper, "48.3mm x 2.6mm", 150.0, 40.0, step, "");
    let shop = Shop::open();
    shop.write("job.json", text.as_bytes());
    let run = shop.run("batch job.json --out p.pdf --paper-thickness 0mm");
    assert!(run.code() < 2, "{}", run.err());
    let pdf = Pdf::read(&shop.read("p.pdf"));
    let (_, plan) = solved(&text);
    let gores = plan.compass_holes()[0].gores(0.0).expect("strips");
    let page = pdf
        .words
        .iter()
        .find(|words| words.text.starts_with("HOLE in body for filler (start): paper"));
    let page = page.expect("its strips").page;
    let bold: Vec<_> = pdf
        .strokes
        .iter()
        .filter(|stroke| stroke.page == page && (stroke.width - 0.7).abs() < 0.01)
        .collect();
    let runs: Vec<&Vec<Point>> = gores.strips.iter().flat_map(|gore| &gore.outline).collect();
    assert!(runs.len() > 2);
    for run in runs {
        let (from, to) = (run[0], run[run.len() - 1]);
        let is_it = |path: &kurbo::BezPath| {
            let (Some(first), Some(last)) = (
                path.elements().first().and_then(kurbo::PathEl::end_point),
                path.elements().last().and_then(kurbo::PathEl::end_point),
            ) else {
                return false;
            };
            // On its sheet it may be turned by a quarter.
            (last.distance(first) - to.distance(from)).abs() < 0.005
                && (path.perimeter(1e-4) - flat_length(run)).abs() < 0.02
        };
        assert!(bold.iter().any(|stroke| is_it(&stroke.path)), "{from:?} {to:?}");
    }
    for gore in 1..=gores.strips.len() {
        assert!(pdf.says(&format!("{gore} UP")), "{gore}");
    }
    let left_out = |part: &str| {
        let run = shop.run(&format!("batch job.json --out q.pdf --without {part}"));
        assert!(run.code() < 2, "{}", run.err());
        let pdf = Pdf::read(&shop.read("q.pdf"));
        !pdf.words.iter().any(|words| words.text.contains("paper strips"))
    };
    assert!(left_out("gores") && left_out("holes") && !left_out("tables"));
    assert!(bold.iter().all(|stroke| stroke.path.bounding_box().width() < 60.0));
}

/// Three legs turned about a head, and their mirror image, for which their strips would be wrong.
#[test]
fn strips_of_copies_turned_about_a_head_are_printed_once_and_say_for_which() {
    // Leaning `turn` degrees to one side of straight out.
    let leg = |name: &str, round: f64, turn: f64, more: &str| {
        let (sin, cos) = (round + turn).to_radians().sin_cos();
        let (x, y) = (180.0 * cos, 180.0 * sin);
        format!(
            r#""{name}": {{ "stock": "a", "path": [ {{ "on": "body", "along": 120, "round": "{round}deg" }}, {{ "step": [{x}, {y}, 150] }} ],
               "end": {{ "join": "square" }}{more} }}"#
        )
    };
    let text = format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "33.7mm x 2.6mm" }} }},
  "bodies": {{ "body": {{ "shape": "head", "size": "400mm x 3mm", "dish": "ellipsoidal 2:1", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [1, 0, 0] }} }},
  "tubes": {{ {}, {} }} }}"#,
        leg(
            "leg",
            20.0,
            35.0,
            r#", "repeat": { "times": 3, "about": "body", "turn": 120 }"#
        ),
        leg("spout", 80.0, -35.0, ""),
    );
    let (_, plan) = solved(&text);
    let strips: Vec<Gores> = plan
        .compass_holes()
        .iter()
        .map(|hole| hole.gores(0.1).expect("strips"))
        .collect();
    // Their places are looked at from the zero line on, which is elsewhere for each: how far those of one are off the lines of
    // the other.
    let apart = |one: &Gores, other: &Gores| {
        let mut most = if one.strips.len() == other.strips.len() {
            0.0
        } else {
            f64::INFINITY
        };
        for (one, other) in one.strips.iter().zip(&other.strips) {
            let lines = other.outline.iter().flat_map(|run| run.windows(2));
            let lines: Vec<kurbo::Line> = lines.map(|ends| kurbo::Line::new(ends[0], ends[1])).collect();
            for place in one.outline.iter().flatten() {
                let off = lines.iter().map(|line| line.nearest(*place, 1e-9).distance_sq.sqrt());
                most = off.fold(f64::INFINITY, f64::min).max(most);
            }
        }
        most
    };
    assert!(apart(&strips[0], &strips[1]) < 0.01 && apart(&strips[2], &strips[0]) < 0.01);
    assert!(apart(&strips[0], &strips[3]) > 0.5);

    let shop = Shop::open();
    shop.write("job.json", text.as_bytes());
    shop.run("batch job.json --out p.pdf").succeeds();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    let all: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    let whole = all.join(" ");
    let count = |words: &str| whole.matches(words).count();
    assert_eq!(count("paper strips, make 3"), 1, "{whole}");
    assert_eq!(count("HOLE in body for leg 1 (start) and 2 more:"), 1, "{whole}");
    assert_eq!(count("HOLE in body for spout (start): paper strips"), 1, "{whole}");
    assert_eq!(count(": by compass"), 4, "{whole}");
    assert_eq!(
        count("For leg 1 (start), leg 2 (start) and leg 3 (start):"),
        1,
        "{whole}"
    );
}
