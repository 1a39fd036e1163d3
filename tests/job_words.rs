//! Job files whose words are wrong: what is said of them, once for each cause.

use girthline::job::read::read_job;
use girthline::job::resolve;

/// What is said of a job; nothing where it is sound.
fn said(text: &str) -> String {
    let job = read_job("job.json", text).and_then(|job| resolve::job_file(&job, &job.sheet));
    job.map_or_else(|problems| problems.to_string(), |_| String::new())
}

/// The shapes, each with what it can't do without.
const SHAPES: [(&str, &str); 4] = [
    (
        "cylinder",
        r#""size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 600]"#,
    ),
    (
        "cone",
        r#""size": "300mm x 2mm", "size_to": "200mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 600]"#,
    ),
    ("plane", r#""at": [0, 0, 0], "out": [0, 0, 1]"#),
    ("sphere", r#""size": "300mm x 2mm", "at": [0, 0, 0]"#),
];

/// Every key that not all shapes take, a value for it, and the shapes that take it.
const KEYS: [(&str, &str, &[&str]); 11] = [
    ("size_to", "\"200mm x 2mm\"", &["cone"]),
    ("section", r#"{ "oval": [310, 290] }"#, &["cylinder"]),
    ("stack", "\"vessel\"", &["cylinder"]),
    ("part", "\"drum\"", &["cylinder"]),
    ("from", "[0, 0, 0]", &["cylinder", "cone"]),
    ("to", "[0, 0, 600]", &["cylinder", "cone"]),
    ("floor", "10", &["cylinder", "cone"]),
    ("at", "[0, 0, 0]", &["plane", "sphere"]),
    ("out", "[0, 0, 1]", &["plane", "sphere"]),
    ("wide", "400", &["plane"]),
    ("high", "300", &["plane"]),
];

fn job_with_body(body: &str) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "40mm x 2mm" }} }},
  "bodies": {{ "b": {{ {body} }} }},
  "tubes": {{ "t": {{ "stock": "a", "path": [ {{ "at": [500, 0, 0] }}, {{ "at": [900, 0, 0] }} ] }} }} }}"#
    )
}

#[test]
fn a_key_of_another_shape_is_refused_with_the_shape_it_belongs_to() {
    for (shape, needed) in SHAPES {
        let sound = said(&job_with_body(&format!(r#""shape": "{shape}", {needed}"#)));
        assert_eq!(sound, "", "{shape}");
        for (key, value, takers) in KEYS {
            if takers.contains(&shape) {
                continue;
            }
            let said = said(&job_with_body(&format!(
                r#""shape": "{shape}", {needed}, "{key}": {value}"#
            )));
            let shapes: Vec<String> = takers.iter().map(|taker| format!("\"{taker}\"")).collect();
            let what = format!("\"{key}\" belongs to a body of the shape {}", shapes.join(" or "));
            assert!(
                said.contains(&what) && said.contains("bodies.b"),
                "{shape}, {key}: {said}"
            );
            assert!(said.contains(&format!("this is a {shape}")), "{shape}, {key}: {said}");
            assert_eq!(said.matches("error:").count(), 1, "{shape}, {key}: {said}");
            assert_eq!(said.matches("help:").count(), 1, "{shape}, {key}: {said}");
        }
    }
}

#[test]
fn all_keys_of_another_shape_are_told_at_once() {
    let said = said(&job_with_body(
        r#""shape": "sphere", "size": "300mm", "from": [0, 0, 0], "to": [0, 0, 600], "floor": 3"#,
    ));
    for key in ["from", "to", "floor"] {
        assert!(said.contains(&format!("\"{key}\" belongs to")), "{said}");
    }
    assert!(said.contains("use \"at\""), "{said}");
    // What is missing follows from these.
    assert!(!said.contains("missing"), "{said}");
}

fn job_with_tube(tube: &str) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "a": {{ "size": "40mm x 2mm" }} }},
  "bodies": {{ "b": {{ "shape": "cylinder", "size": "300mm x 2mm", "from": [0, 0, 0], "to": [0, 600, 0], "zero": [0, 0, 1] }} }},
  "tubes": {{ "t": {{ "stock": "a", {tube} }} }} }}"#
    )
}

#[test]
fn a_key_of_another_kind_of_point_or_end_is_refused() {
    let points = [
        (r#"{ "step": [0, 0, 300], "along": 30 }"#, "\"along\"", "\"on\""),
        (r#"{ "step": [0, 0, 300], "round": 30 }"#, "\"round\"", "\"on\""),
        (r#"{ "at": [0, 300, 600], "out": 30 }"#, "\"out\"", "\"on\""),
    ];
    for (point, key, belongs_to) in points {
        let said = said(&job_with_tube(&format!(
            r#""path": [ {{ "on": "b", "along": 300 }}, {point} ]"#
        )));
        let what = format!("{key} belongs to a point that is {belongs_to} a body");
        assert!(
            said.contains(&what) && said.contains("tubes.t.path[1]"),
            "{point}: {said}"
        );
        assert_eq!(said.matches("error:").count(), 1, "{said}");
    }
    for (end, key) in [(r#""touch": "inside""#, "touch"), (r#""clearance": 1"#, "clearance")] {
        let path = r#""path": [ { "on": "b", "along": 300 }, { "step": [0, 0, 300] } ]"#;
        let said = said(&job_with_tube(&format!(r#"{path}, "end": {{ {end} }}"#)));
        assert!(
            said.contains(&format!("\"{key}\" belongs to an end that lands on a body")),
            "{said}"
        );
        assert_eq!(said.matches("error:").count(), 1, "{said}");
    }
}
