//! What ends cost to solve and fit, for `ratios.py`.
//!
//! Prints a line for each reference joint: seconds for its end, and how many cubics its curve has. Then the same for one tube
//! on a drum that is round, oval, and of measured diameters, and on heads as wide as these, with what it is before.

mod common;

use std::hint::black_box;
use std::time::Instant;

use common::Joint;
use girthline::job::read::read_job;
use girthline::job::{Assembly, resolve};
use girthline::solver::solve_end;

/// The shortest of so many runs counts: what else the machine does only adds.
const RUNS: usize = 25;

fn main() {
    let text = include_str!("../../shared/checks/joints.json");
    let checks: serde_json::Value = serde_json::from_str(text).expect("checks");
    for check in checks["joints"].as_array().expect("joints") {
        let Ok(joint) = serde_json::from_value::<Joint>(check.clone()) else {
            continue;
        };
        let (seconds, cubics) = cost(&joint.assembly(), joint.branch_od / 2.0);
        println!("{seconds:.9} {cubics}");
    }
    for (what, section) in SECTIONS {
        let (seconds, cubics) = cost(&on_drum(section), 24.15);
        println!("{what} {seconds:.9} {cubics}");
    }
    for (what, dish, along) in HEADS {
        let (seconds, cubics) = cost(&on_head(dish, along), 24.15);
        println!("{what} {seconds:.9} {cubics}");
    }
}

/// A head's dish, as a job has it, and how far from the apex the tube lands: on the crown, over crown and knuckle, on an ellipsoid.
const HEADS: [(&str, &str, f64); 3] = [
    ("crown", "DIN 28011", 120.0),
    ("knuckle", "DIN 28011", 265.0),
    ("ellipsoidal", "ellipsoidal 2:1", 200.0),
];

/// A leaning tube on a head of this dish.
fn on_head(dish: &str, along: f64) -> Assembly {
    resolved(&format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "48.3mm x 2mm" }} }},
          "bodies": {{ "head": {{ "shape": "head", "size": "girth 1803mm x 1.2mm", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [1, 0, 0],
              "dish": "{dish}" }} }},
          "tubes": {{ "branch": {{ "stock": "a", "path": [ {{ "on": "head", "along": {along}, "round": "20deg" }},
            {{ "step": [150, 50, 400] }} ] }} }} }}"#
    ))
}

fn resolved(job: &str) -> Assembly {
    let raw = read_job("job.json", job).expect("a job");
    let job = resolve::job_file(&raw, &raw.sheet).unwrap_or_else(|problems| panic!("{problems}"));
    job.joint
}

/// A drum's section, as a job has it.
const SECTIONS: [(&str, &str); 3] = [
    ("round", ""),
    ("oval", r#", "section": { "oval": [592, 555] }"#),
    (
        "measured",
        r#", "section": { "diameters": [ { "at": 0, "across": 569 }, { "at": 225, "across": 577 }, { "at": 451, "across": 575 },
            { "at": 677, "across": 568 } ] }"#,
    ),
];

/// A leaning tube beside the zero line of a drum of this section.
fn on_drum(section: &str) -> Assembly {
    resolved(&format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "48.3mm x 2mm" }} }},
          "bodies": {{ "drum": {{ "shape": "cylinder", "size": "girth 1803mm x 1.2mm", "from": [0, 0, 0], "to": [0, 900, 0],
              "zero": [0, 0, 1]{section} }} }},
          "tubes": {{ "branch": {{ "stock": "a", "path": [ {{ "on": "drum", "along": 400, "round": "20deg" }},
            {{ "step": [50, 150, 400] }} ] }} }} }}"#
    ))
}

/// The shortest seconds of the first tube's near end, and the cubics of its curve.
fn cost(assembly: &Assembly, radius: f64) -> (f64, usize) {
    let end = &assembly.pieces(&assembly.tubes[0])[0].near;
    let once = || {
        let start = Instant::now();
        let curve = solve_end(black_box(end), radius, 0.0).expect("a curve");
        (start.elapsed().as_secs_f64(), curve.path.segments().count())
    };
    let best = (0..RUNS).map(|_| once()).min_by(|a, b| a.0.total_cmp(&b.0));
    best.expect("a run")
}
