//! Mark-out of bodies: ligaments, holes that run off, and what the sheets say, held against other ways to compute it.

mod support;

use std::f64::consts::{PI, TAU};

use kurbo::{PathEl, Point, Shape};
use serde_json::Value;
use support::{Pdf, Shop};

/// A job with one body and tubes square to its skin at places along it and round it, in mm and degrees.
fn job(body: &str, size: &str, places: &[(f64, f64)]) -> String {
    let tubes = places.iter().enumerate().map(|(index, (along, round))| {
        let place = format!(r#""on": "body", "along": {along}, "round": "{round}deg""#);
        format!(
            r#""t{index}": {{ "stock": "a", "path": [ {{ {place} }}, {{ {place}, "out": 90 }} ], "end": {{ "join": "square" }} }}"#
        )
    });
    let tubes: Vec<String> = tubes.collect();
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "{size}" }} }}, "bodies": {{ "body": {{ {body} }} }}, "tubes": {{ {} }} }}"#,
        tubes.join(", ")
    )
}

fn made(job: &str) -> (Pdf, Value) {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    shop.run("batch job.json --out p.pdf --report r.json").succeeds();
    (Pdf::read(&shop.read("p.pdf")), shop.report("r.json"))
}

fn clashes(report: &Value) -> Vec<(String, f64)> {
    let clashes = report["job"]["clashes"].as_array().expect("clashes").iter();
    clashes
        .map(|clash| {
            let what = clash["what"].as_str().expect("words").to_owned();
            (what, clash["apart_mm"].as_f64().expect("mm"))
        })
        .collect()
}

/// Radius at the end, at the far end, and length.
const CONES: [(f64, f64, f64); 4] = [
    (300.0, 100.0, 500.0),
    (80.0, 310.0, 250.0),
    (150.0, 152.0, 600.0),
    // So flat that its sector is nearly a whole circle.
    (400.0, 60.0, 80.0),
];

fn cone((radius, radius_to, length): (f64, f64, f64)) -> String {
    format!(
        r#""shape": "cone", "size": "{}mm x 2mm", "size_to": "{}mm x 2mm", "from": [0, 0, 0], "to": [0, 0, {length}]"#,
        2.0 * radius,
        2.0 * radius_to
    )
}

#[test]
fn ligaments_on_cones_are_chords_of_the_sector() {
    // By hand: laid flat, a place r from the axis is r / sin h from the tip, h the cone's half angle, and angles round the
    // axis shrink by sin h; the chord follows by the law of cosines. A small hole stays as good as a circle of its bore.
    const BORE: f64 = 1.5;
    for shape in CONES {
        let (radius, radius_to, length) = shape;
        let sine = ((radius_to - radius) / length).atan().sin().abs();
        for (first, second) in [
            ((0.3, 10.0), (0.5, 55.0)),
            ((0.6, 172.0), (0.4, -163.0)),
            ((0.2, -30.0), (0.9, -31.0)),
        ] {
            let slant = |(share, _): (f64, f64)| (radius + share * (radius_to - radius)) / sine;
            let between = f64::to_radians(first.1 - second.1);
            let between = (between - (between / TAU).round() * TAU) * sine;
            let (a, b) = (slant(first), slant(second));
            let chord = (a * a + b * b - 2.0 * a * b * between.cos()).sqrt();
            let places = [first, second].map(|(share, round)| (share * length, round));
            let (_, report) = made(&job(&cone(shape), "4mm x 0.5mm", &places));
            for hole in report["holes"].as_array().expect("holes") {
                let ligament = hole["ligament_mm"].as_f64().expect("mm");
                let expected = chord - 2.0 * BORE;
                assert!(
                    (ligament - expected).abs() < 0.01,
                    "{shape:?} {first:?}: {ligament} for {expected}"
                );
            }
        }
    }
}

#[test]
fn a_hole_that_runs_off_a_cone_is_told_with_what_is_missing_along_the_skin() {
    // Along the skin's straight line the bore reaches its radius from the middle, which is along / cos h from the end.
    let (radius, radius_to, length) = CONES[0];
    let stretch = (1.0 + ((radius_to - radius) / length).powi(2)).sqrt();
    for (along, from_end) in [(6.0, 6.0), (length - 7.0, 7.0), (length / 2.0, length / 2.0)] {
        let (_, report) = made(&job(&cone(CONES[0]), "24mm x 2mm", &[(along, 70.0)]));
        let found = clashes(&report);
        if from_end * stretch > 10.0 {
            assert_eq!(found, []);
        } else {
            assert_eq!(found[0].0, "the hole for t0 against the end of body");
            assert!((found[0].1 - (from_end * stretch - 10.0)).abs() < 0.01, "{found:?}");
        }
    }
}

#[test]
fn a_cones_sheet_tells_the_length_on_the_skin_beside_the_one_along_the_axis() {
    let (pdf, _) = made(&job(&cone(CONES[0]), "24mm x 2mm", &[(200.0, -70.0)]));
    // 200 mm along the axis are 200 x sqrt(1 + 0.4^2) = 215.41 mm on the skin; there the radius is 220 mm.
    for words in [
        "200.00 mm",
        "215.41 mm",
        "left 268.78 mm (70°)",
        "up 215.41 mm",
        "TOP END",
    ] {
        assert!(pdf.words.iter().any(|told| told.text.contains(words)), "{words}");
    }
}

#[test]
fn ligaments_round_a_drum_are_those_of_every_place_against_every_place() {
    // Holes strewn over a drum, some across the line opposite the zero line and some over each other.
    let places: Vec<(f64, f64)> = (0..40)
        .map(f64::from)
        .map(|step| (60.0 + (step * 157.0) % 480.0, (step * 137.5 + 170.0) % 360.0 - 180.0))
        .chain([(75.0, 172.0), (300.0, 179.5), (318.0, -176.0)])
        .collect();
    let body = r#""shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 600]"#;
    let (_, report) = made(&job(body, "48mm x 2mm", &places));
    let girth = 300.0 * PI;
    let holes = report["holes"].as_array().expect("holes");
    let number = |value: &Value| value.as_f64().expect("a number");
    let outlines: Vec<Vec<(f64, f64)>> = holes
        .iter()
        .map(|hole| {
            let outline = hole["outline"].as_array().expect("places").iter();
            let at = (number(&hole["round_mm"]), number(&hole["along_mm"]));
            outline
                .map(|place| (at.0 + number(&place[0]), at.1 + number(&place[1])))
                .collect()
        })
        .collect();
    let (mut apart, mut overlapping) = (0, 0);
    for (index, hole) in holes.iter().enumerate() {
        // Those that are farther along than two holes of 44 mm and the widest ligament here (81 mm) can't be nearest.
        let is_near = |other: usize| (number(&holes[other]["along_mm"]) - number(&hole["along_mm"])).abs() < 160.0;
        let others = outlines.iter().enumerate();
        let others = others.filter(|(other, _)| *other != index && is_near(*other));
        let nearest = others
            .flat_map(|(_, other)| other)
            .flat_map(|b| outlines[index].iter().map(move |a| (a, b)))
            .map(|(a, b)| {
                let round = (a.0 - b.0) - ((a.0 - b.0) / girth).round() * girth;
                round * round + (a.1 - b.1) * (a.1 - b.1)
            })
            .fold(f64::MAX, f64::min)
            .sqrt();
        let ligament = number(&hole["ligament_mm"]);
        if ligament > 0.0 {
            // Between places every half degree it is a little more than between the edges.
            assert!(
                ligament <= nearest + 1e-6 && nearest < ligament + 0.05,
                "{index}: {ligament}, {nearest}"
            );
            apart += 1;
        } else {
            assert!(nearest < 0.5, "{index}: {ligament}, {nearest}");
            overlapping += 1;
        }
    }
    assert!(apart >= 8 && overlapping >= 2, "{apart} {overlapping}");
}

#[test]
fn a_plates_edges_are_drawn_and_a_hole_that_runs_off_them_is_told() {
    let plate = r#""shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [0, 1, 0], "size": 6, "wide": 400, "high": 300"#;
    let job = |across: f64, up: f64| {
        format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "44mm x 2mm" }} }}, "bodies": {{ "foot": {{ {plate} }} }},
            "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "foot", "round": {across}, "along": {up} }}, {{ "step": [0, 0, 200] }} ] }} }} }}"#
        )
    };
    // A bore of 20 mm radius: 5 mm past the edge 200 mm to the right, 13 past the lower one 150 mm down. The wall is 2 mm.
    for (across, up, hole, wall) in [
        (185.0, 0.0, Some(-5.0), Some(-7.0)),
        (0.0, -143.0, Some(-13.0), Some(-15.0)),
        (-179.0, 128.5, None, Some(-1.0)),
        (-177.5, 127.5, None, None),
    ] {
        let (pdf, report) = made(&job(across, up));
        let found = clashes(&report);
        let wanted: Vec<(&str, f64)> = [("the hole for t", hole), ("the wall of t", wall)]
            .into_iter()
            .filter_map(|(what, past)| Some((what, past?)))
            .collect();
        assert_eq!(found.len(), wanted.len(), "{found:?}");
        for ((what, apart), (start, past)) in found.iter().zip(wanted) {
            assert_eq!(*what, format!("{start} against the edge of foot"));
            assert!((apart - past).abs() < 1e-6, "{apart}");
        }
        assert!(pdf.words.iter().any(|told| told.text.contains("400.00 x 300.00 mm")));
    }
    let says = |pdf: &Pdf, words: &str| pdf.words.iter().any(|told| told.text.contains(words));
    let (at_the_cross, _) = made(&job(0.0, 0.0));
    assert!(says(&at_the_cross, "at the cross"));
    let (beside_it, _) = made(&job(30.0, 0.0));
    assert!(!says(&beside_it, "at the cross") && says(&beside_it, "right 30.00 mm"));
}

#[test]
fn edges_that_cannot_be_are_refused_with_their_figures() {
    let wrong: [(&str, &[&str]); 7] = [
        (
            r#""wide": 0, "high": 300"#,
            &["bodies.foot.wide", "can't be that wide", "0.00 mm", "1 to 20000 mm"],
        ),
        (r#""wide": 400, "high": -5"#, &["bodies.foot.high", "-5"]),
        (
            r#""wide": 400, "high": 20001"#,
            &["bodies.foot.high", "can't be that high", "20001.00 mm"],
        ),
        (r#""wide": 400"#, &["bodies.foot.wide", "needs \"high\" too", "400"]),
        (r#""high": 300"#, &["bodies.foot.high", "needs \"wide\" too", "300"]),
        (r#""wide": "much", "high": 300"#, &["bodies.foot.wide", "much"]),
        (r#""wide": 0, "high": 0"#, &["bodies.foot.wide", "bodies.foot.high"]),
    ];
    for (edges, told) in wrong {
        let shop = Shop::open();
        let job = format!(
            r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "44mm x 2mm" }} }},
            "bodies": {{ "foot": {{ "shape": "plane", "at": [0, 0, 0], "out": [0, 0, 1], {edges} }} }},
            "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "on": "foot" }}, {{ "step": [0, 0, 200] }} ] }} }} }}"#
        );
        shop.write("job.json", job.as_bytes());
        let run = shop.run("batch job.json --check");
        assert_eq!(run.code(), 2, "{edges}");
        for words in told {
            assert!(run.err().contains(words), "{edges}: {}", run.err());
        }
    }
    let shop = Shop::open();
    let drum =
        r#""shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 600], "wide": 30, "high": 30"#;
    shop.write("job.json", job(drum, "44mm x 2mm", &[(100.0, 0.0)]).as_bytes());
    let run = shop.run("batch job.json --check");
    assert!(
        run.err().contains("\"wide\" belongs to a body of the shape \"plane\""),
        "{}",
        run.err()
    );
}

#[test]
fn a_hole_across_the_line_opposite_the_zero_line_is_drawn_and_numbered_on_both_sides() {
    let body = r#""shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 600]"#;
    let (pdf, _) = made(&job(body, "60mm x 2mm", &[(300.0, 178.0)]));
    let sheet = pdf
        .words
        .iter()
        .find(|told| told.text.starts_with("MARK-OUT"))
        .expect("a sheet")
        .page;
    let side = |words: &str| {
        pdf.words
            .iter()
            .find(|told| told.page == sheet && told.text == words)
            .expect("a side")
            .at
    };
    let (left, right) = (side("LEFT"), side("RIGHT"));
    // In line with the words of the sides; the hole stands half way up, as they do.
    let numbers = pdf.words.iter().filter(|told| told.page == sheet && told.text == "H1");
    let numbers: Vec<f64> = numbers
        .filter(|told| (told.at.y - left.y).abs() < 20.0)
        .map(|told| told.at.x)
        .collect();
    let middle = (left.x + right.x) / 2.0;
    assert!(
        numbers.iter().any(|x| *x < middle) && numbers.iter().any(|x| *x > middle),
        "{numbers:?}"
    );
}

/// The wedges of a mark-out: filled triangles, by their middles, in millimetres on the sheet.
fn wedges(pdf: &Pdf, page: usize) -> Vec<Point> {
    let three_corners = |path: &kurbo::BezPath| {
        let corners = path
            .elements()
            .iter()
            .filter(|element| !matches!(element, PathEl::ClosePath));
        corners.count() == 3 && path.area().abs() > 2.0
    };
    let found = pdf
        .fills
        .iter()
        .filter(|fill| fill.page == page && three_corners(&fill.path));
    found.map(|fill| fill.path.bounding_box().center()).collect()
}

/// A tube square to a drum has its front up along it; at the line opposite the zero line that is on the edge of the skin laid flat.
#[test]
fn the_front_of_a_hole_on_the_line_where_the_skin_is_slit_is_drawn_at_both_edges() {
    for (shape, size_to) in [("cylinder", ""), ("cone", r#""size_to": "200mm x 2mm", "#)] {
        let body =
            format!(r#""shape": "{shape}", "size": "300mm x 2mm", {size_to}"from": [0, 0, 0], "to": [0, 0, 600]"#);
        for (round, expected) in [(180.0, 2), (-180.0, 2), (178.0, 1), (-178.0, 1), (90.0, 1)] {
            let (pdf, _) = made(&job(&body, "60mm x 2mm", &[(300.0, round)]));
            let title = pdf.words.iter().find(|told| told.text.starts_with("MARK-OUT"));
            let wedges = wedges(&pdf, title.expect("a sheet").page);
            assert_eq!(wedges.len(), expected, "{shape} {round}: {wedges:?}");
            if let [one, other] = wedges.as_slice() {
                assert!((one.x - other.x).abs() > 40.0, "{shape} {round}: {wedges:?}");
            }
        }
    }
}
