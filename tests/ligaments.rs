//! What is left between holes, against places of both outlines that are sampled close by from their definition.

use girthline::job::read::read_job;
use girthline::job::resolve::job_file;
use girthline::plan;
use serde_json::{Value, json};
use std::f64::consts::TAU;

/// Ligaments are this near to the true ones, in millimetres.
const EXACT: f64 = 0.005;

const DRUM: f64 = 150.0;

/// What is left between the holes of two copies of a tube, `step` from each other along a drum of 300 mm.
fn told(tube: &Value, step: f64) -> f64 {
    let mut tube = tube.clone();
    tube["repeat"] = json!({ "times": 2, "step": [0, step, 0] });
    let job = json!({ "units": "mm", "stock": { "a": { "size": "42.4mm x 0.1mm" } },
        "bodies": { "drum": { "shape": "cylinder", "size": "300mm x 5mm", "from": [0, 0, 0], "to": [0, 900, 0], "zero": [0, 0, 1] } },
        "tubes": { "leg": tube } })
    .to_string();
    let job = read_job("job.json", &job).unwrap_or_else(|problems| panic!("{problems}\n{job}"));
    let resolved = job_file(&job, &job.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    let plan = plan::batch(&resolved, &|_, _| ()).unwrap_or_else(|problems| panic!("{problems}"));
    let hole = plan.holes().next().expect("a hole");
    hole.place.and_then(|place| place.ligament).expect("a ligament").1
}

/// The outline of a hole for a bore of `radius`, its axis `offset` past the drum's and leaving it at `angle` degrees: GEOMETRY.md's
/// frame, u and v from the common perpendicular.
fn outline(radius: f64, offset: f64, angle: f64, places: usize) -> Vec<[f64; 2]> {
    let (sin_lean, cos_lean) = angle.to_radians().sin_cos();
    let place = |step: usize| {
        let (sin, cos) = (TAU * step as f64 / places as f64).sin_cos();
        let x = offset + radius * sin;
        let t = ((DRUM * DRUM - x * x).sqrt() + radius * cos * cos_lean) / sin_lean;
        [DRUM * (x / DRUM).asin(), radius * cos * sin_lean + t * cos_lean]
    };
    (0..places).map(place).collect()
}

/// The least distance between an outline and the same one `step` on.
fn least(outline: &[[f64; 2]], step: f64) -> f64 {
    let apart = |[u, v]: &[f64; 2]| {
        let others = outline.iter().map(|[x, y]| (x - u).hypot(y + step - v));
        others.fold(f64::INFINITY, f64::min)
    };
    outline.iter().map(apart).fold(f64::INFINITY, f64::min)
}

#[test]
fn ligaments_are_those_between_the_outlines_and_not_between_chords_of_them() {
    // The wider the bore's edge comes to the drum's side, the farther its places are from each other.
    for (offset, angle, step) in [
        (0.0, 90.0, 60.0),
        (125.0, 90.0, 52.0),
        (128.7, 60.0, 70.0),
        (128.79, 40.0, 95.0),
    ] {
        let round = f64::asin(offset / DRUM).to_degrees();
        let lean = f64::to_radians(angle);
        let tube = json!({ "stock": "a", "path": [ { "on": "drum", "along": 400, "round": format!("{round:.9}deg") },
            { "step": [0, 400.0 * lean.cos(), 400.0 * lean.sin()] } ] });
        let (told, sampled) = (told(&tube, step), least(&outline(21.1, offset, angle, 7200), step));
        assert!(
            (told - sampled).abs() < EXACT,
            "{offset} {angle}: {told} told, {sampled} sampled"
        );
    }
}
