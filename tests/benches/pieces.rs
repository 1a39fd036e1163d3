//! What the number of pieces costs: jobs of 500, 5,000 and 50,000 of them, from text to plan, in a row and in a pile.
//!
//! `cargo bench --bench pieces` prints seconds, and how many times longer each takes than the one before it. Ten times as many
//! pieces should take little more than ten times as long.

use std::time::Instant;

use girthline::job::read::read_job;
use girthline::job::resolve;
use girthline::plan;
use girthline::wording::said;

/// A tube of five legs, and copies of it stepped by so many millimetres.
fn job(pieces: usize, step: f64) -> String {
    let copies = pieces / 5;
    format!(
        r#"{{ "units": "mm", "stock": {{ "rail": {{ "size": "48.3mm x 2mm" }} }}, "tubes": {{ "rail": {{ "stock": "rail",
            "path": [ {{ "at": [0, 0, 0] }}, {{ "step": [0, 400, 0] }}, {{ "step": [0, 0, 400] }}, {{ "step": [0, 400, 0] }},
                {{ "step": [0, 0, 400] }}, {{ "step": [0, 400, 0] }} ],
            "repeat": {{ "times": {copies}, "step": [{step}, 0, 0] }} }} }} }}"#
    )
}

fn main() {
    for (what, step) in [("in a row, 300 mm apart", 300.0), ("in a pile, 0.5 mm apart", 0.5)] {
        let mut before = None;
        for pieces in [500, 5_000, 50_000] {
            let text = job(pieces, step);
            let start = Instant::now();
            let raw = read_job("job.json", &text).expect("a job");
            let job = resolve::job_file(&raw, &raw.sheet).expect("a sound job");
            let plan = plan::batch(&job, &|_, _| ()).expect("a plan");
            let notes = said(&plan).all_notes().count();
            let seconds = start.elapsed().as_secs_f64();
            let clashes = plan.job().map_or(0, |job| job.cut_list.clashes.len());
            let times = before.map_or_else(String::new, |before: f64| format!(", {:.1} times", seconds / before));
            println!("{pieces:>6} pieces {what}: {seconds:.3} s{times}; {clashes} clashes in {notes} lines");
            before = Some(seconds);
        }
    }
}
