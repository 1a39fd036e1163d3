//! Holes that a body has already: what is left beside them, by the geometry of circles on a cylinder.

mod support;

use approx::assert_abs_diff_eq;
use kurbo::Shape;
use serde_json::Value;
use support::{Pdf, Shop, Stroke};

const DRUM: f64 = 286.0;

/// A drum of 572 mm, 900 mm high, with a hole of 60 mm at 300 mm along, and a tube of 50 mm x 2 mm square on it.
fn job(found: &str, along: f64, round: &str) -> String {
    format!(
        r#"{{ "title": "Tap", "units": "mm", "stock": {{ "a": {{ "size": "50mm x 2mm" }} }},
  "bodies": {{ "drum": {{ "shape": "cylinder", "size": "572mm x 1.2mm", "from": [0, 0, 0], "to": [0, 0, 900], "zero": [1, 0, 0],
     "holes": [ {found} ] }} }},
  "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "drum", "along": {along}, "round": {round} }},
                                              {{ "on": "drum", "along": {along}, "round": {round}, "out": 200 }} ] }} }} }}"#
    )
}

/// At this angle from the zero line.
fn bung(round: &str) -> String {
    format!(r#"{{ "name": "old bung", "along": 300, "round": {round}, "across": 60 }}"#)
}

fn place(job: &str) -> Value {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    shop.run("batch job.json --report r.json --out p.pdf").succeeds();
    shop.report("r.json")["holes"][0].clone()
}

fn ligament(job: &str) -> f64 {
    let place = place(job);
    assert_eq!(place["next_hole"], "old bung");
    place["ligament_mm"].as_f64().expect("mm")
}

#[test]
fn what_is_left_beside_a_hole_as_found_is_that_of_circles_on_a_cylinder() {
    // Along the drum both holes reach their radii: 23 mm of bore, 30 mm.
    for (along, left) in [(200.0, 100.0 - 53.0), (420.0, 120.0 - 53.0)] {
        assert_abs_diff_eq!(ligament(&job(&bung("0"), along, "0")), left, epsilon = 0.01);
    }
    // Round it a circle of radius r reaches R asin(r / R); past the line half round too.
    let reach = DRUM * ((23.0 / DRUM).asin() + (30.0 / DRUM).asin());
    for (tube, found, turned) in [(0.0, 30.0, 30.0), (0.0, -25.0, 25.0), (170.0, -165.0, 25.0)] {
        let job = job(&bung(&format!("\"{found}deg\"")), 300.0, &format!("\"{tube}deg\""));
        let left = DRUM * f64::to_radians(turned) - reach;
        assert_abs_diff_eq!(ligament(&job), left, epsilon = 0.02);
    }
    // A length round is the arc.
    let arc = DRUM * 30_f64.to_radians();
    let left = arc - reach;
    assert_abs_diff_eq!(
        ligament(&job(&bung(&arc.to_string()), 300.0, "0")),
        left,
        epsilon = 0.02
    );
}

#[test]
fn a_hole_or_a_wall_that_comes_into_a_hole_as_found_is_a_clash() {
    let said = |along: f64| {
        let shop = Shop::open();
        shop.write("job.json", job(&bung("0"), along, "0").as_bytes());
        let run = shop.run("batch job.json --check");
        (run.code(), run.out() + &run.err())
    };
    for (along, what, moved) in [
        // The bore's radius is 23 mm, the tube's 25 mm, the bung's 30 mm.
        (
            340.0,
            "the hole and wall of t",
            "15.01 mm over the skin towards the top end",
        ),
        (
            260.0,
            "the hole and wall of t",
            "15.01 mm over the skin towards the bottom end",
        ),
        (354.0, "the wall of t", "1.01 mm over the skin towards the top end"),
        (246.0, "the wall of t", "1.01 mm over the skin towards the bottom end"),
    ] {
        let (code, said) = said(along);
        let line = said.lines().find(|line| line.contains("CLASH")).unwrap_or_default();
        assert!(
            code == 1
                && line.contains(&format!("{what} against old bung of drum, overlap"))
                && line.ends_with(&format!(": clear when moved {moved}, the whole tube with it")),
            "{along}: {said}"
        );
    }
    for along in [355.5, 244.5] {
        let (code, said) = said(along);
        assert!(code == 0 && !said.contains("CLASH"), "{along}: {said}");
    }
}

#[test]
fn moved_as_told_a_landing_is_clear_of_a_hole_as_found() {
    let said = |along: f64, round: f64| {
        let shop = Shop::open();
        shop.write("job.json", job(&bung("0"), along, &round.to_string()).as_bytes());
        let run = shop.run("batch job.json --check");
        run.out() + &run.err()
    };
    // Up, down, right, left; where the way round is the shorter, and where it is the longer.
    for [along, round] in [
        [330.0, 20.0],
        [280.0, -11.0],
        [311.0, 31.0],
        [296.0, -40.0],
        [296.0, 44.0],
    ] {
        let told = said(along, round);
        let line = told.lines().find(|line| line.contains("CLASH")).expect("a clash");
        let words = line.split("clear when moved ").nth(1).expect("how far");
        let words = words
            .trim_start_matches("about ")
            .trim_end_matches(", then check again")
            .trim_end_matches(", the whole tube with it");
        let by: f64 = words.split(" mm").next().unwrap_or_default().parse().expect("a number");
        let [up, right] = match words.split("over the skin ").nth(1) {
            Some("towards the bottom end") => [-1.0, 0.0],
            Some("towards the top end") => [1.0, 0.0],
            Some("to the left") => [0.0, -1.0],
            Some("to the right") => [0.0, 1.0],
            way => panic!("{way:?}"),
        };
        let moved = |by: f64| said(along + by * up, round + by * right);
        assert!(!moved(by + 0.02).contains("CLASH"), "{along} {round}: {line}");
        assert!(moved(by - 0.05).contains("CLASH"), "{along} {round}: {line}");
        // No way is shorter.
        for [up, right] in [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]] {
            let shorter = said(along + (by - 0.05) * up, round + (by - 0.05) * right);
            assert!(shorter.contains("CLASH"), "{along} {round}: {line}\n{shorter}");
        }
    }
}

#[test]
fn mark_out_and_picture_show_a_hole_as_found() {
    let shop = Shop::open();
    let lines = |found: &str| {
        shop.write("job.json", job(found, 500.0, "0").as_bytes());
        shop.run("batch job.json --out p.pdf").succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let words: Vec<String> = pdf.words.iter().map(|words| words.text.clone()).collect();
        (pdf.strokes.len(), words)
    };
    let (with, words) = lines(&bung("\"40deg\""));
    let (without, plain) = lines("");
    assert!(with > without);
    // An arc of 40 degrees on the drum's skin.
    let round = format!("right {:.2} mm (40°)", DRUM * 40_f64.to_radians());
    for says in [
        "old bung, as found",
        "Holes in drum as found",
        "60.00 mm",
        "300.00 mm",
        &round,
    ] {
        assert!(words.iter().any(|words| words == says), "{says}: {words:?}");
        assert!(!plain.iter().any(|words| words == says), "{says}");
    }
    let to_the_left = lines(&bung("\"-40deg\"")).1;
    assert!(to_the_left.contains(&round.replace("right", "left")), "{to_the_left:?}");
    // Which end it is measured from, and which way is up.
    let all = words.join(" ");
    let measured = all.split("Along: from the ").nth(1).expect("where it is measured from");
    assert!(
        measured.starts_with("BOTTOM END. Right and left: from the zero line, seen from outside with the TOP END up."),
        "{measured}"
    );
    // Nothing is asked for.
    let patterns = |words: &[String]| words.iter().filter(|words| words.starts_with("HOLE in ")).count();
    assert_eq!(patterns(&words), patterns(&plain));
}

#[test]
fn a_hole_as_found_is_seen_at_a_small_scale_by_a_cross_and_its_name() {
    let shop = Shop::open();
    // At 1 : 20 a hole of 12 mm is 0.6 mm across. A tube lands right beside it, so that its name stands farther off.
    for (along, round) in [(300.0, "100"), (330.0, "150"), (500.0, "0")] {
        let found = bung("150").replace("60 }", "12 }");
        shop.write("job.json", job(&found, along, round).as_bytes());
        shop.run("batch job.json --out p.pdf");
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let name = pdf.words.iter().find(|words| words.text == "old bung, as found");
        let name = name.unwrap_or_else(|| panic!("no name: {along} {round}"));
        let on_page = pdf.strokes.iter().filter(|stroke| stroke.page == name.page);
        let boxes: Vec<kurbo::Rect> = on_page.map(|stroke| stroke.path.bounding_box()).collect();
        let speck = boxes
            .iter()
            .find(|speck| (speck.width() - 0.6).abs() < 0.01 && (speck.height() - 0.6).abs() < 0.01);
        let middle = speck.expect("its outline").center();
        let passes = |arm: &kurbo::Rect| arm.center().distance(middle) < 0.01;
        let level = boxes
            .iter()
            .any(|arm| passes(arm) && arm.height() < 0.01 && arm.width() > 4.0);
        let upright = boxes
            .iter()
            .any(|arm| passes(arm) && arm.width() < 0.01 && arm.height() > 4.0);
        assert!(level && upright, "{along} {round}");
        assert!(name.at.distance(middle) < 45.0, "{along} {round}");
    }
}

#[test]
fn no_dimension_line_runs_through_a_hole_as_found_or_its_name() {
    let shop = Shop::open();
    // On the way from the tube to the zero line, and beside it.
    for (round, is_in_the_way) in [("150", true), ("-150", false)] {
        shop.write("job.json", job(&bung(round), 300.0, "300").as_bytes());
        shop.run("batch job.json --out p.pdf").succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let find = |text: &str| pdf.words.iter().find(|words| words.text == text);
        let tube = find("H1").expect("its number");
        let (zero, skin) = (find("BOTTOM END").expect("an end"), find("RIGHT").expect("a side"));
        // Round to the zero line, which is over the end's name: a level line that begins there, longer than the cross of the hole
        // as found.
        let level = |stroke: &&Stroke| {
            let bounds = stroke.path.bounding_box();
            let is_level = bounds.height() < 0.01 && bounds.width() > 8.0 && bounds.x1 < skin.at.x - 5.0;
            stroke.page == tube.page && is_level && (bounds.y0 - tube.at.y).abs() < 6.0 && bounds.x0 > zero.at.x
        };
        assert_eq!(
            pdf.strokes.iter().any(|stroke| level(&stroke)),
            !is_in_the_way,
            "{round}"
        );
    }
}

#[test]
fn a_hole_as_found_that_cannot_be_is_refused_with_its_figures() {
    let shop = Shop::open();
    for (found, says) in [
        (
            r#"{ "name": "x", "along": 950, "across": 60 }"#,
            [
                "the middle of this hole is not on \"drum\"",
                "950.00 mm, the body reaches from 0.00 mm to 900.00 mm",
            ],
        ),
        (
            r#"{ "name": "x", "along": 100, "across": 0 }"#,
            ["a hole is wider than nothing", "measured straight across"],
        ),
        (
            r#"{ "name": "x", "along": 100, "across": 600 }"#,
            ["\"drum\" can't have a hole so wide there", "600.00 mm"],
        ),
        (r#"{ "name": "x", "along": 100 }"#, ["across", "holes[0]"]),
    ] {
        shop.write("job.json", job(found, 500.0, "0").as_bytes());
        let run = shop.run("batch job.json");
        assert_eq!(run.code(), 2, "{found}");
        for says in says {
            assert!(run.err().contains(says), "{found}: {}", run.err());
        }
    }
}

#[test]
fn a_hole_as_found_in_a_plate_is_placed_up_or_down_from_its_cross() {
    let shop = Shop::open();
    let hole = |name: &str, along: i32, round: i32| {
        format!(r#"{{ "name": "{name}", "along": {along}, "round": {round}, "across": 14 }}"#)
    };
    shop.write(
        "job.json",
        format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "42.4mm x 2mm" }} }}, "bodies": {{
  "foot": {{ "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [0, 1, 0], "wide": 300, "high": 300, "holes": [ {}, {} ] }} }},
  "tubes": {{ "post": {{ "stock": "a", "path": [ {{ "on": "foot", "along": 0, "round": 0 }}, {{ "step": [0, 0, 400] }} ] }} }} }}"#,
            hole("bolt a", -120, 110),
            hole("bolt b", 120, -110)
        )
        .as_bytes(),
    );
    shop.run("batch job.json --out p.pdf").succeeds();
    let words = Pdf::read(&shop.read("p.pdf")).words.into_iter().map(|words| words.text);
    let words = words.collect::<Vec<_>>().join(" ");
    for told in [
        "bolt a down 120.00 mm right 110.00 mm",
        "bolt b up 120.00 mm left 110.00 mm",
    ] {
        assert!(words.contains(told), "{told}: {words}");
    }
}
