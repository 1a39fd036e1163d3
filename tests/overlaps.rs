//! How deep tubes reach into a drum about its rim, where its side and its end are as near: against dense sampling of their walls.

mod trying;

use std::f64::consts::TAU;

use girthline::job::read::read_job;
use girthline::job::resolve::job_file;
use girthline::plan::clashes;
use glam::DVec3;
use proptest::prelude::*;
use serde_json::json;
use trying::tried_afresh;

const RADIUS: f64 = 150.0;
const LENGTH: f64 = 400.0;
const SKIN: f64 = 24.15;
const WALL: f64 = 3.0;

/// How deep an overlap is, as a share of it, and where it is slight in millimetres.
const SHARE: f64 = 0.01;
const SLIGHT: f64 = 0.02;

/// How far inside a drum about +y a place is.
fn inside(place: DVec3) -> f64 {
    (RADIUS - place.x.hypot(place.z)).min(place.y).min(LENGTH - place.y)
}

/// The deepest place of a straight tube's wall, looked at all over and then ever more closely about the best looks.
fn sampled(from: DVec3, to: DVec3) -> f64 {
    let axis = (to - from).normalize();
    let front = axis.any_orthonormal_vector();
    let right = axis.cross(front);
    let at = |[turn, along, across]: [f64; 3]| {
        let (sin, cos) = (TAU * turn).sin_cos();
        let radius = SKIN - WALL * across.clamp(0.0, 1.0);
        from.lerp(to, along.clamp(0.0, 1.0)) + radius * (cos * front + sin * right)
    };
    let best_of = |middle: [f64; 3], half: [f64; 3], looks: [usize; 3]| {
        let mut best = (f64::MIN, middle);
        for i in 0..=looks[0] {
            for k in 0..=looks[1] {
                for j in 0..=looks[2] {
                    let steps = [i, k, j];
                    let spot = std::array::from_fn(|axis| {
                        middle[axis] + half[axis] * (2.0 * steps[axis] as f64 / looks[axis] as f64 - 1.0)
                    });
                    let depth = inside(at(spot));
                    if depth > best.0 {
                        best = (depth, spot);
                    }
                }
            }
        }
        best
    };
    let mut best = best_of([0.5; 3], [0.5; 3], [360, 300, 2]);
    let mut half = [1.0 / 180.0, 1.0 / 150.0, 0.5];
    for _ in 0..24 {
        let next = best_of(best.1, half, [24, 24, 4]);
        if next.0 > best.0 + 1e-9 {
            best = next;
        } else {
            half = half.map(|half| half / 2.0);
        }
    }
    best.0
}

fn told(from: DVec3, to: DVec3) -> Option<f64> {
    let job = json!({ "units": "mm", "stock": { "a": { "size": "48.3mm x 3mm" } },
        "bodies": { "drum": { "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, LENGTH, 0], "zero": [0, 0, 1] } },
        "tubes": { "bar": { "stock": "a", "path": [ { "at": from.to_array() }, { "at": to.to_array() } ] } } })
    .to_string();
    let job = read_job("job.json", &job).unwrap_or_else(|problems| panic!("{problems}\n{job}"));
    let resolved = job_file(&job, &job.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    let found = clashes(&resolved.joint);
    found.first().map(|clash| -clash.apart_mm)
}

proptest! {
    #![proptest_config(tried_afresh(60))]

    #[test]
    fn overlaps_about_a_rim_are_as_deep_as_they_are_sampled(
        round in 0.0..TAU, out in -40.0..20.0, past in -40.0..20.0,
        way in prop::array::uniform3(-1.0..1.0_f64), ahead in -20.0..250.0,
    ) {
        let way = DVec3::from_array(way);
        prop_assume!(way.length() > 0.2);
        let way = way.normalize();
        let rim = DVec3::new((RADIUS + out) * round.sin(), LENGTH + past, (RADIUS + out) * round.cos());
        let (from, to) = (rim - 250.0 * way, rim + ahead * way);
        let depth = sampled(from, to);
        let told = told(from, to);
        if depth > SLIGHT {
            let told = told.unwrap_or(0.0);
            prop_assert!((told - depth).abs() < (SHARE * depth).max(SLIGHT), "{told} told, {depth} sampled");
        } else if depth < -SLIGHT {
            prop_assert_eq!(told, None);
        }
    }
}
