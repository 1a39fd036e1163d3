//! Limits of what is typed are told as they are kept: what a message says may be given is taken, and just past it is not.
//! In inches they are round numbers, not those of millimetres.

mod support;

use support::Shop;

const SADDLE: &str = "saddle --branch 1.9in_x_0.12in --header 3.5in_x_0.12in";
const FACETS: &str = "facets --branch 1.9in_x_0.12in --header 3.5in_x_0.12in";
const TRIAL: &str = "trial --branch 1.9in_x_0.12in --header 3.5in_x_0.12in --gaps 0,0,0,0,0,0,0,0";

/// The command, the flag, and what may be given; `None` where any smaller length may be.
#[rustfmt::skip]
const LIMITS: [(&str, &str, &str); 10] = [
    (SADDLE, "--paper-thickness", "0 to 0.075 in"),
    (SADDLE, "--root-gap", "0 to 3/8 in"),
    ("saddle --branch 1.9in_x_0.12in --header 9in_x_0.12in --join set-in", "--clearance", "0 to 7/8 in"),
    (SADDLE, "--weld-leg", "0.02 to 1-7/8 in"),
    (SADDLE, "--weld-throat", "0.02 to 1-7/8 in"),
    (FACETS, "--gap", "0.001 to 3/4 in"),
    (FACETS, "--round", "0 to 3-7/8 in"),
    (TRIAL, "--gap", "0.001 to 3/4 in"),
    (TRIAL, "--read-within", "0.001 to 3/16 in"),
    ("saddle --touch outside --header 90in_x_1in", "--branch", "0.12 to 78 in"),
];

/// What is said of the limits where a flag has this word.
fn said(command: &str, flag: &str, word: &str) -> Option<String> {
    let run = Shop::open().run(&format!("{command} {flag} {} --units in", word.replace(' ', "_")));
    let err = run.err();
    let is_of_limits = err.contains("this ") && err.contains("can't be right")
        || err.contains("is not that thick")
        || err.contains("can't be drawn\n");
    is_of_limits.then_some(err)
}

/// A length in inches as a number.
fn inches(word: &str) -> f64 {
    let (whole, part) = word
        .split_once('-')
        .unwrap_or(if word.contains('/') { ("0", word) } else { (word, "0/1") });
    let (over, under) = part.split_once('/').expect("a fraction");
    let number = |word: &str| word.parse::<f64>().expect("a number");
    number(whole) + number(over) / number(under)
}

#[test]
fn limits_in_inches_are_round_and_what_is_told_is_what_is_kept() {
    for (command, flag, range) in LIMITS {
        let told = said(command, flag, "3000in").unwrap_or_else(|| panic!("{flag} has no limit"));
        assert!(told.contains(range), "{flag}: {range}: {told}");
        let (low, high) = range.trim_end_matches(" in").split_once(" to ").expect("a range");
        for end in [low, high] {
            let refused = said(command, flag, &format!("{end}in"));
            assert_eq!(refused, None, "{flag} {end}");
        }
        let past = said(command, flag, &format!("{:.5}in", inches(high) + 1e-4));
        assert!(past.is_some_and(|told| told.contains(range)), "{flag} past {high}");
        if inches(low) > 0.0 {
            let short = said(command, flag, &format!("{:.5}in", inches(low) - 1e-4));
            assert!(short.is_some_and(|told| told.contains(range)), "{flag} below {low}");
        }
    }
}

/// Of a job: where the words stand, and what may be given there.
#[test]
fn limits_of_a_job_in_inches_are_kept_as_they_are_told() {
    let said = |stock: &str, plate: &str| {
        let shop = Shop::open();
        let job = format!(
            r#"{{ "units": "in", "stock": {{ "a": {{ "size": "2in x 1/8in"{stock} }} }},
  "bodies": {{ "foot": {{ "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [0, 1, 0], {plate} }} }},
  "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "foot", "along": 0 }}, {{ "step": [0, 0, 8] }} ] }} }} }}"#
        );
        shop.write("job.json", job.as_bytes());
        shop.run("batch job.json --check").err()
    };
    for (stock, plate, told) in [
        (r#", "kerf": "KERF""#, r#""size": 0.25"#, "0 to 3/4 in"),
        (r#", "stick": "KERF""#, r#""size": 0.25"#, "2 to 1968 in"),
        ("", r#""size": "KERF""#, "0.004 to 19 in"),
        ("", r#""size": 0.25, "wide": "KERF", "high": 12"#, "0.04 to 787 in"),
    ] {
        let with = |word: &str| said(&stock.replace("KERF", word), &plate.replace("KERF", word));
        let err = with("3000in");
        assert!(err.contains(&format!("give {told}")), "{told}: {err}");
        let high = told.trim_end_matches(" in").split(" to ").nth(1).expect("the most");
        let is_taken = !with(&format!("{high}in")).contains("give ");
        let past = with(&format!("{:.5}in", inches(high) + 1e-4));
        assert!(is_taken && past.contains(told), "{told}: {past}");
    }
}
