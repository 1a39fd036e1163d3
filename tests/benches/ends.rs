//! What the reference joints cost to solve and fit, for `ratios.py`.
//!
//! Prints a line a joint: seconds for its end, and how many cubics its curve has.

mod common;

use std::hint::black_box;
use std::time::Instant;

use common::Joint;
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
        let assembly = joint.assembly();
        let end = &assembly.pieces(&assembly.tubes[0])[0].near;
        let once = || {
            let start = Instant::now();
            let curve = solve_end(black_box(end), joint.branch_od / 2.0, 0.0).expect("a curve");
            (start.elapsed().as_secs_f64(), curve.path.segments().count())
        };
        let best = (0..RUNS).map(|_| once()).min_by(|a, b| a.0.total_cmp(&b.0));
        let (seconds, cubics) = best.expect("a run");
        println!("{seconds:.9} {cubics}");
    }
}
