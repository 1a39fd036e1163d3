//! What single joints cost: `cargo bench --bench joints`.

mod common;

use std::hint::black_box;

use common::Joint;
use divan::Bencher;
use girthline::solver::{hole_outline, solve_end};

fn main() {
    divan::main();
}

/// A tube of 48.3 x 2 mm on a header of 114.3 mm, at an angle in degrees and off the middle in millimetres.
const JOINTS: [(f64, f64); 4] = [(90.0, 0.0), (60.0, 0.0), (60.0, 12.0), (35.0, 20.0)];

fn joint((angle, offset): (f64, f64)) -> Joint {
    Joint {
        branch_od: 48.3,
        branch_wall: 2.0,
        header_od: 114.3,
        angle,
        offset,
    }
}

#[divan::bench(args = JOINTS)]
fn saddle_end(bencher: Bencher<'_, '_>, place: (f64, f64)) {
    let assembly = joint(place).assembly();
    let end = &assembly.pieces(&assembly.tubes[0])[0].near;
    bencher.bench_local(|| solve_end(black_box(end), 24.15, 0.0));
}

#[divan::bench(args = JOINTS)]
fn hole(bencher: Bencher<'_, '_>, place: (f64, f64)) {
    let assembly = joint(place).assembly();
    let hole = &assembly.holes(&assembly.tubes[0])[0];
    bencher.bench_local(|| hole_outline(black_box(&hole.drilling)));
}
