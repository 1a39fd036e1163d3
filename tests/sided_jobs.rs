//! Jobs of tubes with sides, from outside: clashes, refusals, the report.

mod support;

use serde_json::Value;
use support::Shop;

/// Runs a job and gives its report.
fn report_of(text: &str) -> Value {
    let shop = Shop::open();
    shop.write("job.json", text.as_bytes());
    shop.run("batch job.json --report r.json --svg p.svg --out p.pdf")
        .succeeds();
    shop.report("r.json")
}

/// A job of tubes with sides: 60 x 40 upright in front of the drum's side, and what is added.
fn sided(tubes: &str, more: &str) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "rect 60mm x 40mm x 3mm r 5mm" }}, "r": {{ "size": "40mm x 2mm" }} }},
        "bodies": {{ "drum": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 600, 0] }},
                     "plate": {{ "shape": "plane", "at": [0, 0, -400], "out": [0, 0, 1], "size": 5 }},
                     "ball": {{ "shape": "sphere", "size": "200mm x 2mm", "at": [600, 0, 0] }} }},
        "tubes": {{ {tubes} }}{more} }}"#
    )
}

/// An upright tube of 60 x 40 mm, whose front points to +x and whose right side to -y.
fn upright(name: &str, [x, y]: [f64; 2], turned: f64) -> String {
    format!(
        r#""{name}": {{ "stock": "a", "turned": {turned}, "path": [ {{ "at": [{x}, {y}, -300] }}, {{ "at": [{x}, {y}, 300] }} ] }}"#
    )
}

#[test]
fn clashes_of_tubes_with_sides_are_those_of_their_flats_and_corners() {
    let clear =
        |tube: &str, body: &str| format!(r#", "keep_clear": [ {{ "tube": "{tube}", "body": "{body}", "by": 30 }} ]"#);
    let cases = [
        // Flat to flat, 40 mm deep each: 5 mm into each other, or 5 mm apart and silent.
        ([upright("p", [400.0, 0.0], 0.0), upright("q", [435.0, 0.0], 0.0)], String::new(), Some("overlap by 5.00 mm")),
        ([upright("p", [400.0, 0.0], 0.0), upright("q", [445.0, 0.0], 0.0)], String::new(), None),
        // Turned by a quarter, q is 60 mm deep: 5 mm into each other again.
        ([upright("p", [400.0, 0.0], 0.0), upright("q", [445.0, 0.0], 90.0)], String::new(), Some("overlap by 5.00 mm")),
        // Corner to corner they would touch at 60 and 40 apart if the corners were sharp.
        ([upright("p", [400.0, 0.0], 0.0), upright("q", [439.0, 59.0], 0.0)], String::new(), None),
        // Past the drum's side, 150 mm from its axis: 20 mm are left at the flat.
        ([upright("p", [190.0, 300.0], 0.0), upright("q", [900.0, 0.0], 0.0)], clear("p", "drum"), Some("20.00 mm apart, 30.00 mm asked for")),
        ([upright("p", [190.0, 300.0], 90.0), upright("q", [900.0, 0.0], 0.0)], clear("p", "drum"), Some("10.00 mm apart, 30.00 mm asked for")),
        // Past the ball, 100 mm from its middle.
        ([upright("p", [735.0, 0.0], 0.0), upright("q", [900.0, 0.0], 0.0)], clear("p", "ball"), Some("15.00 mm apart, 30.00 mm asked for")),
        // Lying 20 mm over the plate on its flat; standing, 10 mm.
        (
            [
                r#""p": { "stock": "a", "path": [ { "at": [600, 600, -360] }, { "at": [900, 600, -360] } ] }"#.to_owned(),
                upright("q", [900.0, 0.0], 0.0),
            ],
            clear("p", "plate"),
            Some("20.00 mm apart, 30.00 mm asked for"),
        ),
        (
            [
                r#""p": { "stock": "a", "turned": 90, "path": [ { "at": [600, 600, -360] }, { "at": [900, 600, -360] } ] }"#.to_owned(),
                upright("q", [900.0, 0.0], 0.0),
            ],
            clear("p", "plate"),
            Some("10.00 mm apart, 30.00 mm asked for"),
        ),
        // Round tube beside the flat: 20 and 20 mm, 35 from axis to axis.
        (
            [
                upright("p", [400.0, 0.0], 0.0),
                r#""q": { "stock": "r", "path": [ { "at": [435, 0, -300] }, { "at": [435, 0, 300] } ] }"#.to_owned(),
            ],
            String::new(),
            Some("overlap by 5.00 mm"),
        ),
    ];
    let shop = Shop::open();
    for (tubes, more, wanted) in cases {
        let text = sided(&tubes.join(","), &more);
        shop.write("job.json", text.as_bytes());
        let check = shop.run("batch job.json --check");
        assert_eq!(check.code(), i32::from(wanted.is_some()), "{text}");
        let said = check.out();
        match wanted {
            Some(words) => assert!(said.contains(words), "{words} in {said}\n{text}"),
            None => assert!(!said.contains("CLASH"), "{said}\n{text}"),
        }
    }
}

#[test]
fn wrong_jobs_of_tubes_with_sides_are_refused_with_every_place() {
    let up = upright("p", [400.0, 0.0], 0.0);
    let cases = [
        (
            sided(
                &format!(
                    r#"{up}, "q": {{ "stock": "r", "path": [ {{ "on": "p", "along": 100 }}, {{ "step": [200, 0, 0] }} ] }}"#
                ),
                "",
            ),
            vec![
                "tubes.q.path[0].on",
                "not on a tube with sides",
                "rect 60.00 x 40.00 x 3.00 mm",
                "\"plane\"",
            ],
        ),
        (
            sided(
                r#""q": { "stock": "r", "turned": 20, "path": [ { "at": [0, 0, 300] }, { "step": [200, 0, 0] } ] }"#,
                "",
            ),
            vec!["tubes.q.turned", "no sides"],
        ),
        (
            sided(&upright("p", [400.0, 0.0], 500.0), ""),
            vec!["tubes.p.turned", "500 degrees"],
        ),
        (
            sided(&up, "").replace("r 5mm", "r 25mm"),
            vec!["stock.a.size", "25.00 mm", "20.00 mm"],
        ),
        (
            sided(&up, "").replace("x 3mm r 5mm", "r 5mm"),
            vec!["stock.a.size", "wall is not given"],
        ),
        (
            sided(&up, "").replace("\"40mm x 2mm\"", "\"rect 40 x 70 x 40\""),
            vec!["stock.r.size", "leaves no bore", "40.00 mm", "20.00 mm"],
        ),
        (
            sided(&up, "").replace("300mm x 2mm", "SHS 300mm x 2mm"),
            vec!["bodies.drum.size", "not round"],
        ),
    ];
    for (text, wanted) in cases {
        let shop = Shop::open();
        shop.write("job.json", text.as_bytes());
        let run = shop.run("batch job.json --check");
        assert_eq!(run.code(), 2, "{text}\n{}", run.out());
        for words in wanted {
            assert!(run.err().contains(words), "\"{words}\" in:\n{}\n{text}", run.err());
        }
    }
}

#[test]
fn a_piece_with_sides_is_told_with_its_sides_folds_and_weight() {
    let text = sided(
        r#""p": { "stock": "a", "turned": 90, "path": [ { "on": "drum", "along": 200, "round": "30deg" }, { "step": [500, 0, 866.0254037844386] } ] }"#,
        "",
    );
    let report = report_of(&text);
    let end = &report["ends"][0];
    assert!(end["od_mm"].is_null() && end["sides"]["width_mm"] == 60.0 && end["sides"]["corner_radius_mm"] == 5.0);
    let girth = 200.0 - (8.0 - std::f64::consts::TAU) * 5.0;
    let printed = end["printed_girth_mm"].as_f64().expect("a number");
    assert!(
        (printed - girth - std::f64::consts::PI * 0.1).abs() < 1e-9,
        "a sheet of 0.10 mm: {printed}"
    );
    let folds = end["folds"].as_array().expect("folds");
    assert_eq!(folds.len(), 4);
    // The first fold is half the width, a corner's worth of arc less than a corner, from the middle of the front.
    let first = folds[0]["girth_mm"].as_f64().expect("a number");
    assert!(
        (first - (25.0 + 5.0 * std::f64::consts::PI / 4.0)).abs() < 1e-9,
        "{first}"
    );
    // Turned by a quarter the width lies along the drum: the front is 30 mm from the axis round the drum, and its cut
    // is level; 7850 kg/m3 on 541.9 mm2 of section (the corners' radius is 5 mm).
    let curve = end["curve"].as_array().expect("a curve");
    let t = |degree: usize| curve[degree][1].as_f64().expect("a number");
    let inside = 17.0_f64;
    assert!(
        (t(0) - ((150.0_f64.powi(2) - inside.powi(2)).sqrt() - 150.0)).abs() < 1e-6,
        "{}",
        t(0)
    );
    let area = 60.0 * 40.0 - 54.0 * 34.0 - (4.0 - std::f64::consts::PI) * (25.0 - 4.0);
    let length = report["job"]["total_mm"].as_f64().expect("a number");
    let weight = report["job"]["steel_kg"].as_f64().expect("a number");
    assert!((weight - area * length * 7.85e-6).abs() < 1e-9, "{weight}");
}
