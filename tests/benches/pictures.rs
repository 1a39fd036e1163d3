//! What the pictures of whole jobs cost from any eye, for `ratios.py`: a line a starter, its name and the median seconds of a
//! picture of 120 by 100 mm over all eyes.

use std::hint::black_box;
use std::time::Instant;

use girthline::job::read::read_job;
use girthline::job::resolve;
use girthline::layout::{Eye, Look, picture};
use girthline::plan;

const STARTERS: [(&str, &str); 2] = [
    ("cooler-bank", include_str!("../../templates/cooler-bank.json")),
    ("stacked-hopper", include_str!("../../templates/stacked-hopper.json")),
];

fn main() {
    for (name, text) in STARTERS {
        let raw = read_job(name, text).expect("a job");
        let job = resolve::job_file(&raw, &raw.sheet).expect("a sound job");
        let plan = plan::batch(&job, &|_, _| ()).expect("a plan");
        let eyes = (0..48).filter_map(|turn| Eye::new(7.5 * f64::from(turn), f64::from(turn * 37 % 120) - 30.0));
        let mut seconds: Vec<f64> = eyes
            .map(|eye| {
                let start = Instant::now();
                black_box(picture(&plan, &Look::new(eye, 120.0, 100.0)));
                start.elapsed().as_secs_f64()
            })
            .collect();
        seconds.sort_by(f64::total_cmp);
        println!("{name} {:.9}", seconds[seconds.len() / 2]);
    }
}
