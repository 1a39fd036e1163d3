//! What the page answers at a key, beside what the same joint costs the command to solve and lay out: the page may take 1.5
//! times as long. `cargo bench --bench page_answer`.

use std::hint::black_box;

use divan::Bencher;
use girthline::job::raw::{self, Word};
use girthline::job::resolve;
use girthline::layout::{self, Eye, Look, Role, lay_out, panels};
use girthline::output::{picture_svg, svg_text};
use girthline::plan::{self, Plan};
use girthline::wording::{Said, ordinates_of, said};

fn main() {
    divan::main();
}

/// The angles of a fence tube on a drum, in degrees.
const ANGLES: [&str; 3] = ["90", "60", "35"];

fn plan(angle: &str) -> Plan {
    let joint = raw::Saddle {
        branch: Word::flag("--branch", "fence 1-7/8 x 0.065in"),
        header: Word::flag("--header", "girth 71in"),
        angle: Some(Word::flag("--angle", angle)),
        turned: None,
        offset: None,
        touch: None,
        join: None,
        clearance: None,
        root_gap: None,
    };
    let job = resolve::saddle(&joint, &raw::Sheet::default()).unwrap_or_else(|problems| panic!("{problems}"));
    plan::saddle(&job).unwrap_or_else(|problems| panic!("{problems}"))
}

/// Solved, said and laid out on sheets.
#[divan::bench(args = ANGLES)]
fn command(bencher: Bencher<'_, '_>, angle: &str) {
    bencher.bench_local(|| {
        let plan = plan(black_box(angle));
        let said = said(&plan);
        lay_out(&said.title, panels::panels(&plan, &said), &plan.sheet).map(drop)
    });
}

/// Solved only, as both do first.
#[divan::bench(args = ANGLES)]
fn solved(bencher: Bencher<'_, '_>, angle: &str) {
    bencher.bench_local(|| plan(black_box(angle)));
}

/// The picture in space alone, as SVG.
#[divan::bench(args = ANGLES)]
fn in_space(bencher: Bencher<'_, '_>, angle: &str) {
    let plan = plan(angle);
    let said = said(&plan);
    bencher.bench_local(|| in_space_of(black_box(&plan), &said));
}

/// The wrap and the hole alone, as SVG.
#[divan::bench(args = ANGLES)]
fn patterns(bencher: Bencher<'_, '_>, angle: &str) {
    let plan = plan(angle);
    let said = said(&plan);
    bencher.bench_local(|| patterns_of(black_box(&plan), &said));
}

/// Solved, said, the picture, the wrap and the hole as SVG, the facts and the ordinates.
#[divan::bench(args = ANGLES)]
fn page(bencher: Bencher<'_, '_>, angle: &str) {
    bencher.bench_local(|| {
        let plan = plan(black_box(angle));
        let said = said(&plan);
        (
            in_space_of(&plan, &said),
            patterns_of(&plan, &said),
            ordinates_of(&plan),
        )
    });
}

fn in_space_of(plan: &Plan, said: &Said) -> Option<String> {
    let look = Look {
        is_steady: true,
        ..Look::new(Eye::new(30.0, 25.0)?, 120.0, 90.0)
    };
    Some(picture_svg(&said.title, &layout::picture(plan, &look)))
}

fn patterns_of(plan: &Plan, said: &Said) -> Vec<String> {
    let patterns = panels::without_heading(plan, said).filter(|panel| panel.role == Role::Pattern);
    patterns.map(|panel| svg_text(&panel.name, &panel.drawing)).collect()
}
