//! Job files whose words are wrong: what is said of them, once for each cause.

use girthline::job::read::{read_job, text_of};
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

#[test]
fn a_number_with_an_exponent_is_a_number_and_a_byte_order_mark_no_error() {
    let job = job_with_tube(r#""path": [ { "at": [1.2e-16, -5E-17, 3e2] }, { "at": [0, 0, 6.0E+2] } ]"#);
    assert_eq!(said(&job), "");
    assert_eq!(said(&format!("\u{feff}{job}")), "");
    let broken = said("\u{feff}{ \"tubes\" 3 }");
    assert!(broken.contains("job.json:1:11"), "{broken}");
    // A direction takes them too; what is past every number is told in the words that were typed.
    let zero = |z: &str| {
        job_with_body(&format!(
            r#""shape": "cylinder", "size": "300mm", "from": [0, 0, 0], "to": [0, 600, 0], "zero": [0, 1e-17, {z}]"#
        ))
    };
    assert_eq!(said(&zero("1e0")), "");
    assert!(
        said(&zero("1e999")).contains("\"1e999\" is not a number"),
        "{}",
        said(&zero("1e999"))
    );
}

#[test]
fn a_file_that_is_not_utf_8_says_what_it_is_instead() {
    let text = job_with_tube(r#""path": [ { "at": [0, 0, 300] }, { "at": [0, 0, 600] } ]"#);
    let units = |bytes: fn(u16) -> [u8; 2]| text.encode_utf16().flat_map(bytes).collect::<Vec<u8>>();
    for (mark, bytes) in [
        (&[0xff, 0xfe][..], units(u16::to_le_bytes)),
        (&[0xfe, 0xff], units(u16::to_be_bytes)),
        (&[], units(u16::to_le_bytes)),
        (&[], units(u16::to_be_bytes)),
    ] {
        let said = text_of("job.json", [mark, &bytes].concat())
            .expect_err("UTF-16")
            .to_string();
        assert!(
            said.contains("UTF-16") && said.contains("UTF-8") && said.contains("--> job.json"),
            "{said}"
        );
    }
    let latin = text_of("job.json", b"{\n \"title\": \"Gr\xfcn\" }".to_vec()).expect_err("Latin-1");
    assert!(latin.to_string().contains("line 2 holds the byte fc"), "{latin}");
    assert_eq!(text_of("job.json", text.clone().into_bytes()), Ok(text));
}

/// What people type in job files that isn't JSON: line and column, what stood there, what is usually meant.
#[rustfmt::skip]
const NOT_JSON: [(&str, &str, &str, &str); 15] = [
    ("{ \"units\": \"in\",\n  \"height\": 34-1/2 }", "job.json:2:15", "\"-1/2 }\"", "stands in quotes: \"34-1/2\""),
    ("{ \"height\": 34 1/2 }", "job.json:1:16", "\"1/2 }\"", "stands in quotes: \"34 1/2\""),
    ("{ \"height\": 48.3mm }", "job.json:1:17", "\"mm }\"", "\"48.3mm\""),
    ("{ \"height\": 34\" }", "job.json:1:15", "", "an inch sign in it is written in"),
    ("{ “units”: \"in\" }", "job.json:1:3", "“units”", "plain quotes"),
    ("{ \"units\": “in” }", "job.json:1:12", "“in”", "plain quotes"),
    ("{ 'units': \"in\" }", "job.json:1:3", "'units'", "double quotes"),
    ("{ units: \"in\" }", "job.json:1:3", "units", "double quotes"),
    ("{ \"units\": in }", "job.json:1:12", "in }", "double quotes"),
    ("{ \"units\": \"in\"\n  \"title\": \"x\" }", "job.json:2:3", "", "a comma is missing before this"),
    ("{ \"at\": [0, 0 600] }", "job.json:1:15", "\"600] }\"", "a comma is missing"),
    ("{ \"out\": 48,3 }", "job.json:1:13", "\"3 }\"", "a decimal point, not a comma"),
    ("{ \"out\": .5 }", "job.json:1:10", "\".5 }\"", "0.5"),
    ("{ \"at\": [0, 0, 600 }", "job.json:1:20", "\"}\"", "bracket"),
    ("{ \"title\": \"x\"", "job.json:1:1", "here stands", "not closed"),
];

#[test]
fn what_is_not_json_is_told_with_its_place_and_what_is_usually_meant() {
    let mut wrong = Vec::new();
    for (text, place, stands, help) in NOT_JSON {
        let said = said(text);
        if ![place, stands, help].iter().all(|words| said.contains(words)) || said.matches("error:").count() != 1 {
            wrong.push(format!("{text}\nwants {place} {stands} {help}\n{said}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}
