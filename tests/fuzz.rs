//! Nothing that is typed or read makes the program panic, hang or fill the memory.
//!
//! Targets for bolero. `cargo test` tries each a little; `FUZZ_CASES=1000000 cargo test --test fuzz` tries
//! random bytes for longer, and `cargo bolero test --test fuzz job_files` lets a fuzzer look for new ways through the
//! program. What is found becomes a test with a name.

mod spoiled;

use std::time::{Duration, Instant};

use bolero::check;
use girthline::job::Assembly;
use girthline::job::read::read_job;
use girthline::job::resolve::{self, Resolved};
use girthline::layout::{lay_out, panels};
use girthline::measure::{Units, parse_angle, parse_length, parse_size};
use girthline::output::{Contents, pdf_of};
use girthline::plan;
use girthline::problem::Problems;
use girthline::wording::said;
use spoiled::{Choices, job, words};

/// A case that takes longer hangs.
const LONGEST: Duration = Duration::from_secs(1);
/// More memory than this is too much, in kilobytes.
const MOST_KB: u64 = 500_000;
/// Jobs with more copies of tubes than this are read but not drawn: they may take their time.
const DRAWN_TUBES: usize = 40;

/// As many cases as FUZZ_CASES says, or `usual`.
fn cases(usual: usize) -> usize {
    let asked = std::env::var("FUZZ_CASES").ok();
    asked.and_then(|count| count.parse().ok()).unwrap_or(usual)
}

/// Runs a case that must not take long; one that was only kept waiting by others is quicker at another try.
fn in_time(input: &str, case: impl Fn()) {
    let quickest = (0..4).find_map(|_| {
        let start = Instant::now();
        case();
        (start.elapsed() <= LONGEST).then_some(())
    });
    assert!(quickest.is_some(), "it hangs: {input:?}");
    assert!(
        most_memory_kb() <= MOST_KB,
        "it takes {} kB: {input:?}",
        most_memory_kb()
    );
}

/// The most that this process has had, where the system tells.
fn most_memory_kb() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|line| line.split_whitespace().next()?.parse().ok())
        .unwrap_or(0)
}

fn units(choices: &mut Choices<'_>) -> Option<Units> {
    [None, Some(Units::Inches), Some(Units::Millimetres)][choices.below(3)]
}

#[test]
fn lengths_and_angles() {
    check!()
        .with_iterations(cases(20_000))
        .with_max_len(64)
        .for_each(|bytes: &[u8]| {
            let mut choices = Choices::new(bytes);
            let (units, text) = (units(&mut choices), words(&mut choices));
            in_time(&text, || {
                for text in [text.as_str(), &String::from_utf8_lossy(bytes)] {
                    if let Ok(mm) = parse_length(text, units) {
                        assert!(mm.abs() <= 100_000.0, "{text:?} is read as {mm}");
                    }
                    if let Ok(degrees) = parse_angle(text) {
                        assert!(degrees.is_finite(), "{text:?} is read as {degrees}");
                    }
                }
            });
        });
}

#[test]
fn sizes() {
    check!()
        .with_iterations(cases(20_000))
        .with_max_len(64)
        .for_each(|bytes: &[u8]| {
            let mut choices = Choices::new(bytes);
            let (units, text) = (units(&mut choices), words(&mut choices));
            in_time(&text, || {
                for text in [text.as_str(), &String::from_utf8_lossy(bytes)] {
                    if let Ok(size) = parse_size(text, units) {
                        let wall = size.wall_mm.unwrap_or(size.od_mm / 4.0);
                        let is_sound = size.od_mm.is_finite() && wall > 0.0 && wall < size.od_mm / 2.0;
                        assert!(is_sound, "{text:?} is read as {size:?}");
                    }
                }
            });
        });
}

#[test]
fn job_files() {
    check!()
        .with_iterations(cases(4_000))
        .with_max_len(96)
        .for_each(|bytes: &[u8]| {
            let text = job(&mut Choices::new(bytes));
            in_time(&text, || {
                let _ = resolved(&text);
            });
        });
}

#[test]
fn whole_packs() {
    let usual = cases(4_000) / 200;
    check!()
        .with_iterations(usual)
        .with_max_len(96)
        .for_each(|bytes: &[u8]| {
            let text = job(&mut Choices::new(bytes));
            in_time(&text, || {
                let _ = drawn(&text);
            });
        });
}

fn resolved(text: &str) -> Result<Resolved<Assembly>, Problems> {
    let job = read_job("job.json", text)?;
    resolve::job_file(&job, &job.sheet)
}

/// A job from its text to the pages, where it isn't too large for the time that a case has.
fn drawn(text: &str) -> Result<usize, Problems> {
    let job = resolved(text)?;
    if job.joint.tubes.len() > DRAWN_TUBES {
        return Ok(0);
    }
    let plan = plan::batch(&job, &|_, _| {})?;
    let said = said(&plan);
    let sheets = lay_out("job", panels::panels(&plan, &said), &job.sheet)?;
    let mut pdf = pdf_of(&said.title, &sheets.sheets, &sheets.contents, &job.sheet.paper)?;
    let mut bytes = Vec::new();
    pdf.write_to(&mut bytes).expect("memory");
    Ok(bytes.len())
}

#[test]
fn job_files_of_any_bytes() {
    check!()
        .with_iterations(cases(20_000))
        .with_max_len(4096)
        .for_each(|bytes: &[u8]| {
            let text = String::from_utf8_lossy(bytes);
            in_time(&text, || {
                let _ = resolved(&text);
            });
        });
}

#[test]
fn spoilt_jobs_are_neither_all_refused_nor_all_taken() {
    let (mut read, mut solved) = (0, 0);
    let mut state = 1_u64;
    for _ in 0..200 {
        let bytes: Vec<u8> = (0..64)
            .map(|_| {
                // Knuth's linear congruential generator (MMIX).
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                (state >> 56) as u8
            })
            .collect();
        let text = job(&mut Choices::new(&bytes));
        read += u32::from(read_job("job.json", &text).is_ok());
        solved += u32::from(drawn(&text).is_ok_and(|bytes| bytes > 0));
    }
    println!("{read} of 200 spoilt jobs are read, {solved} are drawn");
    assert!(
        (50..=190).contains(&read) && (15..=150).contains(&solved),
        "{read} read, {solved} drawn"
    );
}
