//! Stacks by themselves: which ways there are, told by sums made by hand.

mod support;

use support::{Pdf, Shop};

/// Two drums of 880 mm under 1180 mm, without any tube; what the upper one says of its ends is given.
fn job(stays: &str) -> String {
    format!(
        r#"{{ "title": "Two drums", "units": "mm", "stacks": {{ "hopper": {{ "height": 1180, "parts": [
             {{ "name": "lower", "height": 880, "part_at": [292, 587], "stays": "bottom" }},
             {{ "name": "upper", "height": 880, "part_at": [294, 588], "must_part": true, {stays} "nests": 25 }} ] }} }} }}"#
    )
}

fn made(job: &str) -> (String, Vec<String>) {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    let said = shop.run("batch job.json --out p.pdf --report r.json").succeeds().out();
    let pdf = Pdf::read(&shop.read("p.pdf"));
    (said, pdf.words.into_iter().map(|words| words.text).collect())
}

#[test]
fn a_stack_is_solved_without_any_tube() {
    // Of the lower one 880, 292 or 587 is kept, of the upper one 586 or 292: 587 + 586 - 25 = 1148.
    let (said, words) = made(&job(r#""stays": "top","#));
    assert!(
        said.contains("= 1148.00 mm; 1180.00 mm available, 32.00 mm left over"),
        "{said}"
    );
    assert!(words.iter().any(|words| words == "Stack hopper: the sum"), "{words:?}");
    // What doesn't fit stands apart: 880 + 586 - 25 = 1441, 261 over.
    assert!(said.contains("too high by 261.00 mm: "), "{said}");
    for told in ["Stack hopper: too high", "1441.00 mm", "261.00 mm"] {
        assert!(words.iter().any(|words| words == told), "{told}: {words:?}");
    }
    assert!(words.iter().any(|words| words.starts_with("5 ways fit")), "{words:?}");
}

#[test]
fn where_nothing_says_which_end_stays_the_best_of_both_is_built() {
    // Of the upper one 588 below its rib can be kept as well: 587 + 588 - 25 = 1150.
    let (said, words) = made(&job(""));
    assert!(
        said.contains("= 1150.00 mm; 1180.00 mm available, 30.00 mm left over"),
        "{said}"
    );
    let open = "upper keeps its bottom: the job doesn't say which end \"stays\"";
    assert_eq!(said.matches(open).count(), 1, "{said}");
    assert!(said.contains("upper parted 588.00 mm, its bottom kept,"), "{said}");
    assert!(said.contains("upper parted 586.00 mm, its top kept,"), "{said}");
    let (told_to, _) = made(&job(r#""stays": "top","#));
    assert!(!told_to.contains("keeps its") && !told_to.contains("kept"), "{told_to}");
    let told = "upper";
    let kept = words
        .iter()
        .position(|words| words == told)
        .map(|at| words[at + 1].clone());
    assert_eq!(kept.as_deref(), Some("588.00 mm, its bottom stays"), "{words:?}");
}

#[test]
fn the_ways_to_part_a_stack_are_broken_between_what_is_said_of_its_parts_only() {
    let names = [
        "the lower drum",
        "the drum in the middle of it",
        "the upper drum, turned over",
    ];
    let parts = names.map(|name| format!(r#"{{ "name": "{name}", "height": 880, "part_at": [292, 587] }}"#));
    let job = format!(
        r#"{{ "title": "Three drums", "units": "mm", "stacks": {{ "hopper": {{ "height": 1800, "parts": [ {} ] }} }} }}"#,
        parts.join(", ")
    );
    let (_, words) = made(&job);
    let begins = words
        .iter()
        .position(|words| words == "Stack hopper: ways to part it")
        .expect("a table");
    let cells = words[begins..]
        .iter()
        .filter(|words| words.starts_with("the ") || words.contains(" mm, "));
    let cells: Vec<&String> = cells.collect();
    for cell in &cells {
        let ends_well = ["stays;", "stays", "whole;", "whole"]
            .iter()
            .any(|end| cell.ends_with(end));
        assert!(
            names.iter().any(|name| cell.starts_with(name)) && ends_well,
            "{cell}: {cells:?}"
        );
    }
    // They don't fit into one line each.
    assert!(
        cells.iter().filter(|cell| cell.ends_with(';')).count() >= 8,
        "{cells:?}"
    );
}

#[test]
fn a_job_with_neither_tubes_nor_stacks_is_refused() {
    let shop = Shop::open();
    shop.write("job.json", br#"{ "title": "Nothing", "units": "mm" }"#);
    let run = shop.run("batch job.json");
    assert!(
        run.code() == 2 && run.err().contains("this job has no tubes"),
        "{}",
        run.err()
    );
}

#[test]
fn of_drums_that_nest_and_fit_neither_way_the_figures_are_told() {
    let said = |upper: &str, lower: &str, more: &str| {
        let body = |name: &str, size: &str| {
            format!(
                r#""{name} drum": {{ "shape": "cylinder", "size": "{size}", "stack": "hopper", "part": "{name}", "zero": [1, 0, 0] }}"#
            )
        };
        let bodies = format!(
            r#", "bodies": {{ {}, {} }}"#,
            body("lower", lower),
            body("upper", upper)
        );
        let job = job(r#""stays": "top","#);
        let job = job.replace(r#""nests": 25"#, more);
        let (start, _) = job.rsplit_once('}').expect("a job");
        let (said, _) = made(&format!("{start}{bodies} }}"));
        let line = said
            .lines()
            .find(|line| line.contains("upper nests in lower, and neither"));
        line.map(str::to_owned)
    };
    // Alike, of 572 mm and 1.2 mm: round 1797.0 mm outside, 7.54 mm less inside.
    let alike = said("572mm x 1.2mm", "572mm x 1.2mm", r#""nests": 25"#).expect("a note");
    assert!(
        alike.contains("round upper 1796.99 mm outside, round lower 1789.45 mm inside; slit, crimp or flare"),
        "{alike}"
    );
    // The upper goes into the lower, or over it.
    assert_eq!(said("569mm x 1.2mm", "572mm x 1.2mm", r#""nests": 25"#), None);
    assert_eq!(said("575mm x 1.2mm", "572mm x 1.2mm", r#""nests": 25"#), None);
    assert_eq!(said("572mm x 1.2mm", "572mm x 1.2mm", r#""nests": 0"#), None);
}

/// Two bodies in the stack, the upper one with its zero line towards `zero`, a tube on each.
fn turned(zero: &str, upper: &str) -> (String, String) {
    let body = |name: &str, size: &str, zero: &str| {
        format!(
            r#""{name} drum": {{ "shape": "cylinder", "size": "{size}", "stack": "hopper", "part": "{name}", "zero": {zero} }}"#
        )
    };
    let tube = |name: &str| {
        format!(
            r#""on {name}": {{ "stock": "t", "path": [ {{ "on": "{name} drum", "along": 120 }}, {{ "on": "{name} drum", "along": 120, "out": 150 }} ] }}"#
        )
    };
    let (start, _) = job(r#""stays": "top","#)
        .rsplit_once('}')
        .map(|(start, end)| (start.to_owned(), end.to_owned()))
        .expect("a job");
    let (said, words) = made(&format!(
        r#"{start}, "stock": {{ "t": {{ "size": "48.3mm x 2mm" }} }}, "bodies": {{ {}, {} }}, "tubes": {{ {}, {} }} }}"#,
        body("lower", "572mm x 1.2mm", "[1, 0, 0]"),
        body("upper", upper, zero),
        tube("lower"),
        tube("upper")
    ));
    (said, words.join(" "))
}

/// Seen from outside with the stack upright, right is round from x to y.
#[test]
fn the_mark_out_of_an_upper_drum_says_how_its_zero_line_stands_to_that_of_the_lower() {
    // A quarter of 572 mm times pi, and an eighth.
    for (zero, words) in [
        (
            "[0, 1, 0]",
            "its zero line is 449.25 mm round lower drum (90°) to the right of that one's",
        ),
        (
            "[1, -1, 0]",
            "its zero line is 224.62 mm round lower drum (45°) to the left of that one's",
        ),
        ("[3, 0, 0]", "Its zero line is in line with that of lower drum."),
    ] {
        let (_, sheets) = turned(zero, "572mm x 1.2mm");
        assert!(sheets.contains(words), "{words}\n{sheets}");
        assert_eq!(sheets.matches("zero line is ").count(), 1, "{sheets}");
    }
}

#[test]
fn where_the_upper_goes_over_the_lower_that_is_said() {
    let (over, _) = turned("[1, 0, 0]", "580mm x 1.2mm");
    // 580 mm outside are 577.6 mm inside, 1814.58 mm round; 572 mm are 1796.99 mm round.
    assert!(
        over.contains(
            "upper goes over lower where they nest: round upper 1814.58 mm inside, round lower 1796.99 mm outside"
        ),
        "{over}"
    );
    assert!(!turned("[1, 0, 0]", "565mm x 1.2mm").0.contains("goes over"));
}
