//! Tubes told by their fall: where they land is worked out by hand.

mod support;

use approx::assert_abs_diff_eq;
use support::Shop;

/// A drum of 500 mm and a pipe of 100 mm that stand 800 mm apart, axis from axis, and a drain of 30 mm x 2 mm.
fn job(path: &str) -> String {
    format!(
        r#"{{ "title": "Drain", "units": "mm", "stock": {{ "a": {{ "size": "30mm x 2mm" }} }},
  "bodies": {{
    "drum": {{ "shape": "cylinder", "size": "500mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 800], "zero": [1, 0, 0], "floor": 5 }},
    "pipe": {{ "shape": "cylinder", "size": "100mm x 3mm", "from": [800, 0, -500], "to": [800, 0, 500], "zero": [-1, 0, 0] }},
    "main": {{ "shape": "cylinder", "size": "100mm x 3mm", "from": [800, -500, -300], "to": [800, 500, -300], "zero": [0, 0, 1] }} }},
  "tubes": {{ "drain": {{ "stock": "a", "path": [ {path} ] }} }} }}"#
    )
}

fn said(path: &str) -> (i32, String) {
    let shop = Shop::open();
    shop.write("job.json", job(path).as_bytes());
    let run = shop.run("batch job.json --out p.pdf --report r.json");
    (run.code(), run.out() + &run.err())
}

/// Along the named body, as the report has the landing.
fn along(path: &str, body: &str) -> f64 {
    let shop = Shop::open();
    shop.write("job.json", job(path).as_bytes());
    shop.run("batch job.json --out p.pdf --report r.json").succeeds();
    let report = shop.report("r.json");
    let holes = report["holes"].as_array().expect("holes");
    let hole = holes.iter().find(|hole| hole["body"] == body).expect("a hole");
    hole["along_mm"].as_f64().expect("mm")
}

#[test]
fn a_tube_that_falls_lands_where_its_fall_leads() {
    // From the drum's skin, 200 up, along the level to the pipe's skin: 800 - 250 - 50 mm. The pipe begins 500 below.
    let level = 800.0 - 250.0 - 50.0;
    for (fall, share) in [
        ("20mm/m", 0.02),
        ("1/4in/ft", 0.25 / 12.0),
        ("2%", 0.02),
        ("5deg", 5_f64.to_radians().tan()),
        ("-10 mm per m", -0.01),
        ("0%", 0.0),
    ] {
        let path = format!(r#"{{ "on": "drum", "along": 200, "round": 0 }}, {{ "on": "pipe", "fall": "{fall}" }}"#);
        assert_abs_diff_eq!(along(&path, "pipe"), 700.0 - share * level, epsilon = 1e-6);
        // Towards +x is the same.
        let path = path.replace(r#""on": "pipe""#, r#""on": "pipe", "towards": [1, 0, 0]"#);
        assert_abs_diff_eq!(along(&path, "pipe"), 700.0 - share * level, epsilon = 1e-6);
    }
    let (code, said) = said(r#"{ "on": "drum", "along": 200, "round": 0 }, { "on": "pipe", "fall": "20mm/m" }"#);
    assert_eq!(code, 0);
    assert!(
        said.contains(
            "drain falls 20 mm per metre: it lands on pipe, 690.00 mm along from the bottom end, on the zero line"
        ),
        "{said}"
    );
}

#[test]
fn a_step_that_falls_goes_down_by_its_share_of_the_level() {
    let path = r#"{ "on": "drum", "along": 200, "round": 0 }, { "step": [300, 400, 0], "fall": "10%" }, { "step": [0, 0, -300] }"#;
    let (code, text) = said(path);
    assert_eq!(code, 0, "{text}");
    // 500 mm along the level fall 50 mm: the leg is as long as the hypotenuse.
    let shop = Shop::open();
    shop.write("job.json", job(path).as_bytes());
    shop.run("batch job.json --out p.pdf --report r.json").succeeds();
    let piece = &shop.report("r.json")["pieces"][0];
    assert_abs_diff_eq!(
        piece["centre_line_mm"].as_f64().expect("mm"),
        500_f64.hypot(50.0),
        epsilon = 1e-6
    );
    // It turns to straight down by less than a right angle: had it risen, by more. The corner is cut at half the turn, and the
    // next piece is longest on the outside of it.
    let turn = std::f64::consts::FRAC_PI_2 - 0.1_f64.atan();
    let next = &shop.report("r.json")["pieces"][1];
    assert_abs_diff_eq!(
        next["tip_to_tip_mm"].as_f64().expect("mm"),
        300.0 + 15.0 * (turn / 2.0).tan(),
        epsilon = 1e-6
    );
}

#[test]
fn a_drain_that_falls_takes_its_landing_with_it() {
    let falling = |fall: &str| {
        format!(
            r#"{{ "on": "drum", "round": 0, "drain": {{ "above_floor": 0 }} }}, {{ "on": "pipe", "fall": "{fall}" }}"#
        )
    };
    for (fall, share) in [("20mm/m", 0.02), ("10deg", 10_f64.to_radians().tan())] {
        let path = falling(fall);
        let (from, to) = (along(&path, "drum"), along(&path, "pipe"));
        // The drum's end is 500 over the pipe's.
        assert_abs_diff_eq!(from + 500.0 - to, 500.0 * share, epsilon = 1e-6);
    }
    // A main that lies would be met elsewhere on its girth.
    let (code, said) = said(&falling("20mm/m").replace("\"pipe\"", "\"main\""));
    assert!(code == 2 && said.contains("falls"), "{said}");
}

#[test]
fn a_fall_that_cannot_be_is_refused_with_what_to_do() {
    let start = r#"{ "on": "drum", "along": 200, "round": 0 }"#;
    for (path, says) in [
        (
            format!(r#"{start}, {{ "on": "pipe", "fall": "20mm" }}"#),
            "is not a fall",
        ),
        (
            format!(r#"{start}, {{ "on": "pipe", "fall": "60deg" }}"#),
            "passes \"pipe\" by",
        ),
        (
            format!(r#"{start}, {{ "on": "pipe", "fall": "2%", "towards": [0, 1, 0] }}"#),
            "doesn't meet \"pipe\"",
        ),
        (
            format!(r#"{start}, {{ "on": "pipe", "fall": "2%", "along": 300 }}"#),
            "\"along\" says it too",
        ),
        (
            format!(r#"{start}, {{ "step": [300, 0, -6], "fall": "2%" }}"#),
            "the third number of this step",
        ),
        (
            format!(r#"{start}, {{ "at": [600, 0, 190], "fall": "2%" }}"#),
            "\"fall\" belongs to a step",
        ),
        (
            r#"{ "on": "drum", "fall": "2%" }, { "on": "pipe", "along": 600 }"#.to_owned(),
            "first point",
        ),
        (
            format!(r#"{start}, {{ "on": "pipe", "along": 600, "towards": [1, 0, 0] }}"#),
            "\"towards\"",
        ),
    ] {
        let (code, said) = said(&path);
        assert!(code == 2 && said.contains(says), "{path}: {said}");
    }
}
