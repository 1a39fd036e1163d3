//! Distances between tubes as they are cut, and to bodies, against dense sampling of their walls.

mod trying;

use std::f64::consts::TAU;

use girthline::job::read::read_job;
use girthline::job::resolve::job_file;
use girthline::plan::{self, Clash, InTheWay, clashes};
use girthline::section::{Profile, Section};
use girthline::wording::said;
use glam::{DMat3, DVec3};
use proptest::prelude::*;
use serde_json::{Value, json};
use trying::tried_afresh;

/// Distances are this near to the true ones, in millimetres.
const EXACT: f64 = 0.01;

fn found(job: &Value) -> Vec<Clash> {
    let text = job.to_string();
    let job = read_job("job.json", &text).unwrap_or_else(|problems| panic!("{problems}\n{text}"));
    let resolved = job_file(&job, &job.sheet).unwrap_or_else(|problems| panic!("{problems}\n{text}"));
    clashes(&resolved.joint)
}

/// A drum of 300 mm along +y, and a tube set on it with a square end.
#[derive(Debug, Clone, Copy)]
struct Tube {
    od: f64,
    wall: f64,
    /// Along the drum, and round it in degrees.
    on: [f64; 2],
    /// From there to its square end.
    step: DVec3,
    /// Whether its path is given from there to the drum.
    is_turned: bool,
}

const DRUM: f64 = 150.0;

/// A point of a tube's wall: share of a turn, from cut to cut, from bore to skin; all 0 to 1.
type Spot = [f64; 3];

impl Tube {
    fn start(&self) -> DVec3 {
        let round = self.on[1].to_radians();
        DVec3::new(DRUM * round.sin(), self.on[0], DRUM * round.cos())
    }

    /// Where the wall lies, from its own definition: each line along it is cut where the first part of the wall from bore
    /// to skin meets the drum.
    fn place(&self, [turn, along, across]: Spot) -> DVec3 {
        let (start, axis) = (self.start(), self.step.normalize());
        let x = axis.any_orthonormal_vector();
        let out = DMat3::from_axis_angle(axis, TAU * turn) * x;
        let (bore, skin) = (self.od / 2.0 - self.wall, self.od / 2.0);
        let meets = |radius: f64| {
            let foot = start + radius * out;
            let (o, d) = ([foot.x, foot.z], [axis.x, axis.z]);
            let (a, b) = (d[0] * d[0] + d[1] * d[1], o[0] * d[0] + o[1] * d[1]);
            let c = o[0] * o[0] + o[1] * o[1] - DRUM * DRUM;
            (-b + (b * b - a * c).sqrt()) / a
        };
        let cut = (0..=16).map(|layer| meets(bore + (skin - bore) * f64::from(layer) / 16.0));
        let cut = cut.fold(f64::MIN, f64::max);
        start + (bore + across * (skin - bore)) * out + (cut + along * (self.step.length() - cut)) * axis
    }

    fn words(&self, stock: &str, (turn, shift): (DMat3, DVec3)) -> Value {
        let on = json!({ "on": "drum", "along": self.on[0], "round": format!("{}deg", self.on[1]) });
        let free = json!({ "at": (turn * (self.start() + self.step) + shift).to_array() });
        let path = if self.is_turned { [free, on] } else { [on, free] };
        json!({ "stock": stock, "path": path })
    }
}

/// The tubes on their drum, all of it moved and turned; the second is to keep `keep` millimetres from the first.
fn job(tubes: [&Tube; 2], keep: Option<f64>, way: (DMat3, DVec3)) -> Value {
    let (turn, shift) = way;
    let place = |at: DVec3| (turn * at + shift).to_array();
    let sizes = tubes.map(|tube| json!({ "size": format!("{}mm x {}mm", tube.od, tube.wall) }));
    let words = |index: usize| tubes[index].words(["a", "b"][index], way);
    let mut job = json!({ "units": "mm", "stock": { "a": sizes[0], "b": sizes[1] },
        "bodies": { "drum": { "shape": "cylinder", "size": "300mm x 5mm", "from": place(DVec3::ZERO),
            "to": place(DVec3::new(0.0, 900.0, 0.0)), "zero": (turn * DVec3::Z).to_array() } },
        "tubes": { "p": words(0), "q": words(1) } });
    if let Some(by) = keep {
        job["keep_clear"] = json!([{ "tube": "q", "body": "p", "by": by }]);
    }
    job
}

const STILL: (DMat3, DVec3) = (DMat3::IDENTITY, DVec3::ZERO);

fn apart(tubes: [&Tube; 2], way: (DMat3, DVec3)) -> f64 {
    let told = found(&job(tubes, Some(500.0), way));
    let told = told.iter().filter(|clash| clash.asked_mm > 0.0);
    let mm: Vec<f64> = told.map(|clash| clash.apart_mm).collect();
    assert_eq!(mm.len(), 1, "{tubes:?}");
    mm[0]
}

/// The nearest places of two walls: all against all on a grid, the best of those then each moved nearer.
fn sampled(a: &dyn Fn(Spot) -> DVec3, b: &dyn Fn(Spot) -> DVec3) -> f64 {
    let grid = |of: &dyn Fn(Spot) -> DVec3| -> Vec<(Spot, DVec3)> {
        let mut places = Vec::new();
        for turn in 0..72 {
            for along in 0..=24 {
                for across in [0.0, 1.0] {
                    // Closer near the cuts, where walls end.
                    let share = f64::from(along) / 24.0;
                    let spot = [f64::from(turn) / 72.0, share * share * (3.0 - 2.0 * share), across];
                    places.push((spot, of(spot)));
                }
            }
        }
        places
    };
    let (ones, others) = (grid(a), grid(b));
    let mut pairs: Vec<(f64, [Spot; 2])> = ones
        .iter()
        .map(|(spot, place)| {
            let nearest = others
                .iter()
                .map(|(other, there)| ((*there - *place).length_squared(), *other));
            let nearest = nearest.min_by(|a, b| a.0.total_cmp(&b.0)).expect("places");
            (nearest.0, [*spot, nearest.1])
        })
        .collect();
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let nearer = pairs.iter().step_by(3).take(40).map(|pair| moved_nearer(a, b, pair.1));
    nearer.fold(f64::INFINITY, f64::min)
}

/// From two places to nearer ones, by steps of any two of their six shares at once.
fn moved_nearer(a: &dyn Fn(Spot) -> DVec3, b: &dyn Fn(Spot) -> DVec3, spots: [Spot; 2]) -> f64 {
    let distance = |shares: &[f64; 6]| {
        let spot = |from: usize| {
            [
                shares[from],
                shares[from + 1].clamp(0.0, 1.0),
                shares[from + 2].clamp(0.0, 1.0),
            ]
        };
        (a(spot(0)) - b(spot(3))).length()
    };
    let mut shares = [
        spots[0][0],
        spots[0][1],
        spots[0][2],
        spots[1][0],
        spots[1][1],
        spots[1][2],
    ];
    let (mut best, mut step) = (distance(&shares), 0.02);
    while step > 1e-7 {
        let mut is_nearer = false;
        for i in 0..6 {
            for j in 0..6 {
                for signs in [[1.0, 1.0], [1.0, -1.0], [-1.0, 1.0], [-1.0, -1.0]] {
                    let mut next = shares;
                    next[i] += signs[0] * step;
                    if j != i {
                        next[j] += signs[1] * step;
                    }
                    for index in [1, 2, 4, 5] {
                        next[index] = next[index].clamp(0.0, 1.0);
                    }
                    let there = distance(&next);
                    if there < best {
                        (best, shares, is_nearer) = (there, next, true);
                    }
                }
            }
        }
        if !is_nearer {
            step /= 2.0;
        }
    }
    best
}

/// One straight out at 300 along, the other leaning away from it.
fn pair(along: f64) -> [Tube; 2] {
    let tube = |on: f64, step: [f64; 3]| Tube {
        od: 48.3,
        wall: 3.0,
        on: [on, 0.0],
        step: DVec3::from_array(step),
        is_turned: false,
    };
    [tube(300.0, [0.0, 0.0, 200.0]), tube(along, [0.0, 150.0, 200.0])]
}

#[test]
fn tubes_that_meet_only_where_they_are_coped_are_told() {
    // In the plane through both axes: the second tube's lower skin lies 24.15 below its axis, which leans by 3 : 4, so that
    // it passes the drum's crown 24.15 / 0.8 before its landing point; the first one's skin is there at 324.15. Square to
    // the second tube that is 0.8 of what is between.
    for (along, is_told) in [(340.0, true), (350.0, true), (354.0, false)] {
        let [p, q] = pair(along);
        let told = found(&job([&p, &q], None, STILL));
        assert_eq!(told.len(), usize::from(is_told), "{along}: {told:?}");
        if along == 350.0 {
            let deep = 0.8 * (324.15 - (along - 24.15 / 0.8));
            assert!((told[0].apart_mm + deep).abs() < EXACT, "{told:?} for {deep}");
        }
    }
}

#[test]
fn a_distance_to_be_kept_is_that_between_the_tubes_as_they_are_cut() {
    for along in [354.0, 360.0, 372.0] {
        let [p, q] = pair(along);
        let reference = sampled(&|spot| p.place(spot), &|spot| q.place(spot));
        let given = apart([&p, &q], STILL);
        assert!((given - reference).abs() < EXACT, "{along}: {given} for {reference}");
        for (by, is_told) in [(reference - 0.03, false), (reference + 0.03, true)] {
            let told = found(&job([&p, &q], Some(by), STILL));
            assert_eq!(!told.is_empty(), is_told, "{along}, {by}: {told:?}");
        }
    }
}

/// Two tubes on the drum near each other, leaning by up to 50 degrees or so.
fn tubes() -> impl Strategy<Value = [Tube; 2]> {
    let one = (
        200_u32..600,
        15_u32..50,
        -60.0..60.0_f64,
        -120.0..120.0_f64,
        100.0..250.0_f64,
    );
    let beside = (40.0..110.0_f64, -25.0..25.0_f64, -180.0..180.0_f64, any::<[bool; 2]>());
    (one.clone(), one, beside).prop_map(|(a, b, (along, round, at, turned))| {
        let tube = |(od, wall, aside, lengthwise, out): (u32, u32, f64, f64, f64), on: [f64; 2], is_turned: bool| {
            let (sin, cos) = on[1].to_radians().sin_cos();
            Tube {
                od: f64::from(od) / 10.0,
                wall: f64::from(wall) / 10.0,
                on,
                step: DVec3::new(out * sin + aside * cos, lengthwise, out * cos - aside * sin),
                is_turned,
            }
        };
        [
            tube(a, [400.0, at], turned[0]),
            tube(b, [400.0 + along, at + round], turned[1]),
        ]
    })
}

proptest! {
    #![proptest_config(tried_afresh(25))]

    #[test]
    fn distances_between_tubes_as_they_are_cut_are_those_of_their_walls(tubes in tubes()) {
        let [p, q] = &tubes;
        let given = apart([p, q], STILL);
        let reference = sampled(&|spot| p.place(spot), &|spot| q.place(spot));
        if given > 0.0 {
            prop_assert!(given <= reference + 0.003, "{given} is more than {reference}");
            prop_assert!(given >= reference - EXACT, "{given} is less than {reference}");
        } else {
            prop_assert!(reference < 0.05, "{given}, but {reference}");
        }
        let is_told = !found(&job([p, q], None, STILL)).is_empty();
        prop_assert!(is_told == (given < -EXACT) || given.abs() < 2.0 * EXACT, "{given}: {is_told}");
    }

    #[test]
    fn a_distance_is_the_same_both_ways_and_wherever_the_whole_job_is(
        tubes in tubes(),
        turn in (-3.0..3.0_f64, -1.5..1.5_f64, -3.0..3.0_f64),
        shift in (-2000.0..2000.0_f64, -2000.0..2000.0_f64, -2000.0..2000.0_f64),
    ) {
        let [p, q] = &tubes;
        let turn = DMat3::from_euler(glam::EulerRot::ZYX, turn.0, turn.1, turn.2);
        let given = apart([p, q], STILL);
        let near = if given > 0.0 { 0.005 } else { 0.02 * -given + 0.05 };
        for other in [apart([q, p], STILL), apart([p, q], (turn, DVec3::from(shift)))] {
            prop_assert!((other - given).abs() < near, "{other} for {given}");
        }
        let told = |way| found(&job([p, q], None, way)).len();
        prop_assert!(told(STILL) == told((turn, DVec3::from(shift))) || given.abs() < 2.0 * EXACT);
    }
}

#[test]
fn what_passes_a_mitered_corner_is_as_far_from_it_as_both_legs() {
    // The straight tube passes the corner's outside, its inside and its side; or ends within the bore, beside the edge
    // that the saw leaves in the throat.
    let (before, corner, after) = (DVec3::new(-300.0, 0.0, 0.0), DVec3::ZERO, DVec3::new(90.0, 40.0, 280.0));
    let legs =
        [(before, corner), (corner, after)].map(|(from, to)| (from, (to - from).normalize(), (to - from).length()));
    let cut = (legs[0].1 + legs[1].1).normalize();
    let wall = |leg: usize, [turn, along, across]: Spot| {
        let (from, axis, length) = legs[leg];
        let out = DMat3::from_axis_angle(axis, TAU * turn) * axis.any_orthonormal_vector();
        let foot = from + (18.0 + 6.0 * across) * out;
        // Where the line along the wall meets the cut's plane.
        let mitered = (corner - foot).dot(cut) / axis.dot(cut);
        let (low, high) = if leg == 0 { (0.0, mitered) } else { (mitered, length) };
        foot + (low + along * (high - low)) * axis
    };
    let throat = (legs[1].1 - legs[0].1).normalize();
    for (od, from, to) in [
        (20.0, DVec3::new(20.0, -200.0, -34.0), DVec3::new(40.0, 220.0, -45.0)),
        (20.0, DVec3::new(-70.0, -200.0, 70.0), DVec3::new(-60.0, 220.0, 80.0)),
        (20.0, DVec3::new(-120.0, -52.0, 30.0), DVec3::new(160.0, -30.0, -12.0)),
        (3.0, DVec3::ZERO, 20.0 * throat),
    ] {
        let skin = od / 2.0;
        let axis = (to - from).normalize();
        let passing = |[turn, along, across]: Spot| {
            let out = DMat3::from_axis_angle(axis, TAU * turn) * axis.any_orthonormal_vector();
            from + along * (to - from) + (skin - 0.5 + 0.5 * across) * out
        };
        let reference = (0..2)
            .map(|leg| sampled(&|spot| wall(leg, spot), &passing))
            .fold(f64::MAX, f64::min);
        for points in [[before, corner, after], [after, corner, before]] {
            let path = points.map(|at| json!({ "at": at.to_array() }));
            let told = found(
                &json!({ "units": "mm", "stock": { "a": { "size": "48mm x 6mm" }, "b": { "size": format!("{od}mm x 0.5mm") } }, "bodies": {},
                "tubes": { "p": { "stock": "b", "path": [ { "at": from.to_array() }, { "at": to.to_array() } ] }, "q": { "stock": "a", "path": path } },
                "keep_clear": [{ "tube": "q", "body": "p", "by": 200 }] }),
            );
            let given = told.iter().map(|clash| clash.apart_mm).fold(f64::MAX, f64::min);
            assert!((given - reference).abs() < EXACT, "{from}: {given} for {reference}");
        }
    }
}

/// A tube of its own, square at both ends.
fn straight(section: &str, from: DVec3, to: DVec3, turned: f64) -> Value {
    let mut job = json!({ "units": "mm", "stock": { "a": { "size": section } },
        "tubes": { "p": { "stock": "a", "path": [ { "at": from.to_array() }, { "at": to.to_array() } ] } } });
    if turned != 0.0 {
        job["tubes"]["p"]["turned"] = json!(turned);
    }
    job
}

/// Bodies about the origin, and how far outside of each a place is by its definition.
type Outside = fn(DVec3) -> f64;
fn bodies() -> [(Value, Outside); 4] {
    fn of_profile(place: DVec3, length: f64, radii: [f64; 2]) -> f64 {
        // The straight outline of a drum or cone in the plane through its axis, from the middle of one end to the other's.
        let (r, y) = (place.x.hypot(place.z), place.y);
        let to = |a: [f64; 2], b: [f64; 2]| {
            let (w, v) = ([b[0] - a[0], b[1] - a[1]], [r - a[0], y - a[1]]);
            let share = ((v[0] * w[0] + v[1] * w[1]) / (w[0] * w[0] + w[1] * w[1])).clamp(0.0, 1.0);
            (v[0] - share * w[0]).hypot(v[1] - share * w[1])
        };
        let corners = [[0.0, 0.0], [radii[0], 0.0], [radii[1], length], [0.0, length]];
        corners
            .windows(2)
            .map(|pair| to(pair[0], pair[1]))
            .fold(f64::MAX, f64::min)
    }
    [
        (
            json!({ "shape": "cylinder", "size": "300mm x 5mm", "from": [0, 0, 0], "to": [0, 400, 0], "zero": [0, 0, 1] }),
            |place| of_profile(place, 400.0, [150.0, 150.0]),
        ),
        (
            json!({ "shape": "cone", "size": "300mm x 5mm", "size_to": "120mm x 5mm", "from": [0, 0, 0], "to": [0, 400, 0], "zero": [0, 0, 1] }),
            |place| of_profile(place, 400.0, [150.0, 60.0]),
        ),
        (
            json!({ "shape": "sphere", "size": "300mm x 5mm", "at": [0, 0, 0] }),
            |place| place.length() - 150.0,
        ),
        (
            json!({ "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [0, 1, 0], "size": 6, "wide": 300, "high": 200 }),
            |place| {
                let low = DVec3::new(-150.0, -100.0, -6.0) - place;
                low.max(place - DVec3::new(150.0, 100.0, 0.0)).max(DVec3::ZERO).length()
            },
        ),
    ]
}

/// The section of round tube, or of one that is 60 x 40 x 3 with corners of 5 mm.
fn wall(section: Section, turn: f64, across: f64) -> glam::DVec2 {
    let line = section.wall_line(TAU * turn, 3.0);
    line.origin + (line.inner + across * (line.outer - line.inner)) * glam::DVec2::from_angle(line.facing)
}

#[test]
fn what_passes_a_body_is_as_far_from_it_as_its_wall() {
    let round = ("50mm x 3mm", Section::round(50.0));
    let sides = Section::Rectangle(girthline::section::Rectangle {
        width: 60.0,
        height: 40.0,
        corner: 5.0,
    });
    for (words, section) in [round, ("rect 60mm x 40mm x 3mm r 5mm", sides)] {
        for (body, outside) in bodies() {
            for (index, (from, to)) in [
                ([200.0, 30.0, 190.0], [-260.0, 110.0, 230.0]),
                ([20.0, -90.0, 330.0], [60.0, -60.0, 190.0]),
                ([260.0, 440.0, 80.0], [-100.0, 470.0, 60.0]),
            ]
            .into_iter()
            .enumerate()
            {
                let (from, to) = (DVec3::from_array(from), DVec3::from_array(to));
                let mut job = straight(words, from, to, 0.0);
                job["bodies"] = json!({ "body": body });
                job["keep_clear"] = json!([{ "tube": "p", "body": "body", "by": 400 }]);
                let told = found(&job);
                assert_eq!(told.len(), 1, "{words} {index} {body}");
                // Its first side faces up, as the tube has no end with a front of its own.
                let axis = (to - from).normalize();
                let front = (DVec3::Z - DVec3::Z.dot(axis) * axis).normalize();
                let right = front.cross(axis);
                let place = |[turn, along, across]: Spot| {
                    let at = wall(section, turn, across);
                    from + along * (to - from) + at.x * front + at.y * right
                };
                let reference = nearest_to(&place, outside);
                assert!(
                    (told[0].apart_mm - reference).abs() < EXACT,
                    "{words} {index} {body}: {} for {reference}",
                    told[0].apart_mm
                );
            }
        }
    }
}

/// The wall's least distance outside of something: on a grid, and closer in.
fn nearest_to(place: &dyn Fn(Spot) -> DVec3, outside: Outside) -> f64 {
    let mut best = (f64::MAX, [0.0; 3]);
    for turn in 0..720 {
        for along in 0..=400 {
            for across in [0.0, 1.0] {
                let spot = [f64::from(turn) / 720.0, f64::from(along) / 400.0, across];
                let there = outside(place(spot));
                if there < best.0 {
                    best = (there, spot);
                }
            }
        }
    }
    let about = best.1;
    for turn in -50..=50 {
        for along in -50..=50 {
            for across in [0.0, 1.0] {
                let turn = about[0] + f64::from(turn) / 720.0 / 50.0;
                let along = (about[1] + f64::from(along) / 400.0 / 50.0).clamp(0.0, 1.0);
                best.0 = best.0.min(outside(place([turn, along, across])));
            }
        }
    }
    best.0
}

/// By hand: a tube of 40 mm passes the rim of a drum of 200 mm, its axis as far out as up from it. The skin reaches over
/// the rim by 0.5 mm both ways, over a few millimetres of a tube 3 m long.
#[test]
fn a_small_overlap_of_a_long_tube_is_as_deep_as_it_is() {
    let far = 20.0 / f64::sqrt(2.0) - 0.5;
    for shift in [0.0, 17.0, 31.0] {
        let from = DVec3::new(100.0 + far, -1500.0 + shift, 300.0 + far);
        let mut job = straight("40mm x 2mm", from, from + DVec3::new(0.0, 3000.0, 0.0), 0.0);
        job["bodies"] =
            json!({ "drum": { "shape": "cylinder", "size": "200mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 300] } });
        let clashes = found(&job);
        assert_eq!(clashes.len(), 1, "{clashes:?}");
        assert!((clashes[0].apart_mm + 0.5).abs() < 1e-3, "{clashes:?}");
    }
}

#[test]
fn only_where_tubes_are_joined_may_they_meet() {
    let job = |second: Value| {
        json!({ "units": "mm", "stock": { "a": { "size": "48.3mm x 3mm" }, "b": { "size": "30mm x 2mm" }, "c": { "size": "42.3mm x 2mm" } },
            "bodies": {},
            "tubes": { "p": { "stock": "a", "path": [ { "at": [0, 0, 0] }, { "at": [0, 0, 600] } ] }, "q": second } })
    };
    let cases = [
        // It lands on the first, and that is all.
        (
            json!({ "stock": "b", "path": [ { "on": "p", "along": 300, "round": 0 }, { "step": [200, 0, 0] } ] }),
            0,
        ),
        // It lands on it, turns, and comes back through it.
        (
            json!({ "stock": "b", "path": [ { "on": "p", "along": 300, "round": 0 }, { "step": [200, 0, 0] }, { "step": [0, 0, 150] }, { "step": [-400, 0, 0] } ] }),
            1,
        ),
        // Within its bore, which is as wide, or too wide by a little.
        (
            json!({ "stock": "c", "path": [ { "at": [0, 0, 100] }, { "at": [0, 0, 900] } ] }),
            0,
        ),
        (
            json!({ "stock": "c", "path": [ { "at": [0.1, 0, 100] }, { "at": [0.1, 0, 900] } ] }),
            1,
        ),
        // End to end, with a gap and with an overlap of a millimetre.
        (
            json!({ "stock": "a", "path": [ { "at": [0, 0, 600] }, { "at": [0, 0, 900] } ] }),
            0,
        ),
        (
            json!({ "stock": "a", "path": [ { "at": [0, 0, 599] }, { "at": [0, 0, 900] } ] }),
            1,
        ),
        // Beside it, touching.
        (
            json!({ "stock": "a", "path": [ { "at": [48.3, 0, 100] }, { "at": [48.3, 0, 900] } ] }),
            0,
        ),
        (
            json!({ "stock": "a", "path": [ { "at": [48.28, 0, 100] }, { "at": [48.28, 0, 900] } ] }),
            1,
        ),
        // A hairpin that runs into the first tube with its second leg, and with what is cut at the corner before it.
        (
            json!({ "stock": "b", "path": [ { "at": [80, 0, 900] }, { "at": [80, 0, 300] }, { "at": [30, 0, 300] }, { "at": [30, 0, 900] } ] }),
            2,
        ),
    ];
    for (index, (second, count)) in cases.into_iter().enumerate() {
        let told = found(&job(second));
        assert_eq!(told.len(), count, "{index}: {told:?}");
    }
}

#[test]
fn a_tube_that_runs_through_a_plate_with_edges_is_told() {
    let job = |x: f64, edges: bool, low: f64| {
        let mut plate = json!({ "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [0, 1, 0], "size": 6 });
        if edges {
            (plate["wide"], plate["high"]) = (json!(300), json!(200));
        }
        json!({ "units": "mm", "stock": { "a": { "size": "40mm x 2mm" } }, "bodies": { "plate": plate },
            "tubes": { "p": { "stock": "a", "path": [ { "at": [x, 0, low] }, { "at": [x, 0, 300] } ] } } })
    };
    for (x, edges, low, is_told) in [
        (100.0, true, -100.0, true),
        (165.0, true, -100.0, true),
        (171.0, true, -100.0, false),
        (100.0, true, 1.0, false),
        (100.0, true, -1.0, true),
        (100.0, false, -100.0, false),
    ] {
        let told = found(&job(x, edges, low));
        assert_eq!(!told.is_empty(), is_told, "{x} {low}: {told:?}");
    }
}

#[test]
fn a_wall_or_a_hole_that_comes_a_little_over_a_plates_edge_is_told() {
    let notes = |along: f64, round: f64, join: &str| {
        let job = json!({ "units": "mm", "stock": { "a": { "size": "50mm x 2mm" } },
            "bodies": { "foot": { "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [0, 1, 0], "size": 6,
                "wide": 300, "high": 200 } },
            "tubes": { "t": { "stock": "a", "path": [ { "on": "foot", "along": along, "round": round }, { "step": [0, 0, 200] } ],
                "start": { "join": join } } } });
        let read = read_job("job.json", &job.to_string()).expect("JSON");
        let resolved = job_file(&read, &read.sheet).unwrap_or_else(|problems| panic!("{problems}"));
        let plan = plan::batch(&resolved, &|_, _| ()).unwrap_or_else(|problems| panic!("{problems}"));
        said(&plan).clashes.join("\n")
    };
    // The wall's radius is 25 mm, its bore's 23 mm; the edges are 100 mm and 150 mm from the cross.
    for (join, part) in [("set-on", "the wall of t"), ("set-in", "the hole for t")] {
        for ([along, round], back) in [
            ([75.5, 0.0], "down"),
            ([-75.5, 0.0], "up"),
            ([0.0, 125.5], "to the left"),
            ([0.0, -125.5], "to the right"),
        ] {
            let told = notes(along, round, join);
            let wanted = format!("CLASH: {part} against the edge of foot");
            let moved = format!("clear when moved 0.50 mm over the skin {back}");
            assert!(
                told.contains(&wanted) && told.contains(&moved),
                "{join} {along} {round}: {told}"
            );
        }
        for [along, round] in [[74.9, 0.0], [-74.9, 0.0], [0.0, 124.9], [0.0, -124.9]] {
            let told = notes(along, round, join);
            assert!(!told.contains("CLASH"), "{join} {along} {round}: {told}");
        }
    }
}

/// The notes of a job whose tube is copied.
fn told(copies: usize, step: f64) -> Vec<String> {
    let text = format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "40mm x 2mm" }} }},
        "bodies": {{ "low": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 6000, 0], "zero": [0, 0, 1] }} }},
        "tubes": {{ "riser": {{ "stock": "a", "path": [ {{ "on": "low", "along": 200 }}, {{ "step": [0, 0, 400] }} ],
            "end": {{ "join": "square" }}, "repeat": {{ "times": {copies}, "step": [0, {step}, 0] }} }} }} }}"#
    );
    let raw = read_job("job.json", &text).unwrap_or_else(|problems| panic!("{problems}"));
    let job = job_file(&raw, &raw.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    let plan = plan::batch(&job, &|_, _| ()).unwrap_or_else(|problems| panic!("{problems}"));
    said(&plan).clashes
}

#[test]
fn copies_by_a_slip_on_top_of_each_other_are_told_in_two_lines() {
    let notes = told(50, 0.5);
    let clashes: Vec<&String> = notes.iter().filter(|note| note.starts_with("CLASH")).collect();
    assert_eq!(clashes.len(), 2, "{notes:?}");
    assert!(
        clashes[0].starts_with("CLASH: riser 1 to 50 overlap each other by up to "),
        "{clashes:?}"
    );
    let holes = "CLASH: the holes for riser 1 to 50 in low overlap each other by up to ";
    assert!(clashes[1].starts_with(holes), "{clashes:?}");
    // Two of them are told by their names, and none where there is room.
    assert!(
        told(2, 30.0)[0].starts_with("CLASH: riser 1 against riser 2, overlap by 10.00 mm"),
        "{:?}",
        told(2, 30.0)
    );
    assert!(told(50, 60.0).iter().all(|note| !note.starts_with("CLASH")));
}

#[test]
fn copies_in_one_place_are_told_so_and_not_as_an_overlap_of_some_figure() {
    let notes = told(7, 0.0);
    let clashes: Vec<&String> = notes.iter().filter(|note| note.starts_with("CLASH")).collect();
    assert_eq!(clashes.len(), 2, "{notes:?}");
    assert!(
        clashes[0].starts_with("CLASH: riser 1 to 7 are in the same place, "),
        "{clashes:?}"
    );
    let holes = "CLASH: the holes for riser 1 to 7 in low are in the same place, ";
    assert!(clashes[1].starts_with(holes), "{clashes:?}");
    let two = told(2, 0.0);
    assert!(
        two[0].starts_with("CLASH: riser 1 against riser 2, in the same place"),
        "{two:?}"
    );
}

#[test]
fn copies_of_a_bent_tube_in_one_place_clash_once_a_pair() {
    let corner = |name: &str, shift: f64| {
        json!({ name: { "stock": "a",
        "path": [{ "at": [0, 0, 0] }, { "at": [0, 0, 500] }, { "at": [400, 0, 700] }, { "at": [800, 300, 700] }],
        "repeat": { "times": 3, "step": [0, shift, 0] } } })
    };
    let job = |shift: f64| {
        json!({ "units": "mm", "stock": { "a": { "size": "42.4mm x 2.6mm" } }, "bodies": {},
        "tubes": corner("rail", shift) })
    };
    let same = found(&job(0.0));
    assert_eq!(same.len(), 3, "{same:?}");
    assert!(
        same.iter()
            .all(|clash| matches!(clash.way, InTheWay::SamePlace(_)) && (clash.apart_mm + 2.6).abs() < 0.01)
    );
    // A hair beside each other every leg is held against every leg.
    let near = found(&job(0.1));
    assert!(near.len() >= 9, "{near:?}");
    assert!(near.iter().all(|clash| matches!(clash.way, InTheWay::Tubes(_))));
}

/// A place is told along one of the tubes that clash: of three tubes through one place, not along the third.
#[test]
fn a_clash_is_placed_along_its_own_tubes() {
    let through = |name: &str, way: [f64; 3]| {
        let [x, y, z] = way.map(|part| 200.0 * part);
        format!(
            r#""{name}": {{ "stock": "a", "path": [ {{ "at": [{}, {}, {}] }}, {{ "at": [{x}, {y}, {z}] }} ] }}"#,
            -x, -y, -z
        )
    };
    let tubes = [
        through("first", [1.0, 0.0, 0.0]),
        through("second", [0.0, 1.0, 0.0]),
        through("third", [0.0, 0.0, 1.0]),
    ];
    let job = format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "42.4mm x 2.6mm" }} }}, "bodies": {{}}, "tubes": {{ {} }} }}"#,
        tubes.join(", ")
    );
    let job = read_job("job.json", &job).unwrap_or_else(|problems| panic!("{problems}"));
    let job = job_file(&job, &job.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    let plan = plan::batch(&job, &|_, _| ()).unwrap_or_else(|problems| panic!("{problems}"));
    let notes = said(&plan).clashes;
    assert_eq!(notes.len(), 3, "{notes:?}");
    for line in &notes {
        let (_, pair) = line.split_once("CLASH: ").expect("words");
        let (names, _) = pair.split_once(',').expect("two names");
        let (_, place) = pair.rsplit_once("along ").expect("a place");
        let (along, _) = place.split_once(" from its START").expect("from its START");
        assert!(names.split(" against ").any(|name| name == along), "{line}");
    }
}

#[test]
fn holes_in_a_tube_that_overlap_are_placed_along_that_tube() {
    let brace = |name: &str, along: f64| {
        format!(
            r#""{name}": {{ "stock": "b", "path": [ {{ "on": "rail", "along": {along}, "round": 0 }}, {{ "on": "rail", "along": {along}, "round": 0, "out": 120 }} ] }}"#
        )
    };
    let job = format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "60.3mm x 2.9mm" }}, "b": {{ "size": "33.7mm x 2.6mm" }} }}, "bodies": {{}},
  "tubes": {{ "rail": {{ "stock": "a", "path": [ {{ "at": [0, 0, 0] }}, {{ "at": [500, 0, 0] }} ] }}, {}, {} }} }}"#,
        brace("one", 230.0),
        brace("two", 250.0)
    );
    let job = read_job("job.json", &job).unwrap_or_else(|problems| panic!("{problems}"));
    let job = job_file(&job, &job.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    let plan = plan::batch(&job, &|_, _| ()).unwrap_or_else(|problems| panic!("{problems}"));
    let notes = said(&plan).clashes;
    let of_holes = notes
        .iter()
        .find(|line| line.contains("the holes for one and two in rail"));
    let of_holes = of_holes.unwrap_or_else(|| panic!("{notes:?}"));
    // Tubes of 33.7 mm, 20 mm apart: 13.7 mm more.
    assert!(
        of_holes.contains(
            ", 250.00 mm along rail from its START: clear when one is moved 13.71 mm over the skin towards the"
        ),
        "{of_holes}"
    );
}
