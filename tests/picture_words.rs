//! The words of a picture: none stands on another, from wherever it is seen, and the ends of what lies are named.

mod scenes;

use girthline::layout::{Item, Look, Part, Seen, Text, picture};
use girthline::plan::{Plan, Planned};
use kurbo::{Point, Rect, Shape, Size};
use scenes::{SIDES, job, jobs, joints, look};

/// A bank of tubes between two drums that lie: so many tubes, so far apart; more keys of the drums and of the tubes.
struct Bank {
    units: &'static str,
    times: usize,
    apart: f64,
    lower: &'static str,
    upper: &'static str,
    tube: &'static str,
}

impl Bank {
    /// In millimetres, or in whole inches of them.
    fn text(&self) -> String {
        let Self {
            units,
            times,
            lower,
            upper,
            tube,
            ..
        } = self;
        let inch = if *units == "in" { 25.4 } else { 1.0 };
        let mm = |length: f64| (length / inch * 100.0).round() / 100.0;
        let (long, high, aside, first, last, step) =
            (mm(880.0), mm(1050.0), mm(80.0), mm(90.0), mm(105.0), mm(self.apart));
        format!(
            r#"{{ "units": "{units}", "stock": {{ "a": {{ "size": "fence 1-7/8 x 0.065in" }} }},
  "bodies": {{
    "lower": {{ "shape": "cylinder", "size": "drum 55 gal", "from": [0, 0, 0], "to": [0, {long}, 0], "zero": [0, 0, 1]{lower} }},
    "upper": {{ "shape": "cylinder", "size": "drum 55 gal", "from": [{aside}, 0, {high}], "to": [{aside}, {long}, {high}], "zero": [0, 0, -1]{upper} }} }},
  "tubes": {{ "riser": {{ "stock": "a", "path": [ {{ "on": "lower", "along": {first}, "round": "-15deg" }}, {{ "on": "upper", "along": {last}, "round": "20deg" }} ],
    "repeat": {{ "times": {times}, "step": [0, {step}, 0] }}{tube} }} }} }}"#
        )
    }
}

/// Jobs of which earlier pictures had words on each other, and more like them.
fn crowded() -> Vec<(String, Plan)> {
    const NONE: &str = "";
    const RIB: &str = r#", "keep_off": [ { "name": "rib", "along": [286, 300], "out": 9 } ]"#;
    const RIBS_IN: &str = r#", "keep_off": [ { "name": "a", "along": [11, 12], "out": 0.5 }, { "name": "b", "along": [22, 23], "out": 0.5 } ]"#;
    const BUNG: &str = r#", "holes": [ { "name": "old bung", "along": 420, "round": "12deg", "across": 60 } ]"#;
    const SEAM_IN: &str = r#", "keep_off": [ { "name": "seam", "along": [30, 34], "out": 0.4 } ]"#;
    const MADE: &str = r#", "start": { "made": "both" }"#;
    const ALL_MADE: &str = r#", "start": { "made": "both" }, "end": { "made": "both" }"#;
    let banks = [
        ("mm", 8, 98.0, NONE, NONE, NONE),
        ("in", 8, 101.6, NONE, NONE, NONE),
        ("mm", 12, 60.0, NONE, NONE, NONE),
        ("in", 14, 50.8, NONE, NONE, NONE),
        ("mm", 8, 98.0, RIB, BUNG, NONE),
        ("mm", 8, 98.0, NONE, BUNG, MADE),
        ("in", 8, 101.6, RIBS_IN, NONE, NONE),
        ("in", 6, 127.0, RIBS_IN, SEAM_IN, ALL_MADE),
        ("mm", 3, 150.0, RIB, NONE, ALL_MADE),
        ("mm", 1, 98.0, NONE, NONE, NONE),
        ("in", 1, 98.0, SEAM_IN, NONE, MADE),
        ("mm", 16, 20.0, RIB, BUNG, NONE),
    ];
    let bank = |(units, times, apart, lower, upper, tube)| {
        let bank = Bank {
            units,
            times,
            apart,
            lower,
            upper,
            tube,
        };
        let text = bank.text();
        (text.clone(), job(&text))
    };
    banks.into_iter().map(bank).collect()
}

/// As large as on a cover, as on a page, and a part of it from near.
fn looks() -> impl Iterator<Item = Look> {
    SIDES.into_iter().flat_map(|(azimuth, height)| {
        let usual = look(azimuth, height);
        let cover = Look {
            size: Size::new(72.0, 56.0),
            ..usual
        };
        let near = Look { zoom: 2.2, ..usual };
        [usual, cover, near]
    })
}

fn words(seen: &Seen) -> Vec<Text> {
    let items = seen.parts.iter().flat_map(|(_, drawing)| &drawing.items);
    let words = items.filter_map(|(_, item)| match item {
        Item::Words(text) => Some(text.clone()),
        _ => None,
    });
    words.collect()
}

/// The box of each dot that a number's leader ends in.
fn dots(seen: &Seen) -> Vec<Rect> {
    let numbers = seen
        .parts
        .iter()
        .filter(|(part, _)| matches!(part, Part::Balloon { .. }));
    let items = numbers.flat_map(|(_, drawing)| &drawing.items);
    let dots = items.filter_map(|(_, item)| match item {
        Item::Fill(path, grey) if *grey < 0.5 => Some(path.bounding_box()),
        _ => None,
    });
    dots.collect()
}

/// The middles of the crosses of clashes, the only heavy lines.
fn crosses(seen: &Seen) -> Vec<Point> {
    let words = seen.parts.iter().filter(|(part, _)| *part == Part::Words);
    let items = words.flat_map(|(_, drawing)| &drawing.items);
    let crosses = items.filter_map(|(_, item)| match item {
        Item::Stroke(path, pen) if pen.width_mm > 0.8 => Some(path.bounding_box().center()),
        _ => None,
    });
    crosses.collect()
}

/// How many of a job are known.
fn clashes(plan: &Plan) -> usize {
    match &plan.of {
        Planned::Job(of) => of.cut_list.clashes.len(),
        _ => 0,
    }
}

fn overlap(a: Rect, b: Rect) -> bool {
    let both = a.intersect(b);
    both.width() > 0.0 && both.height() > 0.0
}

#[test]
fn no_words_of_a_picture_stand_on_others_or_on_what_a_number_leads_to() {
    let mut faults = Vec::new();
    for (name, plan) in crowded().into_iter().chain(jobs()).chain(joints()) {
        for look in looks() {
            let seen = picture(&plan, &look);
            let (words, dots, crosses) = (words(&seen), dots(&seen), crosses(&seen));
            for (index, word) in words.iter().enumerate() {
                let others = words[..index]
                    .iter()
                    .filter(|other| overlap(word.bounds(), other.bounds()));
                faults.extend(others.map(|other| format!("{} on {}: {look:?} {name}", word.words, other.words)));
                let covered = dots.iter().filter(|dot| overlap(word.bounds(), **dot));
                faults.extend(covered.map(|_| format!("{} on a dot: {look:?} {name}", word.words)));
                let crossed = crosses.iter().filter(|cross| word.bounds().contains(**cross));
                faults.extend(crossed.map(|_| format!("{} on a cross: {look:?} {name}", word.words)));
            }
        }
    }
    assert!(
        faults.is_empty(),
        "{}: {:#?}",
        faults.len(),
        &faults[..faults.len().min(12)]
    );
}

/// From aside and a little above both ends of a drum and the tubes between drums are seen: words that found no place would be missing.
#[test]
fn the_ends_of_what_lies_are_named_and_clashes_and_numbers_are_told() {
    let crowded = crowded();
    assert!(crowded.iter().filter(|(_, plan)| clashes(plan) > 0).count() > 3);
    for (name, plan) in crowded {
        for (azimuth, height) in [(30.0, 25.0), (-30.0, 25.0), (60.0, 15.0)] {
            let cover = Look {
                size: Size::new(72.0, 56.0),
                ..look(azimuth, height)
            };
            let words = words(&picture(&plan, &cover));
            let count = |start: &str| words.iter().filter(|text| text.words.starts_with(start)).count();
            assert_eq!(
                (count("near end"), count("far end")),
                (2, 2),
                "{azimuth} {height} {name}"
            );
            assert!(count("1") > 0, "{azimuth} {height} {name}");
            assert_eq!(count("CLASH") > 0, clashes(&plan) > 0, "{azimuth} {height} {name}");
        }
    }
}
