//! Nothing that is typed or read makes the program panic, hang or fill the memory.
//!
//! Targets for bolero. `cargo test` tries each a little; `FUZZ_CASES=1000000 cargo test --test fuzz` tries
//! random bytes for longer, and `cargo bolero test --test fuzz job_files` lets a fuzzer look for new ways through the
//! program. What is found becomes a test with a name.

mod spoiled;

use std::sync::LazyLock;
use std::time::{Duration, Instant};

use bolero::check;
use girthline::job::raw::{self, Word};
use girthline::job::read::read_job;
use girthline::job::resolve::{self, Resolved};
use girthline::job::schema::schema;
use girthline::job::{Assembly, SheetOptions};
use girthline::layout::{lay_out, lay_out_each, panels};
use girthline::measure::{Units, parse_angle, parse_length, parse_size};
use girthline::output::{Contents, ReportOf, pdf_of};
use girthline::plan::{self, Plan};
use girthline::problem::Problems;
use girthline::wording::said;
use serde_json::Value;
use spoiled::structure::{restructured, tube_names};
use spoiled::{Choices, TEMPLATES, covered, job, words};

/// A case that takes longer hangs.
const LONGEST: Duration = Duration::from_secs(1);
/// So much more a whole pack may take for each of its tubes: what grows with their square takes longer.
const LONGEST_A_TUBE: Duration = Duration::from_millis(100);
/// More memory than this is too much, in kilobytes.
const MOST_KB: u64 = 500_000;
/// Jobs with more copies of tubes than this are read but not drawn: they may take their time.
const DRAWN_TUBES: usize = 40;

/// As many cases as FUZZ_CASES says, or `usual`.
fn cases(usual: usize) -> usize {
    let asked = std::env::var("FUZZ_CASES").ok();
    asked.and_then(|count| count.parse().ok()).unwrap_or(usual)
}

/// The time that this thread has had of a processor, where the system tells; else what a clock on the wall says.
fn time_had() -> Duration {
    static START: LazyLock<Instant> = LazyLock::new(Instant::now);
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let nanoseconds = told.split_whitespace().next().and_then(|first| first.parse().ok());
    nanoseconds.map_or_else(|| START.elapsed(), Duration::from_nanos)
}

/// Runs a case that must not take long, however busy the machine is; one that was unlucky is quicker at another try.
fn in_time(input: &str, case: impl Fn()) {
    in_time_for_tubes(input, || {
        case();
        0
    });
}

/// The same for a case that says how many tubes it made.
fn in_time_for_tubes(input: &str, case: impl Fn() -> u32) {
    let quickest = (0..4).find_map(|_| {
        let start = time_had();
        let longest = LONGEST + case() * LONGEST_A_TUBE;
        (time_had() - start <= longest).then_some(())
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
    [None, Some(Units::INCHES), Some(Units::Millimetres)][choices.below(3)]
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
fn job_files_changed_in_structure() {
    check!()
        .with_iterations(cases(4_000))
        .with_max_len(96)
        .for_each(|bytes: &[u8]| {
            let text = restructured(&mut Choices::new(bytes));
            in_time(&text, || {
                if let Err(problems) = resolved(&text) {
                    assert_said_well(&text, &problems);
                }
            });
        });
}

#[test]
fn whole_packs_of_jobs_changed_in_structure() {
    check!()
        .with_iterations(cases(4_000) / 50)
        .with_max_len(96)
        .for_each(|bytes: &[u8]| {
            let text = restructured(&mut Choices::new(bytes));
            in_time_for_tubes(&text, || reported(&text).unwrap_or_default());
        });
}

#[test]
fn trial_fits_of_jobs_changed_in_structure() {
    check!()
        .with_iterations(cases(4_000) / 50)
        .with_max_len(128)
        .for_each(|bytes: &[u8]| {
            let mut choices = Choices::new(bytes);
            let (end, gaps) = (["start", "end"][choices.below(2)], gaps(&mut choices));
            let number = choices.below(12);
            let text = restructured(&mut choices);
            let names = serde_json::from_str(&text).map_or_else(|_| Vec::new(), |job: Value| tube_names(&job));
            let tube = names.get(number % names.len().max(1)).cloned().unwrap_or_default();
            in_time(&format!("{tube:?} {end} {gaps} {text}"), || {
                if let Err(problems) = tried(&text, &tube, end, &gaps) {
                    assert_said_well(&text, &problems);
                }
            });
        });
}

/// Gaps as they may be read or typed: most such lists are in order.
fn gaps(choices: &mut Choices<'_>) -> String {
    let gaps = (0..choices.below(24)).map(|_| match choices.below(16) {
        0 => words(choices),
        1 => format!("{}deg {}", choices.below(720), choices.below(9)),
        2 => format!("left {}mm", choices.below(90)),
        _ => format!("{:.1}mm", choices.below(40) as f64 / 10.0),
    });
    gaps.collect::<Vec<_>>().join(", ")
}

/// A trial fit of an end of a job, from words to its pages and its report, in which every number is one.
fn tried(text: &str, tube: &str, end: &str, gaps: &str) -> Result<(), Problems> {
    let raw = read_job("job.json", text)?;
    let trial = raw::EndTrial {
        tube: Word::flag("--tube", tube),
        end: Word::flag("--end", end),
        read: raw::Readings {
            gaps: Word::flag("--gaps", gaps),
            apart: Vec::new(),
            read_within: None,
            gap: None,
        },
    };
    let asked = resolve::trial_of_job(&raw, &trial, &raw.sheet)?;
    assert_reported(text, &plan::trial_of_job(&asked)?, &asked.sheet)
}

/// Every problem with a job says where it is and how to mend it, each once.
fn assert_said_well(text: &str, problems: &Problems) {
    for problem in problems.iter() {
        assert!(problem.help.is_some(), "no help: {problem}\n{text}");
        assert!(problem.place.is_some(), "no place: {problem}\n{text}");
        assert!(problem.what.len() < 400, "too long: {problem}\n{text}");
    }
}

/// The report's words that may be missing where there is nothing to be said.
const MAY_BE_MISSING: [&str; 18] = [
    "apex_deg",
    "od_mm",
    "centre_line_mm",
    "tip_to_tip_mm",
    "twist_deg",
    "next_hole",
    "ligament_mm",
    "largest_gap_mm",
    "at_deg",
    "place",
    // Of a trial's other end, which stands at nothing.
    "overlap_mm",
    "is_within",
    "is_sure",
    // Or may miss what it lands on.
    "largest_gap_within_mm",
    "overlap_within_mm",
    "moves_along_within_mm",
    "moves_aside_within_mm",
    // Where the outer skin misses the body: it met the body that is grown by the root gap.
    "dihedral_deg",
];

/// A job from its text to its pages and its report, in which every number is one: how many tubes it has.
fn reported(text: &str) -> Result<u32, Problems> {
    let job = resolved(text)?;
    if job.joint.tubes.len() > DRAWN_TUBES {
        return Ok(0);
    }
    assert_reported(text, &plan::batch(&job, &|_, _| {})?, &job.sheet)?;
    Ok(u32::try_from(job.joint.tubes.len()).expect("few"))
}

/// A plan's pages are laid out, and every number of its report is one.
fn assert_reported(text: &str, plan: &Plan, sheet: &SheetOptions) -> Result<(), Problems> {
    let said = said(plan);
    let laid = lay_out_each("job", panels::panels(plan, &said), sheet, |_| ())?;
    let mut report = ReportOf {
        plan,
        said: &said,
        laid: &laid,
    };
    let report: Value = serde_json::from_slice(&report.bytes().expect("memory")).expect("JSON");
    assert_finite(text, "", &report);
    Ok(())
}

fn assert_finite(text: &str, key: &str, value: &Value) {
    match value {
        // What isn't finite is written as null.
        Value::Null => assert!(MAY_BE_MISSING.contains(&key), "{key} is no number: {text}"),
        Value::Number(number) => {
            let size = number.as_f64().expect("a number").abs();
            assert!(size < 1e9, "{key} is {number}: {text}");
        }
        Value::Array(list) => list.iter().for_each(|inner| assert_finite(text, key, inner)),
        // Of front, right, back and left.
        Value::Object(four) if key == "dihedral_deg" => four.values().for_each(|one| assert_finite(text, key, one)),
        Value::Object(object) => object.iter().for_each(|(key, inner)| assert_finite(text, key, inner)),
        _ => {}
    }
}

/// Two rows of tubes mitered to each other, copy for copy, that pass through each other on the way: every corner has
/// `rows` tubes of the other name to look through.
fn mitered_rows(rows: usize) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "48.3 x 2", "stick": "6m" }} }}, "tubes": {{
            "left": {{ "stock": "tube", "path": [{{ "at": [0, 0, 0] }}, {{ "at": [300, 0, 500] }}],
                "end": {{ "join": "miter", "to": "right" }}, "repeat": {{ "step": [0, 1, 0], "times": {rows} }} }},
            "right": {{ "stock": "tube", "path": [{{ "at": [300, {last}, 500] }}, {{ "at": [600, {last}, 0] }}],
                "start": {{ "join": "miter", "to": "left" }}, "repeat": {{ "step": [0, -1, 0], "times": {rows} }} }} }} }}"#,
        last = rows - 1
    )
}

#[test]
fn corners_of_mitered_copies_are_found_without_looking_at_every_copy() {
    let time = |rows: usize| {
        let text = mitered_rows(rows);
        let took = (0..3).map(|_| {
            let start = time_had();
            assert_eq!(resolved(&text).expect("a sound job").joint.tubes.len(), 2 * rows);
            time_had() - start
        });
        took.min().expect("three")
    };
    let (few, many) = (time(1_000), time(8_000));
    // Eight times as many: in proportion to their square it would be 64 times as long.
    assert!(many < 24 * few, "{few:?} for 1,000 copies, {many:?} for 8,000");
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
fn the_jobs_that_are_spoilt_are_sound_and_have_every_key_and_word_of_the_schema() {
    let mut missing = covered::known(schema());
    for text in TEMPLATES {
        reported(text).unwrap_or_else(|problems| panic!("{text}\n{problems}"));
        for known in covered::had(schema(), &serde_json::from_str(text).expect("JSON")) {
            missing.remove(&known);
        }
    }
    // Of several words for one unit the jobs have one: the others are tried in its place.
    let is_sound_in = |text: &&str, units: &str| {
        let mut job: serde_json::Value = serde_json::from_str(text).expect("JSON");
        job["units"] = units.into();
        reported(&job.to_string()).is_ok()
    };
    missing.retain(|(of, key, word)| {
        [of.as_str(), key] != ["job", "units"] || !TEMPLATES.iter().any(|text| is_sound_in(text, word))
    });
    assert!(missing.is_empty(), "no job to be spoilt has {missing:?}");
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
