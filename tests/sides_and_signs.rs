//! Sides, signs and scales: right and left, up and down, near and far, thick and thin, each turned round once and not
//! twice or never. Millimetres and degrees.

mod plain;
mod support;

use std::f64::consts::{FRAC_PI_4, PI};

use approx::assert_abs_diff_eq;
use girthline::job::raw::{self, Word};
use girthline::job::{Header, Join, Saddle, resolve};
use girthline::layout::{Item, Layer, panels};
use girthline::plan;
use girthline::solver::{FacetedEnd, FlatCut, gap, hole_outline};
use girthline::wording::said;
use kurbo::Shape;
use plain::{miter, saddle};
use serde_json::Value;
use support::{Pdf, Shop};

const SIDED: &str = r#""s": { "size": "square 50mm x 3mm r 6mm" }"#;

/// A job with round stock `a`, 40 mm, `thin`, 10 mm, and square stock `s`, 50 mm.
fn job(bodies: &str, tubes: &str) -> String {
    format!(
        r#"{{ "units": "mm",
  "stock": {{ "a": {{ "size": "40mm x 2mm", "stick": 3000, "kerf": 3 }}, "thin": {{ "size": "10mm x 1mm" }}, {SIDED} }},
  "bodies": {{ {bodies} }}, "tubes": {{ {tubes} }} }}"#
    )
}

const LOW: &str =
    r#""low": { "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 600, 0], "zero": [0, 0, 1] }"#;

/// Runs a job; what it says, its report, its sheets.
fn made(text: &str, flags: &str) -> (String, Value, Pdf) {
    let shop = Shop::open();
    shop.write("job.json", text.as_bytes());
    let run = shop.run(&format!("batch job.json --report r.json --out p.pdf {flags}"));
    let run = run.succeeds();
    (
        run.out() + &run.err(),
        shop.report("r.json"),
        Pdf::read(&shop.read("p.pdf")),
    )
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// Everything on the sheets, lines that were broken put together.
fn all_words(pdf: &Pdf) -> String {
    let lines: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    lines.join(" ")
}

/// How wide and high the outline of a hole in the report is.
fn size_of(hole: &Value) -> (f64, f64) {
    let places = hole["outline"].as_array().expect("an outline").iter();
    let bounds = places.fold(None, |bounds: Option<kurbo::Rect>, place| {
        let point = kurbo::Point::new(number(&place[0]), number(&place[1]));
        Some(bounds.map_or(kurbo::Rect::from_points(point, point), |bounds| bounds.union_pt(point)))
    });
    let bounds = bounds.expect("places");
    (bounds.width(), bounds.height())
}

#[test]
fn the_far_wrap_has_its_crown_lines_the_other_way_round_and_its_stations_to_the_right() {
    // The far end is seen with its own cut end up. From the seam at the back the near wrap goes left, front, right; the
    // far one right, front, left.
    let high = r#""high": { "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 700], "to": [0, 600, 700], "zero": [0, 0, -1] }"#;
    let text = job(
        &format!("{LOW}, {high}"),
        r#""p": { "stock": "a", "path": [ { "on": "low", "along": 200, "round": "25deg" }, { "on": "high", "along": 320, "round": "-10deg" } ] }"#,
    );
    let (_, _, pdf) = made(&text, "--paper 1000mmx900mm");
    let expected = [
        ("START", ["BACK", "LEFT", "FRONT", "RIGHT"], [9, 12, 15, 1, 4, 7]),
        ("END", ["BACK", "RIGHT", "FRONT", "LEFT"], [9, 12, 15, 1, 4, 7]),
    ];
    for (name, crowns, stations) in expected {
        let title = pdf
            .words
            .iter()
            .find(|words| words.text.contains(&format!("PIECE 1 p, {name}")));
        let title = title.expect("a wrap");
        // Words are written wrap by wrap: those of this one are the nearest above its title.
        let on_wrap = |text: &str| {
            let same = pdf
                .words
                .iter()
                .filter(|words| words.text == text && words.page == title.page);
            let near =
                same.filter(|words| words.at.y > title.at.y && (-20.0..130.0).contains(&(words.at.x - title.at.x)));
            let nearest = near.min_by(|a, b| (a.at.y - title.at.y).total_cmp(&(b.at.y - title.at.y)));
            nearest.unwrap_or_else(|| panic!("{name}: no {text}")).at
        };
        let front = on_wrap("FRONT");
        let places = crowns.map(|crown| on_wrap(crown).x);
        assert!(places.is_sorted(), "{name}: {crowns:?} at {places:?}");
        // Their numbers stand in one row, over the names of the crown lines.
        let station = |number: i32| {
            let same = pdf
                .words
                .iter()
                .filter(|words| words.page == title.page && words.text == number.to_string());
            let row =
                same.filter(|words| (words.at.y - front.y - 8.4).abs() < 0.3 && (words.at.x - front.x).abs() < 70.0);
            row.map(|words| words.at.x)
                .next()
                .unwrap_or_else(|| panic!("{name}: no station {number}"))
        };
        let places = stations.map(station);
        assert!(places.is_sorted(), "{name}: {stations:?} at {places:?}");
    }
}

#[test]
fn lines_of_a_hole_pattern_say_on_which_side_of_the_bodys_own_they_run() {
    // By the conventions: an offset is to the right, front is up. Across: the arc of the header's skin to where the branch's
    // axis comes through it, 300 asin(e / 300). Along: that is sqrt(300^2 - e^2) / tan A in front of the work point.
    for (offset, side) in [(120.0_f64, "right"), (-120.0, "left")] {
        let shop = Shop::open();
        shop.run(&format!(
            "saddle --branch 40mm_x_2mm --header 600mm --angle 60 --offset={offset}mm --report r.json --out p.pdf --units mm"
        ))
        .succeeds();
        let words = all_words(&Pdf::read(&shop.read("p.pdf")));
        let told = |from: &str, to: &str| -> f64 {
            let start = words.find(from).unwrap_or_else(|| panic!("{from}: {words}")) + from.len();
            let end = words[start..]
                .find(to)
                .unwrap_or_else(|| panic!("{to}: {}", &words[start..start + 90]));
            words[start..start + end]
                .trim_end_matches(" mm")
                .parse()
                .expect("millimetres")
        };
        let across = told(
            "Line A runs along ",
            &format!(" round the header to the {side} of its line"),
        );
        assert_abs_diff_eq!(across, 300.0 * (120.0_f64 / 300.0).asin(), epsilon = 0.006);
        // The report tells the outline from the work point.
        let outline = &shop.report("r.json")["holes"][0]["outline"];
        let along: Vec<f64> = outline
            .as_array()
            .expect("places")
            .iter()
            .map(|place| number(&place[1]))
            .collect();
        let line_b = f64::sqrt(300.0 * 300.0 - 120.0 * 120.0) / 60_f64.to_radians().tan();
        let (low, high) = (
            along.iter().copied().fold(f64::MAX, f64::min),
            along.iter().copied().fold(f64::MIN, f64::max),
        );
        assert_abs_diff_eq!(
            told("The hole reaches ", " in front of line B"),
            high - line_b,
            epsilon = 0.011
        );
        assert_abs_diff_eq!(
            told(" in front of line B, ", " behind it"),
            line_b - low,
            epsilon = 0.011
        );
        assert_eq!(number(&outline[0][0]) > 0.0, side == "right");
    }
}

#[test]
fn a_hole_marked_by_the_ordinates_of_the_terminal_lies_on_the_bore() {
    // By hand: places of the header's skin, from line B along it and from line A round it, are 18 mm from the branch's axis.
    for (angle, offset) in [(90.0_f64, 0.0_f64), (60.0, 30.0), (45.0, -40.0)] {
        let said = Shop::open()
            .run(&format!(
                "saddle --branch 40mm_x_2mm --header 300mm --angle {angle} --offset={offset}mm --out p.pdf --units mm --ordinates"
            ))
            .succeeds()
            .out();
        let table = said.split("Hole: by hand").nth(1).unwrap_or_else(|| panic!("{said}"));
        let (sin, cos) = angle.to_radians().sin_cos();
        let line_a = 150.0 * (offset / 150.0).asin();
        let line_b = (150.0 * 150.0 - offset * offset).sqrt() * cos / sin;
        let mut rows = 0;
        for line in table.lines().skip(2).take_while(|line| !line.starts_with("Up or down")) {
            let mut words = line.split_whitespace();
            // Down the left side and down the right, each from line B and from line A.
            for side in [-1.0, 1.0] {
                let Some(place) = words.next().filter(|word| *word != "-") else {
                    continue;
                };
                let mut figure = || -> f64 { words.next().expect(line).parse().expect(line) };
                let up = match place {
                    "up" => figure(),
                    "down" => -figure(),
                    _ => 0.0,
                };
                if place == "on" {
                    assert_eq!(words.next(), Some("B"), "{line}");
                }
                let round = match words.next() {
                    Some("on") => {
                        assert_eq!(words.next(), Some("A"), "{line}");
                        0.0
                    }
                    figure => side * figure.expect(line).parse::<f64>().expect(line),
                };
                let turn = (line_a + round) / 150.0;
                let (x, z) = (150.0 * turn.sin(), 150.0 * turn.cos());
                let across = ((line_b + up) * sin - z * cos).hypot(x - offset);
                assert_abs_diff_eq!(across, 18.0, epsilon = 0.02);
                rows += 1;
            }
        }
        assert!(rows >= 16, "{said}");
    }
}

#[test]
fn a_drain_at_its_paths_end_falls_on_its_way_from_the_body() {
    let drum = r#""drum": { "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 100], "to": [0, 0, 900], "zero": [1, 0, 0], "floor": 30 }"#;
    for (height, falls) in [(60.0, true), (260.0, false)] {
        let tube = format!(
            r#""d": {{ "stock": "a", "path": [ {{ "at": [-500, 0, {height}] }}, {{ "on": "drum", "round": "180deg", "drain": {{ "above_floor": 0 }} }} ],
                "start": {{ "join": "square" }} }}"#
        );
        let (said, report, _) = made(&job(drum, &tube), "");
        // By hand: from the skin at x = -150, as high as the report has the hole, to the far point.
        let along = number(&report["holes"][0]["along_mm"]);
        let fall = ((100.0 + along - height) / 350.0).atan().to_degrees();
        assert_eq!(fall > 0.0, falls);
        let way = if falls { "it falls" } else { "it rises by up to" };
        assert!(said.contains(&format!("{way} {:.2}°", fall.abs())), "{fall}: {said}");
        assert_eq!(said.contains("DOES NOT FALL"), !falls, "{said}");
    }
}

#[test]
fn the_weld_of_a_square_cut_against_a_slope_has_its_volume() {
    // By hand: the gap is tan c (R + y), so the space is tan c R x pi (R^2 - r^2). The sum over layers is exact where
    // it takes the middle of each: the space over a ring grows evenly with its radius.
    let end = miter(48.3, 40.0, 2, None).end();
    let square = FacetedEnd {
        cuts: vec![FlatCut {
            at_axis: 0.0,
            slope: 0.0,
        }],
    };
    let (outer, bore) = (24.15_f64, 22.15_f64);
    let volume = 20_f64.to_radians().tan() * outer * PI * (outer * outer - bore * bore);
    assert_abs_diff_eq!(
        gap(&end, &square, 1.0).expect("a gap").volume / volume,
        1.0,
        epsilon = 1e-9
    );
}

#[test]
fn every_piece_takes_its_kerf_from_the_stick() {
    let piece = |name: &str, x: u32| {
        format!(
            r#""{name}": {{ "stock": "a", "path": [ {{ "at": [{x}, 0, 0] }}, {{ "at": [{x}, 0, 300] }} ],
                "start": {{ "join": "square" }}, "end": {{ "join": "square" }} }}"#
        )
    };
    let tubes = [piece("p", 900), piece("q", 1000), piece("r", 1100)].join(",");
    let (_, report, _) = made(&job("", &tubes), "");
    let sticks = report["job"]["sticks"].as_array().expect("sticks");
    assert_eq!(sticks.len(), 1);
    assert_abs_diff_eq!(number(&sticks[0]["offcut_mm"]), 3000.0 - 3.0 * 303.0, epsilon = 1e-6);
}

#[test]
fn the_gap_of_a_landing_taken_for_round_is_in_one_place_whichever_end_it_is() {
    let drum = r#""drum": { "shape": "cylinder", "size": "girth 1276mm x 1mm", "from": [0, 0, 0], "to": [0, 0, 500], "zero": [1, 0, 0],
        "section": { "offsets": [ { "at": 0, "out": 6 }, { "at": "50deg", "out": -4 }, { "at": "120deg", "out": 2 }, { "at": "240deg", "out": 0 } ] } }"#;
    let land = r#"{ "on": "drum", "along": 250, "round": "20deg" }"#;
    let [from, to] = [
        format!(r#"{land}, {{ "at": [700, 350, 330] }}"#),
        format!(r#"{{ "at": [700, 350, 330] }}, {land}"#),
    ]
    .map(|path| {
        let tube = format!(r#""p": {{ "stock": "a", "path": [ {path} ] }}"#);
        let (_, report, _) = made(&job(drum, &tube), "");
        let known = &report["holes"][0]["if_round"];
        (number(&known["largest_gap_mm"]), number(&known["at_deg"]))
    });
    // The same end; at the far end of its piece the azimuths run the other way round from the same front.
    assert_abs_diff_eq!(from.0, to.0, epsilon = 1e-6);
    assert!(
        (10.0..170.0).contains(&from.1) || (190.0..350.0).contains(&from.1),
        "to one side: {from:?}"
    );
    assert_abs_diff_eq!(from.1 + to.1, 360.0, epsilon = 0.01);
}

#[test]
fn a_miters_saw_is_set_off_square_or_from_the_tubes_side() {
    for (turn, both) in [
        (45, "22.5° off square (67.5° from the tube's side)"),
        (90, "45° off square (45° from the tube's side)"),
        (30, "15° off square (75° from the tube's side)"),
        (77, "38.5° off square (51.5° from the tube's side)"),
    ] {
        let run = Shop::open().run(&format!("miter --tube 48.3mm_x_2mm --turn {turn}"));
        let said = run.succeeds().out();
        assert!(said.contains(both), "{said}");
    }
}

#[test]
fn a_side_on_the_saws_table_needs_no_turn_whichever_side_it_is() {
    // The bend's long side lies on a side of the tube where it is turned by a whole number of right angles.
    for (turned, turn) in [
        (0.0, None),
        (90.0, None),
        (180.0, None),
        (30.0, Some(30.0)),
        (100.0, Some(10.0)),
        (-60.0, Some(30.0)),
    ] {
        let tube = format!(
            r#""p": {{ "stock": "s", "turned": {turned}, "path": [ {{ "at": [0, 0, 0] }}, {{ "at": [400, 0, 0] }}, {{ "at": [700, 0, 300] }} ],
                "start": {{ "join": "square" }}, "end": {{ "join": "square" }} }}"#
        );
        let (_, _, pdf) = made(&job("", &tube), "");
        let words = all_words(&pdf);
        assert!(words.contains("22.5° off square"), "{words}");
        match turn {
            None => assert!(!words.contains("out of the table"), "turned {turned}: {words}"),
            Some(turn) => {
                let told = format!("with a side turned {turn}° out of the table");
                assert!(words.contains(&told), "turned {turned}: {words}");
            }
        }
    }
}

#[test]
fn a_thin_tube_that_pokes_into_a_thick_one_is_found_from_either_side() {
    // Its square end is 1 mm inside the other's skin. Which of the two comes first is by their lowest x.
    for (from, to) in [(919.0, 1100.0), (881.0, 700.0)] {
        let tubes = format!(
            r#""thick": {{ "stock": "a", "path": [ {{ "at": [900, 0, 0] }}, {{ "at": [900, 0, 2400] }} ],
                "start": {{ "join": "square" }}, "end": {{ "join": "square" }} }},
            "poking": {{ "stock": "thin", "path": [ {{ "at": [{from}, 0, 907.5] }}, {{ "at": [{to}, 0, 907.5] }} ],
                "start": {{ "join": "square" }}, "end": {{ "join": "square" }} }}"#
        );
        let (_, report, _) = made(&job("", &tubes), "");
        let clashes = report["job"]["clashes"].as_array().expect("clashes");
        assert_eq!(clashes.len(), 1, "{clashes:?}");
        assert_abs_diff_eq!(number(&clashes[0]["apart_mm"]), -1.0, epsilon = 0.05);
    }
}

#[test]
fn a_hole_on_thick_paper_is_wider_by_the_papers_share_of_the_girth() {
    // The paper's middle lies half a sheet above the skin: once round is longer by pi x thickness, along is not.
    let hole_on = |pdf: &Pdf, high: f64| {
        let closed = pdf.on("cut-line").map(|stroke| stroke.path.bounding_box());
        let drawn = closed.filter(|bounds| (bounds.height() - high).abs() < 0.02);
        let widths: Vec<f64> = drawn.map(|bounds| bounds.width()).collect();
        assert_eq!(widths.len(), 1, "{widths:?}");
        widths[0]
    };
    let thick = "--paper-thickness 0.5mm --paper 600mmx600mm";
    let shop = Shop::open();
    shop.run(&format!(
        "saddle --branch 45mm_x_2mm --header 60mm --angle 70 --report r.json --out p.pdf --units mm {thick}"
    ))
    .succeeds();
    let (wide, high) = size_of(&shop.report("r.json")["holes"][0]);
    let drawn = hole_on(&Pdf::read(&shop.read("p.pdf")), high);
    assert_abs_diff_eq!(drawn, wide * (1.0 + 0.5 / 60.0), epsilon = 0.005);

    let pipe = r#""pipe": { "shape": "cylinder", "size": "60mm x 2mm", "from": [0, 0, 0], "to": [0, 600, 0], "zero": [0, 0, 1] }"#;
    let tube =
        r#""p": { "stock": "a", "path": [ { "on": "pipe", "along": 200, "round": 0 }, { "step": [0, 100, 400] } ] }"#;
    let (_, report, pdf) = made(&job(pipe, tube), thick);
    let (wide, high) = size_of(&report["holes"][0]);
    assert_abs_diff_eq!(hole_on(&pdf, high), wide * (1.0 + 0.5 / 60.0), epsilon = 0.005);
}

/// Where the two skins' outlines of a set-in branch cross, by hand: on a radius at `angle` from the branch's plane both
/// skins' places are on the branch. From the difference of the two circles, k being the height along the header by the
/// sine of the angle between the axes; by how much that misses the outer one.
fn misses(angle: f64, [outer, inner]: [f64; 2], branch: f64, cos: f64) -> f64 {
    let square = angle.sin().powi(2) + (cos * angle.cos()).powi(2);
    let k = (outer + inner) * square / (2.0 * cos * angle.cos());
    (outer * angle.sin()).powi(2) + (k - outer * cos * angle.cos()).powi(2) - branch * branch
}

#[test]
fn the_wall_of_a_slanting_set_in_hole_stands_in_by_the_bow_over_its_chord() {
    // Between the two skins the wall's radius is a chord of the branch: it stands in by r - sqrt(r^2 - (c / 2)^2).
    let (outer, wall, branch) = (57.15, 8.0, 30.15);
    let joint = Saddle {
        header: Header {
            od_mm: 2.0 * outer,
            wall_mm: Some(wall),
            name: None,
        },
        join: Join::SetIn,
        angle_deg: 45.0,
        ..saddle((2.0 * branch, 3.0), 2.0 * outer)
    };
    let cos = FRAC_PI_4.cos();
    let (mut low, mut high) = (0.0, (branch / outer).asin());
    assert!(
        misses(low, [outer, outer - wall], branch, cos) < 0.0 && misses(high, [outer, outer - wall], branch, cos) > 0.0
    );
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if misses(middle, [outer, outer - wall], branch, cos) < 0.0 {
            low = middle
        } else {
            high = middle
        }
    }
    let chord = wall * (low.sin().powi(2) + (cos * low.cos()).powi(2)).sqrt();
    let bow = branch - (branch * branch - 0.25 * chord * chord).sqrt();
    let hole = hole_outline(&joint.drilling()).unwrap_or_else(|problem| panic!("{problem}"));
    assert_abs_diff_eq!(hole.stands_in_mm, bow, epsilon = 1e-6);
}

/// The pattern of a saddle's hole: where the word FRONT stands from the middle of its cut line, in millimetres, right and up.
fn front_from_hole(turned: &str) -> kurbo::Vec2 {
    let word = |name: &'static str, words: &str| Word::flag(name, words);
    let joint = raw::Saddle {
        branch: word("--branch", "square 50mm x 3mm r 6mm"),
        header: word("--header", "300mm"),
        angle: Some(word("--angle", "60")),
        turned: Some(word("--turned", turned)),
        offset: None,
        touch: None,
        join: None,
        clearance: None,
        root_gap: None,
    };
    let job = resolve::saddle(&joint, &raw::Sheet::default()).unwrap_or_else(|problems| panic!("{problems}"));
    let plan = plan::saddle(&job).unwrap_or_else(|problems| panic!("{problems}"));
    let said = said(&plan);
    let hole = panels::panels(&plan, &said).find(|panel| {
        let is_heading = |item: &Item| matches!(item, Item::Words(text) if text.words.starts_with("HOLE"));
        panel.drawing.items.iter().any(|(_, item)| is_heading(item))
    });
    let hole = hole.expect("a hole's pattern");
    let cut = hole.drawing.items.iter().find_map(|(layer, item)| match item {
        Item::Stroke(path, _) if *layer == Layer::CutLine => Some(path.bounding_box().center()),
        _ => None,
    });
    let front = hole.drawing.items.iter().find_map(|(_, item)| match item {
        Item::Words(text) if text.words == "FRONT" => Some(text.bounds().center()),
        _ => None,
    });
    front.expect("the word") - cut.expect("a cut line")
}

/// Seen with the cut end up a tube is turned to the right; on its header, seen from outside, that is to the right as well.
#[test]
fn the_front_of_a_saddles_hole_is_up_and_goes_with_the_tube_to_the_right() {
    let up = front_from_hole("0");
    assert!(up.y > 20.0 && up.x.abs() < 15.0, "{up:?}");
    let right = front_from_hole("90");
    assert!(right.x > 20.0 && right.y.abs() < 15.0, "{right:?}");
    let left = front_from_hole("-90");
    assert!(left.x < -20.0 && left.y.abs() < 15.0, "{left:?}");
}
