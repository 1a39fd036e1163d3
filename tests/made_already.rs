//! Ends and holes that are there already: drawn and measured as any other, and not asked for again.

mod support;

use approx::assert_abs_diff_eq;
use serde_json::Value;
use support::{Pdf, Shop};

/// Two risers into a drum, 90 mm apart; the words of the first one's start and end are given.
fn job(start: &str, end: &str) -> String {
    format!(
        r#"{{ "title": "Tap", "units": "mm", "sheet": {{ "paper": "a3" }},
             "stock": {{ "tube": {{ "size": "48.3mm x 2mm", "stick": "6m" }} }},
             "bodies": {{ "drum": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 700, 0], "zero": [0, 0, 1] }},
                          "upper": {{ "shape": "cylinder", "size": "200mm x 2mm", "from": [0, 0, 600], "to": [0, 700, 600], "zero": [0, 0, 1] }} }},
             "tubes": {{
               "old": {{ "stock": "tube", "path": [ {{ "on": "drum", "along": 200, "round": 0 }}, {{ "on": "upper", "along": 200, "round": "180deg" }} ],
                         "start": {{ {start} }}, "end": {{ {end} }} }},
               "new": {{ "stock": "tube", "path": [ {{ "on": "drum", "along": 290, "round": 0 }}, {{ "step": [0, 0, 200] }} ] }} }} }}"#
    )
}

struct Made {
    report: Value,
    pdf: Pdf,
    said: String,
}

fn made(start: &str, end: &str) -> Made {
    let shop = Shop::open();
    shop.write("job.json", job(start, end).as_bytes());
    let said = shop
        .run("batch job.json --report r.json --out p.pdf --ordinates")
        .succeeds()
        .out();
    Made {
        report: shop.report("r.json"),
        pdf: Pdf::read(&shop.read("p.pdf")),
        said,
    }
}

fn words(pdf: &Pdf) -> String {
    pdf.words
        .iter()
        .map(|words| words.text.as_str())
        .collect::<Vec<_>>()
        .join(" ")
}

fn has(pdf: &Pdf, beginning: &str) -> bool {
    pdf.words.iter().any(|words| words.text.starts_with(beginning))
}

#[test]
fn a_hole_that_is_cut_is_measured_and_not_asked_for_again() {
    let [before, after] = ["", r#""made": "hole""#].map(|start| made(start, ""));
    assert!(has(&before.pdf, "HOLE in drum for old (piece 1, start)"));
    assert!(!has(&after.pdf, "HOLE in drum for old (piece 1, start)"));
    assert!(has(&after.pdf, "HOLE in drum for new"));
    // What is left to do for this tube, and the other one's hole, are there as before.
    for title in ["HOLE in upper for old", "PIECE 1 old, START", "1 old: start: by hand"] {
        assert!(has(&before.pdf, title) && has(&after.pdf, title), "{title}");
    }
    assert!(
        before.said.contains("hole in drum for old (piece 1, start): by hand"),
        "{}",
        before.said
    );
    assert!(
        !after.said.contains("hole in drum for old (piece 1, start): by hand"),
        "{}",
        after.said
    );
    // The mark-out, the cover and the picture say so.
    let told = words(&after.pdf);
    for say in [
        "old (piece 1, start), made already",
        "made already, so that no pattern is printed: the hole for old in drum",
        "; made already: the hole for old in drum",
    ] {
        assert!(told.replace("- ", "-").contains(say), "{say}: {told}");
        assert!(!words(&before.pdf).contains(say), "{say}");
    }
    // All figures are those of a hole that is still to be cut; the metal left beside it too.
    let holes = |made: &Made| made.report["holes"].as_array().expect("holes").clone();
    for (one, other) in holes(&before).iter().zip(&holes(&after)) {
        for key in ["outline", "body", "ligament_mm"] {
            assert!(!one[key].is_null() || key == "ligament_mm", "{key}");
            assert_eq!(one[key], other[key], "{key}");
        }
    }
    let is_made: Vec<bool> = holes(&after)
        .iter()
        .map(|hole| hole["made_already"].as_bool().expect("known"))
        .collect();
    assert_eq!(is_made.iter().filter(|made| **made).count(), 1);
}

#[test]
fn an_end_that_is_cut_has_no_pattern_and_the_other_is_measured_from_its_tip() {
    let made = made(r#""made": "end""#, "");
    let all = words(&made.pdf);
    assert!(!has(&made.pdf, "PIECE 1 old, START") && !has(&made.pdf, "1 old: start: by hand"));
    assert!(has(&made.pdf, "PIECE 1 old, END") && has(&made.pdf, "1 old: end: by hand"));
    assert!(has(&made.pdf, "HOLE in drum for old (piece 1, start)"));
    assert!(!made.said.contains("1 old: start: by hand"), "{}", made.said);
    let note = "made already, so that no pattern is printed: old, its start\n";
    assert!(made.said.contains(note), "{}", made.said);
    let row = &made.report["job"]["cut_list"][0];
    assert_eq!(row["ends"][0], "set-on drum, cut already");
    assert_eq!(
        (&row["made_already"], row["quantity"].as_u64()),
        (&Value::Bool(false), Some(1))
    );
    // From tip to tip less what stands past this base line.
    let told = all
        .split("the tip of the end that is cut already: ")
        .nth(1)
        .expect("a distance");
    let told: f64 = told
        .split(" mm")
        .next()
        .expect("a length")
        .parse()
        .expect("millimetres");
    let end = made.report["ends"]
        .as_array()
        .expect("ends")
        .iter()
        .find(|end| end["name"] == "1 old: end")
        .expect("the end");
    let whole = row["length_mm"].as_f64().expect("mm");
    assert_abs_diff_eq!(told, whole - end["longest_mm"].as_f64().expect("mm"), epsilon = 0.011);
}

#[test]
fn a_piece_whose_two_ends_are_cut_is_sawn_from_no_stick() {
    let [before, after] = ["", r#""made": "both""#].map(|words| made(words, words));
    let sticks = |made: &Made| -> Vec<u64> {
        let sticks = made.report["job"]["sticks"].as_array().expect("sticks").iter();
        let pieces = sticks.flat_map(|stick| stick["pieces"].as_array().expect("pieces").clone());
        pieces.map(|piece| piece.as_u64().expect("a number")).collect()
    };
    assert!(sticks(&before).contains(&1) && !sticks(&after).contains(&1));
    let total = |made: &Made| made.report["job"]["total_mm"].as_f64().expect("mm");
    let length = before.report["job"]["cut_list"][0]["length_mm"].as_f64().expect("mm");
    assert_abs_diff_eq!(total(&before) - total(&after), length, epsilon = 1e-9);
    assert!(!has(&after.pdf, "PIECE 1 ") && !has(&after.pdf, "HOLE in upper"));
    assert!(has(&after.pdf, "HOLE in drum for new"));
    assert_eq!(after.report["job"]["cut_list"][0]["made_already"], true);
    assert!(words(&after.pdf).contains("1 made already"), "in the picture");
    assert!(after.said.contains("2 tubes, 1 piece of 1 kind, "), "{}", after.said);
}

#[test]
fn what_is_in_the_way_of_a_hole_that_is_cut_is_a_clash() {
    let shop = Shop::open();
    let text = job(r#""made": "hole""#, "").replace("\"along\": 290", "\"along\": 230");
    shop.write("job.json", text.as_bytes());
    let run = shop.run("batch job.json --check");
    assert_eq!(run.code(), 1);
    let said = run.out() + &run.err();
    assert!(said.contains("the holes for old and new in drum"), "{said}");
}

#[test]
fn what_cannot_be_made_already_is_refused() {
    let shop = Shop::open();
    for (from, to, says) in [
        (
            r#""start": {  }"#,
            r#""start": { "made": "whole" }"#,
            "choose end, hole, both",
        ),
        (
            r#"{ "step": [0, 0, 200] } ] }"#,
            r#"{ "step": [0, 0, 200] } ], "end": { "made": "both" } }"#,
            "this end lands on no body, so that it has no hole",
        ),
    ] {
        let text = job("", "").replace(from, to);
        assert_ne!(text, job("", ""));
        shop.write("job.json", text.as_bytes());
        let run = shop.run("batch job.json");
        assert_eq!(run.code(), 2);
        let said = run.err();
        assert!(said.contains(says), "{said}");
    }
}
