//! What a change to one landing costs, from plan to plan, against that tube with what it touches alone.
//!
//! `cargo bench --bench change` prints for 40 and for 1,000 tubes: the milliseconds of a plan after one that differs in one landing,
//! those of a plan of that tube with the tubes beside it and its two drums, those of the tube alone with them, those of a whole plan, and those from a
//! text to what is planned. Each is the shortest and the median of 25.

use std::time::Instant;

use girthline::job::Assembly;
use girthline::job::read::read_job;
use girthline::job::resolve::{self, Resolved};
use girthline::plan::{self, Plan};
use serde_json::{Map, Value, json};

/// Times that each is measured.
const TIMES: usize = 25;

/// So many different tubes between two long drums; `moved` is along by so many millimetres more. Those before `from` and from `to` on
/// are left out.
fn job(tubes: usize, moved: (usize, f64), (from, to): (usize, usize)) -> String {
    let drum = |z: f64, zero: f64| json!({ "shape": "cylinder", "size": "600mm x 2mm", "from": [0, 0, z], "to": [0, 96_000, z], "zero": [0, 0, zero] });
    let tube = |number: usize| {
        let along = 60.0 + 95.0 * number as f64 + if number == moved.0 { moved.1 } else { 0.0 };
        let low = json!({ "on": "low", "along": along, "round": format!("{}deg", (number % 41) as f64 - 20.0) });
        let upper = along + number as f64 * 30.0 / tubes as f64;
        let high = json!({ "on": "high", "along": upper, "round": format!("{}deg", (number % 37) as f64 - 18.0) });
        (format!("t{number}"), json!({ "stock": "a", "path": [low, high] }))
    };
    json!({
        "units": "mm", "stock": { "a": { "size": "40mm x 2mm" } },
        "bodies": { "low": drum(0.0, 1.0), "high": drum(1200.0, -1.0) },
        "tubes": (from..to).map(tube).collect::<Map<String, Value>>(),
    })
    .to_string()
}

fn resolved(text: &str) -> Resolved<Assembly> {
    let raw = read_job("job.json", text).expect("a job");
    resolve::job_file(&raw, &raw.sheet).expect("a sound job")
}

fn whole(job: &Resolved<Assembly>) -> Plan {
    plan::batch(job, &|_, _| ()).expect("a plan")
}

fn after(job: &Resolved<Assembly>, earlier: Option<&Plan>) -> Plan {
    plan::batch_after(job, earlier).expect("a plan")
}

/// The shortest and the median time in milliseconds; `round` hears which time it is.
fn timed<T>(mut work: impl FnMut(usize) -> T) -> [f64; 2] {
    let once = |round: usize| {
        let start = Instant::now();
        let made = work(round);
        let ms = 1e3 * start.elapsed().as_secs_f64();
        drop(made);
        ms
    };
    let mut all: Vec<f64> = (0..TIMES).map(once).collect();
    all.sort_by(f64::total_cmp);
    [all[0], all[TIMES / 2]]
}

fn main() {
    for tubes in [40, 1_000] {
        let middle = tubes / 2;
        let all = (0, tubes);
        let jobs = [0.0, 5.0].map(|by| job(tubes, (middle, by), all));
        let [before, moved] = [&jobs[0], &jobs[1]].map(|text| resolved(text));
        let first = after(&before, None);
        let beside = resolved(&job(tubes, (middle, 5.0), (middle - 1, middle + 2)));
        let alone = resolved(&job(tubes, (middle, 5.0), (middle, middle + 1)));
        let rows = [
            ("after an earlier plan", timed(|_| after(&moved, Some(&first)))),
            ("of it and the tubes beside it", timed(|_| whole(&beside))),
            ("of it alone", timed(|_| whole(&alone))),
            ("whole", timed(|_| whole(&moved))),
            (
                "text to plan, after",
                timed(|_| after(&resolved(&jobs[1]), Some(&first))),
            ),
        ];
        for (what, [least, median]) in rows {
            println!("{tubes} tubes, {what}: {least:.2} {median:.2}");
        }
    }
}
