//! What is said of chop-saw facets: past the saw's limit, what to round off, and cuts that are not shared evenly.

mod support;

use serde_json::Value;
use support::{Pdf, Shop};

/// Runs `facets` and gives what the terminal and the report's warnings say, the report, and the sheets.
fn facets(words: &str) -> (String, Vec<String>, Value, Pdf) {
    let shop = Shop::open();
    let run = shop
        .run(&format!("facets {words} --out f.pdf --report r.json"))
        .succeeds();
    let report = shop.report("r.json");
    let warnings = report["warnings"].as_array().expect("a list").iter();
    let warnings = warnings
        .map(|warning| warning.as_str().expect("words").to_owned())
        .collect();
    (run.out(), warnings, report, Pdf::read(&shop.read("f.pdf")))
}

#[test]
fn a_saws_setting_is_said_as_either_kind_of_saw_reads_it() {
    // Off square and from the tube's side are what is left to a right angle.
    for (angle, both) in [
        (60, "30° off square (60° from the tube's side)"),
        (75, "15° off square (75° from the tube's side)"),
    ] {
        let (_, _, _, pdf) = facets(&format!("--branch 48.3mm_x_2mm --header 60.3mm --angle {angle}"));
        assert!(pdf.says(both), "{both}");
    }
}

#[test]
fn cuts_past_the_saws_limit_are_said_with_figures_and_what_to_do() {
    let joint = "--branch 48.3mm_x_2mm --header 60.3mm";
    let first = "the first cut is 60° off square, and the saw reaches 30°: put a wedge of 30° between tube and fence";
    let both = "as asked for, the front cut is 45° off square and the back cut is 45° off square, and the saw reaches 30°: ask for 30° or less, or put a wedge of 15°";
    let back = "as asked for, the back cut is 40.5° off square, and the saw reaches 30°: ask for 30° or less, or put a wedge of 10.5°";
    let cases = [
        ("--angle 30 --saw-limit 30", vec![first, both]),
        ("--angle 75 --saw-limit 30", vec![both]),
        ("--angle 75 --saw-limit 30 --saw-front 20 --saw-back 40.5", vec![back]),
        ("--angle 30 --saw-limit 30 --saw 30", vec![first]),
        ("--angle 60 --saw-limit 30 --saw 30", vec![]),
        ("--angle 45", vec![]),
    ];
    for (words, expected) in cases {
        let (out, warnings, _, sheets) = facets(&format!("{joint} {words}"));
        let said: Vec<&String> = warnings
            .iter()
            .filter(|warning| warning.contains("the saw reaches"))
            .collect();
        assert_eq!(said.len(), expected.len(), "{words}: {warnings:?}");
        for (said, expected) in said.iter().zip(&expected) {
            assert!(said.starts_with(expected), "{words}: {said}");
            assert!(out.contains(&format!("note: {said}")), "{words}: {out}");
        }
        // On the sheet the notes are broken into lines.
        let sheet: Vec<&str> = sheets.words.iter().map(|words| words.text.as_str()).collect();
        assert_eq!(sheet.join(" ").contains("saw reaches"), !expected.is_empty(), "{words}");
    }
}

#[test]
fn where_it_touches_first_as_much_comes_off_as_it_is_pushed_in() {
    for words in [
        "--branch 48.3mm_x_2mm --header 60.3mm --angle 75 --round 1mm",
        "--branch 48.26mm_x_1.65mm --header 48.26mm --round 2mm",
        "--branch 60.3mm_x_3.9mm --header 114.3mm --angle 60 --scribe 8mm --saw 30",
        "--branch 33.4mm_x_3.4mm --header 60.3mm --angle 50 --round 0.7mm",
        "--branch 88.9mm_x_5.5mm --header 101.6mm --angle 82 --saw-front 40 --saw-back 33",
    ] {
        let (_, _, report, _) = facets(words);
        let rounded = &report["facets"]["rounded"];
        let push_in = rounded["push_in_mm"].as_f64().expect("mm");
        let stretches = rounded["take_off"].as_array().expect("a list").iter();
        let deepest = stretches
            .map(|part| part["deepest_mm"].as_f64().expect("mm"))
            .fold(0.0, f64::max);
        assert!(
            push_in > 0.1 && (deepest - push_in).abs() < 1e-6,
            "{words}: {deepest} and {push_in}"
        );
    }
}

#[test]
fn cuts_that_are_all_on_one_side_are_listed_so() {
    let (out, _, report, sheets) = facets("--branch 48.3mm_x_2mm --header 1200mm --angle 60");
    let most = &report["facets"]["more_cuts"][0];
    let cuts = most["cuts"].as_array().expect("a list");
    assert!(
        cuts.len() == 4 && cuts.iter().all(|cut| cut["side"] == "front"),
        "{most}"
    );
    assert!(
        most["saw_back_deg"].is_null() && most["saw_front_deg"] == cuts[0]["saw_deg"],
        "{most}"
    );
    assert!(out.contains("up to 4 cuts"), "{out}");
    assert!(sheets.says("Up to 4 cuts") && sheets.says("no cut"));
}

#[test]
fn the_sheets_follow_each_other_alike_on_every_paper() {
    let shop = Shop::open();
    for joint in [
        "--branch fence_1-7/8_x_0.065in --header fence_1-7/8",
        "--branch 48.3mm_x_1.65mm --header 48.3mm",
    ] {
        let sheets = ["a4", "letter"].map(|paper| {
            shop.run(&format!("facets {joint} --paper {paper} --out p.pdf"))
                .succeeds();
            let pdf = Pdf::read(&shop.read("p.pdf"));
            let titles = [
                "Gap round the girth",
                "TRUE CURVE",
                "Saw settings",
                "SCRIBE STRIP, as asked for",
                "SCRIBE STRIP, best",
                "Round off",
                "Up to 6 cuts",
                "Branch end: by hand",
            ];
            titles.map(|title| {
                let found = pdf.words.iter().find(|words| words.text.starts_with(title));
                found.unwrap_or_else(|| panic!("{title}")).page
            })
        });
        assert_eq!(sheets[0], sheets[1], "{joint}");
        assert!(sheets[0].is_sorted() && sheets[0][7] == 1, "{joint}: {:?}", sheets[0]);
    }
}

#[test]
fn an_inch_table_has_fractions_and_a_line_for_each_cut() {
    let (out, ..) = facets("--branch fence_1-7/8_x_0.065in --header fence_1-7/8");
    let scribe = out
        .lines()
        .position(|line| line.starts_with("scribe front, in"))
        .expect("a row");
    let lines: Vec<Vec<&str>> = out
        .lines()
        .skip(scribe)
        .take(3)
        .map(|line| {
            line.split("  ")
                .map(str::trim)
                .filter(|cell| !cell.is_empty())
                .collect()
        })
        .collect();
    assert_eq!(lines[0][1], "5/8 (0.633)", "{out}");
    // Two cuts a side in the last column but one, three in the last.
    assert_eq!([lines[0].len(), lines[1].len(), lines[2].len()], [7, 2, 1], "{out}");
    let gap = out.lines().find(|line| line.starts_with("gap, in")).expect("a row");
    assert!(gap.contains("1/8 (0.123)"), "{gap}");
    // Cuts that are alike on both sides stand once on the sheet.
    let (.., sheets) = facets("--branch fence_1-7/8_x_0.065in --header fence_1-7/8");
    assert!(sheets.says("front and back, scribe 7/16 in (0.449)") && !sheets.says("back, scribe 7/16 in (0.449) "));
}
