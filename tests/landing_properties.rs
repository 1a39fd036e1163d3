//! What must be true of every end on a dished head, at a node and with a root gap, tried on random ones. Whether a place is on a
//! skin is told by closed forms of their own; nothing of the bodies is asked.

mod trying;

use std::f64::consts::{PI, TAU};

use girthline::job::raw::Sheet;
use girthline::job::read::read_job;
use girthline::job::{Assembly, End, Piece, resolve};
use girthline::solver::{cut_at, solve_end, solve_piece, weld};
use glam::DVec3;
use kurbo::{ParamCurveNearest, PathSeg, Point};
use proptest::prelude::*;
use trying::{FITTED, tried};

/// Failing ones.
const KEPT: &str = "tests/landing_properties.regressions";
/// How far off a skin a place of a cut may be, in millimetres.
const ON_SKIN: f64 = 1e-5;

/// A head's outer skin by itself, over the rim where its flange begins.
#[derive(Debug, Clone, Copy)]
enum Dish {
    Torisphere { crown: f64, knuckle: f64 },
    Ellipsoid { depth: f64 },
}

#[derive(Debug, Clone)]
struct Head {
    diameter: f64,
    flange: f64,
    dish: Dish,
    out: DVec3,
    zero: DVec3,
}

impl Head {
    fn depth(&self) -> f64 {
        match self.dish {
            Dish::Torisphere { crown, knuckle } => {
                let sin = (self.diameter / 2.0 - knuckle) / (crown - knuckle).max(1e-12);
                crown - (crown - knuckle) * (1.0 - sin * sin).max(0.0).sqrt()
            }
            Dish::Ellipsoid { depth } => depth,
        }
    }

    /// How far a place is outside the skin; of an ellipsoid as its equation has it over its slope, which is that near the skin.
    fn outside_by(&self, place: DVec3) -> f64 {
        let (radius, up) = (self.diameter / 2.0, place.dot(self.out));
        let off = (place - place.dot(self.out) * self.out).length();
        if up <= 0.0 {
            return off - radius;
        }
        match self.dish {
            Dish::Torisphere { crown, knuckle } => {
                // Nearer to the axis than the line from the crown's middle through the knuckle's, it is the crown's.
                let middle = self.depth() - crown;
                let is_crown = off * (0.0 - middle) < (up - middle) * (radius - knuckle);
                if is_crown {
                    off.hypot(up - middle) - crown
                } else {
                    (off - (radius - knuckle)).hypot(up) - knuckle
                }
            }
            Dish::Ellipsoid { depth } => {
                let equation = (off / radius).powi(2) + (up / depth).powi(2) - 1.0;
                equation / (2.0 * (off / radius / radius).hypot(up / depth / depth))
            }
        }
    }

    fn words(&self) -> String {
        let dish = match self.dish {
            Dish::Torisphere { crown, knuckle } => format!(r#"{{ "crown": {crown}, "knuckle": {knuckle} }}"#),
            Dish::Ellipsoid { depth } => format!(r#"{{ "depth": {depth} }}"#),
        };
        let (out, zero) = (self.out, self.zero);
        format!(
            r#"{{ "shape": "head", "size": "{}mm x 1mm", "at": [0, 0, 0], "out": [{}, {}, {}], "zero": [{}, {}, {}], "flange": {}, "dish": {dish} }}"#,
            self.diameter, out.x, out.y, out.z, zero.x, zero.y, zero.z, self.flange
        )
    }

    /// Off the axis and over the rim so far over the skin from the apex, and the normal there, by walking the skin.
    fn walked(&self, along: f64, round: f64) -> (DVec3, DVec3) {
        let to_right = (-self.zero).cross(self.out);
        let level = round.cos() * self.zero + round.sin() * to_right;
        let at = |off: f64, up: f64| off * level + up * self.out;
        let (mut off, mut up, mut left) = (0.0, self.depth(), along);
        let step = 0.02_f64;
        // Along the skin by its slope, which is square to the way that leads straight out; brought back at every step.
        while left > 0.0 {
            let by = step.min(left);
            let normal = self.flat_normal(at(off, up), level);
            (off, up) = (off + by * normal.1, up - by * normal.0);
            let back = self.outside_by(at(off, up));
            let normal = self.flat_normal(at(off, up), level);
            (off, up) = (off - back * normal.0, up - back * normal.1);
            left -= by;
        }
        let normal = self.flat_normal(at(off, up), level);
        (at(off, up), normal.0 * level + normal.1 * self.out)
    }

    /// Out of the skin: off the axis and up.
    fn flat_normal(&self, place: DVec3, level: DVec3) -> (f64, f64) {
        let slope = |way: DVec3| (self.outside_by(place + 1e-5 * way) - self.outside_by(place - 1e-5 * way)) / 2e-5;
        let (off, up) = (slope(level), slope(self.out));
        let length = off.hypot(up);
        (off / length, up / length)
    }
}

fn ways() -> impl Strategy<Value = DVec3> {
    (-1.0..1.0_f64, 0.0..TAU).prop_map(|(up, round)| {
        let level = (1.0 - up * up).sqrt();
        DVec3::new(level * round.cos(), level * round.sin(), up)
    })
}

fn heads() -> impl Strategy<Value = Head> {
    let dishes = prop_oneof![
        // Crown as a share of the way to twice the diameter, knuckle as a share of half of it.
        3 => (0.0..1.0, 0.06..1.0).prop_map(|(crown, knuckle)| (true, crown, knuckle)),
        2 => (0.2..1.0, 0.0..1.0).prop_map(|(depth, _)| (false, depth, 0.0)),
    ];
    (
        200.0..1500.0_f64,
        prop_oneof![Just(0.0), 0.0..60.0],
        dishes,
        ways(),
        0.0..TAU,
    )
        .prop_map(|(diameter, flange, (is_torisphere, first, second), out, turn)| {
            let radius = diameter / 2.0;
            let dish = if is_torisphere {
                Dish::Torisphere {
                    crown: radius * (1.0 + 3.0 * first),
                    knuckle: radius * second,
                }
            } else {
                Dish::Ellipsoid { depth: radius * first }
            };
            let (a, b) = out.any_orthonormal_pair();
            Head {
                diameter,
                flange,
                dish,
                out,
                zero: turn.cos() * a + turn.sin() * b,
            }
        })
}

/// A tube on a head: how thick it is as a share of the head, where it lands as shares, how it leans.
#[derive(Debug, Clone)]
struct OnHead {
    head: Head,
    od: f64,
    along: f64,
    round: f64,
    lean: f64,
    about: f64,
}

fn on_heads() -> impl Strategy<Value = OnHead> {
    (heads(), 0.02..0.15_f64, 0.0..0.5_f64, -PI..PI, 0.0..0.8_f64, 0.0..TAU).prop_map(
        |(head, od, along, round, lean, about)| OnHead {
            od: (od * head.diameter).max(6.0),
            along: along * head.diameter,
            head,
            round,
            lean,
            about,
        },
    )
}

fn assembly(job: &str) -> Result<Assembly, TestCaseError> {
    let refused = |problems: girthline::problem::Problems| TestCaseError::fail(format!("{problems}\n{job}"));
    let words = read_job("job.json", job).map_err(refused)?;
    Ok(resolve::job_file(&words, &Sheet::default()).map_err(refused)?.joint)
}

impl OnHead {
    /// The end that lands, with these words of its own.
    fn end(&self, words: &str) -> Result<End, TestCaseError> {
        let (_, normal) = self.head.walked(self.along, self.round);
        let (a, b) = normal.any_orthonormal_pair();
        let step = 1000.0 * (normal + self.lean * (self.about.cos() * a + self.about.sin() * b));
        let job = format!(
            r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "{}mm x {}mm" }} }}, "bodies": {{ "end": {} }},
              "tubes": {{ "t": {{ "stock": "tube", "start": {{ {words} }}, "path": [ {{ "on": "end", "along": {}, "round": "{}deg" }},
                                                                                   {{ "step": [{}, {}, {}] }} ] }} }} }}"#,
            self.od,
            self.od / 12.0,
            self.head.words(),
            self.along,
            self.round.to_degrees(),
            step.x,
            step.y,
            step.z
        );
        let assembly = assembly(&job)?;
        Ok(assembly.pieces(&assembly.tubes[0]).swap_remove(0).near)
    }
}

/// On the tube's line `rho` off its axis at an azimuth, so far along.
fn place(end: &End, rho: f64, azimuth: f64, t: f64) -> DVec3 {
    let frame = &end.frame;
    frame.origin + rho * (azimuth.cos() * frame.front + azimuth.sin() * frame.right) + t * frame.axis
}

fn azimuths(count: u32) -> impl Iterator<Item = f64> {
    (0..count).map(move |step| TAU * f64::from(step) / f64::from(count))
}

/// The cut of every line that meets something; none where one misses.
fn cuts(end: &End, count: u32) -> Option<Vec<(f64, f64)>> {
    azimuths(count)
        .map(|azimuth| Some((azimuth, cut_at(end, azimuth)?.t)))
        .collect()
}

proptest! {
    #![proptest_config(tried(150, KEPT))]

    /// The landing is where the tape has it, and every place of the cut is on the skin with nothing of the head before it.
    #[test]
    fn a_random_heads_cut_lies_on_its_skin(on in on_heads()) {
        let end = on.end(r#""touch": "outside""#)?;
        let (site, _) = on.head.walked(on.along, on.round);
        prop_assert!(end.frame.origin.distance(site) < 1e-3, "{} {site}", end.frame.origin);
        let Some(cuts) = cuts(&end, 48) else { return Ok(()) };
        for (azimuth, t) in cuts {
            let off = on.head.outside_by(place(&end, on.od / 2.0, azimuth, t));
            prop_assert!(off.abs() < ON_SKIN, "{off} at {azimuth}");
            for step in 1..60 {
                let before = place(&end, on.od / 2.0, azimuth, t + f64::from(step) * on.head.diameter / 40.0);
                prop_assert!(on.head.outside_by(before) > -ON_SKIN, "at {azimuth}");
            }
        }
    }

    /// With the whole wall deciding, no part of it reaches into the head, and some part touches.
    #[test]
    fn a_random_heads_cut_keeps_its_wall_out_of_the_head(on in on_heads()) {
        let end = on.end("")?;
        let Some(cuts) = cuts(&end, 24) else { return Ok(()) };
        for (azimuth, t) in cuts {
            let rho = |step: u32| on.od / 2.0 * (1.0 - f64::from(step) / 40.0 / 6.0);
            let outside = (0..=40).map(|step| on.head.outside_by(place(&end, rho(step), azimuth, t)));
            let nearest = outside.fold(f64::MAX, f64::min);
            // The touching place is between two that are looked at.
            prop_assert!((-ON_SKIN..0.01 * on.od / 40.0 + ON_SKIN).contains(&nearest), "{nearest} at {azimuth}");
        }
    }

    /// The drawn curve is the solved one, within what is promised, over the knuckle's edge too.
    #[test]
    fn a_random_heads_curve_is_drawn_as_it_is_solved(on in on_heads()) {
        let end = on.end("")?;
        let Ok(curve) = solve_end(&end, on.od / 2.0, PI) else { return Ok(()) };
        let segments: Vec<PathSeg> = curve.path.segments().collect();
        for azimuth in azimuths(360) {
            let t = cut_at(&end, azimuth).expect("it is solved").t;
            let x = on.od / 2.0 * (azimuth - PI).rem_euclid(TAU);
            let off = segments.iter().map(|segment| segment.nearest(Point::new(x, t), 1e-7).distance_sq.sqrt());
            let off = off.fold(f64::MAX, f64::min);
            prop_assert!(off <= FITTED, "{off} at {azimuth}");
        }
    }

    /// A root gap is left square to the skin all round, and the weld stays where the skins meet. All radii of a torisphere grow by it.
    #[test]
    fn a_random_root_gap_is_left_all_round(on in on_heads(), gap in 0.1..10.0_f64) {
        let touching = on.end(r#""touch": "outside""#)?;
        let apart = on.end(&format!(r#""touch": "outside", "root_gap": {gap}"#))?;
        let (Some(_), Some(cuts)) = (cuts(&touching, 48), cuts(&apart, 48)) else { return Ok(()) };
        // An ellipsoid grows in diameter and depth: flat ones are short of it off their axes.
        let short = match on.head.dish {
            Dish::Torisphere { .. } => ON_SKIN,
            Dish::Ellipsoid { depth } => {
                // Its support function (a n_x^2 + b n_y^2) / sqrt(a^2 n_x^2 + b^2 n_y^2) a millimetre is least where n_x^2 = b / (a + b).
                let radius = on.head.diameter / 2.0;
                gap * (1.0 - 2.0 * (radius * depth).sqrt() / (radius + depth)) + ON_SKIN
            }
        };
        for (azimuth, t) in cuts {
            let place = place(&apart, on.od / 2.0, azimuth, t);
            // An ellipsoid's equation tells what is near its skin: to a hundredth of so much as it is off.
            let told = match on.head.dish {
                Dish::Torisphere { .. } => 0.0,
                Dish::Ellipsoid { depth } => gap * gap * on.head.diameter / depth / depth,
            };
            let off = on.head.outside_by(place) - gap;
            prop_assert!(off < ON_SKIN + told && off > -short - told, "{off} of {gap} at {azimuth}");
        }
        let [one, other] = [&touching, &apart].map(|end| weld(end, None).map(|weld| weld.length_mm));
        prop_assert!((one.expect("it lands") - other.expect("it lands")).abs() < 1e-9);
    }
}

/// A brace on a header and on another brace that stands before it.
#[derive(Debug, Clone)]
struct Node {
    /// Diameters of header, first and second brace.
    od: [f64; 3],
    /// Between header and braces, in degrees; the second leans the other way by a negative one.
    leans: [f64; 2],
    /// How far the second brace is turned round the header from the first, in degrees.
    round: f64,
    /// Along the header between their landings.
    apart: f64,
    gap: f64,
}

fn nodes() -> impl Strategy<Value = Node> {
    let ods = (40.0..300.0_f64, 0.2..0.9_f64, 0.2..0.9_f64);
    let leans = (30.0..90.0_f64, 30.0..90.0_f64, any::<bool>());
    (
        ods,
        leans,
        -40.0..40.0_f64,
        0.0..1.5_f64,
        prop_oneof![Just(0.0), 0.1..5.0],
    )
        .prop_map(
            |((header, one, other), (first, second, turns), round, apart, gap)| Node {
                od: [header, header * one, header * other],
                leans: [first, if turns { -second } else { second }],
                round,
                apart: apart * header,
                gap,
            },
        )
}

impl Node {
    /// From the header, along y, straight up; round turns it about y.
    fn way(&self, brace: usize) -> DVec3 {
        let (lean, round) = (self.leans[brace].to_radians(), self.round_of(brace));
        let (along, up) = (lean.cos() * self.leans[brace].signum(), lean.sin().abs());
        DVec3::new(up * round.sin(), along, up * round.cos())
    }

    fn round_of(&self, brace: usize) -> f64 {
        if brace == 0 { 0.0 } else { self.round.to_radians() }
    }

    fn landing(&self, brace: usize) -> DVec3 {
        let (radius, round) = (self.od[0] / 2.0, self.round_of(brace));
        let along = if brace == 0 { 0.0 } else { self.apart };
        DVec3::new(radius * round.sin(), along, radius * round.cos())
    }

    fn job(&self, start: &str) -> String {
        let path = |brace: usize| {
            let (step, along) = (10.0 * self.od[0] * self.way(brace), 5000.0 + self.landing(brace).y);
            let round = self.round_of(brace).to_degrees();
            format!(
                r#"[ {{ "on": "header", "along": {along}, "round": "{round}deg" }}, {{ "step": [{}, {}, {}] }} ]"#,
                step.x, step.y, step.z
            )
        };
        let wall = |od: f64| od / 12.0;
        format!(
            r#"{{ "units": "mm", "stock": {{ "one": {{ "size": "{}mm x {}mm" }}, "two": {{ "size": "{}mm x {}mm" }} }},
              "bodies": {{ "header": {{ "shape": "cylinder", "size": "{}mm x 2mm", "from": [0, -5000, 0], "to": [0, 5000, 0], "zero": [0, 0, 1] }} }},
              "tubes": {{ "first": {{ "stock": "one", "path": {} }}, "second": {{ "stock": "two", "path": {}, "start": {{ {start} }} }} }} }}"#,
            self.od[1],
            wall(self.od[1]),
            self.od[2],
            wall(self.od[2]),
            self.od[0],
            path(0),
            path(1)
        )
    }

    fn second(&self, start: &str) -> Result<Piece, TestCaseError> {
        let assembly = assembly(&self.job(start))?;
        Ok(assembly.pieces(&assembly.tubes[1]).swap_remove(0))
    }

    /// How far a place is outside the header, and outside the first brace as a cylinder without end.
    fn outside_by(&self, place: DVec3) -> [f64; 2] {
        let from = |at: DVec3, way: DVec3, od: f64| {
            let off = place - at;
            (off - off.dot(way) * way).length() - od / 2.0
        };
        [
            from(DVec3::ZERO, DVec3::Y, self.od[0]),
            from(self.landing(0), self.way(0).normalize(), self.od[1]),
        ]
    }
}

proptest! {
    #![proptest_config(tried(150, KEPT))]

    /// The cut is on whichever skin its line meets first, a gap off it where one was asked for; nothing of either is before it.
    #[test]
    fn a_random_nodes_cut_lies_on_what_each_line_meets_first(node in nodes()) {
        let words = format!(r#""also": ["first"], "touch": "outside", "root_gap": {}"#, node.gap);
        let end = node.second(&words)?.near;
        let Some(cuts) = cuts(&end, 72) else { return Ok(()) };
        for (azimuth, t) in cuts {
            let off = node.outside_by(place(&end, node.od[2] / 2.0, azimuth, t)).map(|off| off - node.gap);
            let nearest = off[0].min(off[1]);
            prop_assert!(nearest.abs() < ON_SKIN, "{off:?} at {azimuth}");
            for step in 1..60 {
                let before = place(&end, node.od[2] / 2.0, azimuth, t + f64::from(step) * node.od[0] / 15.0);
                let off = node.outside_by(before).map(|off| off - node.gap);
                prop_assert!(off[0].min(off[1]) > -ON_SKIN, "{off:?} before {azimuth}");
            }
        }
    }

    /// A solved node's curve changes body in pairs, and is the cut within what is promised but for the steps.
    #[test]
    fn a_random_nodes_curve_has_its_corners_where_the_body_changes(node in nodes()) {
        let end = node.second(r#""also": ["first"]"#)?.near;
        let radius = node.od[2] / 2.0;
        let Ok(curve) = solve_end(&end, radius, PI) else { return Ok(()) };
        for corner in &curve.corners {
            prop_assert!(corner.bodies[0] != corner.bodies[1], "{corner:?}");
        }
        // Round the tube each change is followed by one that leads on from where it led.
        let pairs = curve.corners.iter().zip(curve.corners.iter().cycle().skip(1));
        for (one, next) in pairs {
            prop_assert_eq!(one.bodies[1], next.bodies[0]);
        }
        let segments: Vec<PathSeg> = curve.path.segments().collect();
        for azimuth in azimuths(180) {
            let t = cut_at(&end, azimuth).expect("it is solved").t;
            let x = radius * (azimuth - PI).rem_euclid(TAU);
            let off = segments.iter().map(|segment| segment.nearest(Point::new(x, t), 1e-7).distance_sq.sqrt());
            let off = off.fold(f64::MAX, f64::min);
            prop_assert!(off <= FITTED, "{off} at {azimuth}");
        }
    }

    /// A piece is made, or there is too little of it between its cuts: never with less than nothing.
    #[test]
    fn a_random_piece_between_gaps_is_made_or_too_short(od in 20.0..100.0_f64, room in 0.0..60.0_f64, gaps in (0.0..10.0_f64, 0.0..10.0_f64)) {
        let job = format!(
            r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "{od}mm x 2mm" }} }},
              "bodies": {{ "low": {{ "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1] }},
                           "high": {{ "shape": "plane", "at": [0, 0, {room}], "out": [0, 0, -1] }} }},
              "tubes": {{ "t": {{ "stock": "tube", "path": [ {{ "on": "low", "along": 0, "round": 0 }}, {{ "at": [0, 0, {room}] }} ],
                               "start": {{ "root_gap": {} }}, "end": {{ "root_gap": {} }} }} }} }}"#,
            gaps.0, gaps.1
        ).replace(&format!(r#"{{ "at": [0, 0, {room}] }} ]"#), r#"{ "on": "high", "along": 0, "round": 0 } ]"#);
        let Ok(words) = read_job("job.json", &job) else { return Ok(()) };
        let Ok(resolved) = resolve::job_file(&words, &Sheet::default()) else { return Ok(()) };
        let assembly = resolved.joint;
        let piece = assembly.pieces(&assembly.tubes[0]).swap_remove(0);
        let left = room - gaps.0 - gaps.1;
        match solve_piece(&piece, od / 2.0, PI) {
            Ok(solved) => prop_assert!((solved.tip_to_tip_mm - left).abs() < 1e-6 && left > 0.0, "{} {left}", solved.tip_to_tip_mm),
            Err(problem) => {
                let words = problem.to_string();
                prop_assert!(words.contains("too short to hold its two cuts") && left < 10.0, "{left}: {words}");
            }
        }
    }
}
