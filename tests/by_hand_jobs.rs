//! Both ends of a piece are marked from their printed tables alone, cut end up and from FRONT to the right, as a person
//! does it; in its place in space the piece must then touch what it lands on, and nothing else will do.

mod support;

use glam::DVec3;
use serde_json::Value;
use support::{Pdf, Shop, Words};

/// Two drums 300 mm across, `high` 700 mm over `low`; one tube between them, slanting and off the middle of both.
const JOB: &str = r#"{ "units": "mm", "title": "by hand", "stock": { "a": { "size": "40mm x 2mm" } },
    "bodies": {
        "low": { "shape": "cylinder", "size": "300mm x 3mm", "from": [0, 0, 0], "to": [0, 600, 0], "zero": [0, 0, 1] },
        "high": { "shape": "cylinder", "size": "300mm x 3mm", "from": [0, 0, 700], "to": [0, 600, 700], "zero": [0, 0, -1] } },
    "tubes": { "p": { "stock": "a", "path": [ { "on": "low", "along": 200, "round": "25deg" },
        { "on": "high", "along": 320, "round": "-10deg" } ] } } }"#;
const RADIUS: f64 = 20.0;
const BORE: f64 = 18.0;
const DRUM: f64 = 150.0;
const HIGH: f64 = 700.0;
/// Printed to 0.01 mm: a mark is off by half of that, and a station round the girth too, on a slope of less than one.
const PRINTED: f64 = 0.011;

/// From the job's words, by hand: where the axis enters each drum, and the side of the acute angle.
fn ends_in_space() -> [DVec3; 2] {
    let on = |round: f64, along: f64, height: f64, up: f64| {
        let (sin, cos) = round.to_radians().sin_cos();
        DVec3::new(up * DRUM * sin, along, height + up * DRUM * cos)
    };
    [on(25.0, 200.0, 0.0, 1.0), on(-10.0, 320.0, HIGH, -1.0)]
}

/// A row of a table by hand: the place's name, how far to the right of FRONT, and how far up from the base line.
struct Row {
    place: String,
    right: f64,
    up: f64,
}

/// The rows under the heading `title`.
fn table(pdf: &Pdf, title: &str) -> Vec<Row> {
    let head = pdf.words.iter().find(|words| words.text == title).expect("a table");
    let near =
        |words: &&Words| words.page == head.page && words.at.x >= head.at.x - 0.5 && words.at.x < head.at.x + 52.0;
    let mut words: Vec<&Words> = pdf
        .words
        .iter()
        .filter(near)
        .filter(|words| words.at.y < head.at.y)
        .collect();
    words.sort_by(|a, b| b.at.y.total_cmp(&a.at.y).then(a.at.x.total_cmp(&b.at.x)));
    let lines = words.chunk_by(|a, b| (a.at.y - b.at.y).abs() < 0.1);
    let rows = lines.filter(|line| line.len() == 5 && line[0].text.parse::<usize>().is_ok());
    rows.take(16)
        .map(|line| Row {
            place: line[1].text.clone(),
            right: line[2].text.parse().expect("millimetres"),
            up: line[3].text.parse().expect("millimetres"),
        })
        .collect()
}

fn packed() -> (Value, Pdf) {
    let shop = Shop::open();
    shop.write("job.json", JOB.as_bytes());
    shop.run("batch job.json --report r.json --out p.pdf --paper 1000mmx900mm")
        .succeeds();
    (shop.report("r.json"), Pdf::read(&shop.read("p.pdf")))
}

#[test]
fn both_ends_marked_from_their_tables_alone_fit_their_drums() {
    let (report, pdf) = packed();
    let [from, to] = ends_in_space();
    let axis = (to - from).normalize();
    let front = (DVec3::Y - DVec3::Y.dot(axis) * axis).normalize();
    let mut named: [Vec<(String, DVec3)>; 2] = Default::default();
    let ends = [("start", from, -axis, 0.0), ("end", to, axis, HIGH)];
    for (index, (name, at, up, height)) in ends.into_iter().enumerate() {
        let base = at - up * report["ends"][index]["base_line_t_mm"].as_f64().expect("mm");
        let rows = table(&pdf, &format!("1 p: {name}: by hand"));
        assert_eq!(rows.len(), 16, "{name}");
        let title = format!("1 p: {name}: by hand");
        let words = pdf.words.iter().skip_while(|words| words.text != title);
        let under = words.skip_while(|words| !words.text.starts_with("Cut end up"));
        let lines: Vec<&str> = under.take(3).map(|words| words.text.as_str()).collect();
        let under = lines.join(" ");
        // To the right of the front with the cut end up is the line RIGHT of a start, the line LEFT of an end.
        let right = [
            "Cut end up. Round: right from FRONT. Up",
            "Cut end up. Round: right from FRONT, to LEFT.",
        ][index];
        assert!(under.starts_with(right), "{name}: {under}");
        // With the cut end up, seen from outside: to the right is up x outward.
        let right = up.cross(front);
        for row in &rows {
            let turn = row.right / RADIUS;
            let outward = turn.cos() * front + turn.sin() * right;
            if row.place.parse::<f64>().is_err() && !row.place.contains('°') {
                named[index].push((row.place.clone(), outward));
            }
            let off = (0..=200)
                .map(|layer| BORE + (RADIUS - BORE) * f64::from(layer) / 200.0)
                .map(|radius| {
                    let mark = base + radius * outward + row.up * up;
                    mark.x.hypot(mark.z - height) - DRUM
                });
            let least = off.fold(f64::MAX, f64::min);
            assert!(least.abs() < PRINTED, "{name}, {} mm to the right: {least}", row.right);
        }
        // Marked to the left instead, it would not fit at all.
        let worst = rows.iter().map(|row| {
            let turn = -row.right / RADIUS;
            let mark = base + RADIUS * (turn.cos() * front + turn.sin() * right) + row.up * up;
            (mark.x.hypot(mark.z - height) - DRUM).abs()
        });
        assert!(worst.fold(0.0, f64::max) > 3.0, "{name} tells right from left");
    }
    // A crown line is one line along the whole tube, whichever end is up.
    let [start, end] = named;
    assert_eq!(start.len(), 4);
    for (name, outward) in start {
        let (_, there) = end
            .iter()
            .find(|(other, _)| *other == name)
            .expect("the same crown lines");
        assert!((outward - *there).length() < 1e-3, "{name}: {outward} and {there}");
    }
}

#[test]
fn every_wrap_counts_its_stations_to_the_right_and_names_the_lines_of_the_tube() {
    let (report, pdf) = packed();
    for (index, side) in ["START", "END"].into_iter().enumerate() {
        let girth = report["ends"][index]["printed_girth_mm"].as_f64().expect("mm");
        let title = format!("PIECE 1 p, {side}");
        let title = pdf
            .words
            .iter()
            .find(|words| words.text.contains(&title))
            .expect("a wrap");
        let on_wrap = |words: &&Words| {
            words.page == title.page
                && (title.at.y..title.at.y + 60.0).contains(&words.at.y)
                && (title.at.x - 20.0..title.at.x - 17.0 + girth).contains(&words.at.x)
        };
        let x_of = |text: &str| -> Vec<f64> {
            let found = pdf.words.iter().filter(on_wrap).filter(|words| words.text == text);
            found.map(|words| words.at.x).collect()
        };
        let only = |text: &str| {
            let all = x_of(text);
            assert_eq!(all.len(), 1, "{side}: {text}");
            all[0]
        };
        // From the front, 3 stations further is to the right.
        assert!(only("3") > only("0") && only("6") > only("3"), "{side}");
        // With START up the tube's right is to the right of its front; with END up it is to the left.
        let (front, right, left) = (only("FRONT"), only("RIGHT"), only("LEFT"));
        assert!(
            if index == 0 {
                left < front && front < right
            } else {
                right < front && front < left
            },
            "{side}: {left} {front} {right}"
        );
        let quarter = (right - front).abs() / girth;
        assert!((quarter - 0.25).abs() < 1e-3, "{side}: {quarter}");
    }
}

#[test]
fn a_wrap_with_both_cuts_counts_the_lower_one_upside_down() {
    let shop = Shop::open();
    // A short stub between the drums moved together: one wrap bears both cuts.
    shop.write("job.json", JOB.replace("700]", "400]").replace("320", "215").as_bytes());
    shop.run("batch job.json --report r.json --out p.pdf --paper 1000mmx900mm")
        .succeeds();
    let (report, pdf) = (shop.report("r.json"), Pdf::read(&shop.read("p.pdf")));
    let girth = report["ends"][0]["printed_girth_mm"].as_f64().expect("mm");
    let line = pdf
        .words
        .iter()
        .find(|words| words.text.starts_with("BASE LINE"))
        .expect("a base line");
    let near = |words: &&Words| {
        words.page == line.page && (words.at.y - line.at.y).abs() < 12.0 && (words.at.x - line.at.x).abs() < girth
    };
    let at = |number: &str, turn: f64| {
        let mut found = pdf.words.iter().filter(near).filter(|words| words.text == number);
        found
            .find(|words| (words.turn.abs() - turn).abs() < 1.0)
            .map(|words| words.at.x)
            .expect("a station")
    };
    for (less, more) in [("1", "3"), ("3", "6")] {
        assert!(at(less, 0.0) < at(more, 0.0), "of START, to the right");
        assert!(
            at(less, 180.0) > at(more, 180.0),
            "of END, to the right once the paper is turned over"
        );
    }
}

#[test]
fn each_end_says_which_way_its_front_goes_on_its_drum_as_measured_in_space() {
    // The upper drum as above, and turned end for end: what was to its far end is to its near end then.
    let turned_about = JOB.replace(
        r#""from": [0, 0, 700], "to": [0, 600, 700]"#,
        r#""from": [0, 600, 700], "to": [0, 0, 700]"#,
    );
    let turned_about = turned_about.replace(
        r#""along": 320, "round": "-10deg""#,
        r#""along": 280, "round": "10deg""#,
    );
    for (job, far_end) in [(JOB.to_owned(), DVec3::Y), (turned_about, -DVec3::Y)] {
        let shop = Shop::open();
        shop.write("job.json", job.as_bytes());
        shop.run("batch job.json --out p.pdf --paper 1000mmx900mm").succeeds();
        let pdf = Pdf::read(&shop.read("p.pdf"));
        let [from, to] = ends_in_space();
        assert!(to.y > from.y);
        // The front is the side to which the tube leans, +y, and both drums lie along y: in the plane through the tube's axis and
        // +y its FRONT line meets either drum straight along it, towards +y at the lower end and at the upper one.
        let high = if far_end == DVec3::Y { "far" } else { "near" };
        let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
        let words = words.join(" ");
        for (body, way) in [("low", "far"), ("high", high)] {
            let told = format!("set-on {body}, FRONT to the {way} end");
            assert!(words.contains(&told), "{told}: {words}");
        }
    }
}

#[test]
fn a_hole_in_a_job_bears_the_front_of_its_tube() {
    let (_, pdf) = packed();
    for body in ["low", "high"] {
        let title = format!("HOLE in {body}");
        let title = pdf
            .words
            .iter()
            .find(|words| words.text.starts_with(&title))
            .expect("a hole");
        let above = |text: &str| {
            let near = |words: &&Words| {
                words.page == title.page && words.text == text && (words.at.x - title.at.x).abs() < 80.0
            };
            let mut found: Vec<f64> = pdf
                .words
                .iter()
                .filter(near)
                .map(|words| words.at.y - title.at.y)
                .collect();
            found.retain(|above| *above > 0.0);
            found.sort_by(f64::total_cmp);
            found[0]
        };
        // The front is within a few degrees of the way to the far end: between the hole's line B and the top.
        assert!(
            above("B") < above("FRONT") && above("FRONT") < above("FAR END"),
            "{body}"
        );
    }
}

#[test]
fn who_has_no_printer_is_told_of_square_pieces_and_of_holes_by_compass_too() {
    let shop = Shop::open();
    let job = r#"{ "units": "mm", "stock": { "a": { "size": "21.3mm x 2mm" } },
        "bodies": { "ball": { "shape": "sphere", "size": "300mm x 2mm", "at": [0, 0, 0], "zero": [0, 1, 0] } },
        "tubes": {
            "post": { "stock": "a", "path": [ { "at": [900, 0, 0] }, { "at": [900, 300, 400] } ] },
            "leg": { "stock": "a", "path": [ { "on": "ball", "along": 120, "round": "40deg" }, { "step": [0, 0, 300] } ] } } }"#;
    shop.write("job.json", job.as_bytes());
    let said = shop
        .run("batch job.json --ordinates --report r.json --out p.pdf")
        .succeeds()
        .out();
    assert!(
        said.contains("post: square at both ends, 500.00 mm long, make 1"),
        "{said}"
    );
    let hole = &shop.report("r.json")["job"]["compass_holes"][0];
    let rows = hole["openings"].as_array().expect("rows");
    assert!(
        !rows.is_empty() && said.contains("HOLE in ball for leg (start): by compass"),
        "{said}"
    );
    for (number, row) in rows.iter().enumerate() {
        let opening = format!("{:.2}", row["opening_mm"].as_f64().expect("mm"));
        let is_told = |line: &str| {
            let cells: Vec<&str> = line.split_whitespace().collect();
            cells.first() == Some(&number.to_string().as_str()) && cells.last() == Some(&opening.as_str())
        };
        assert!(said.lines().any(is_told), "{number}, {opening}: {said}");
    }
}
