//! Job files whose words are wrong: what is said of them, once for each cause.

use girthline::job::read::{read_job, text_of};
use girthline::job::resolve;
use girthline::measure::{Units, parse_angle, parse_length, parse_size};

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
    for (end, key) in [
        (r#""touch": "inside""#, "touch"),
        (r#""clearance": 1"#, "clearance"),
        (r#""root_gap": 1"#, "root_gap"),
    ] {
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
    let endless = said(&job_with_tube(
        r#""path": [ { "at": [0, 0, 12e400] }, { "at": [0, 0, 600] } ]"#,
    ));
    assert!(endless.contains("is longer than anything in a shop"), "{endless}");
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
    ("{ \"units\": \"in\",\n  \"height\": 34-1/2 }", "job.json:2:13", "\"34-1/2 }\"", "stands in quotes: \"34-1/2\""),
    ("{ \"height\": 34 1/2 }", "job.json:1:16", "\"1/2 }\"", "stands in quotes: \"34 1/2\""),
    ("{ \"height\": 48.3mm }", "job.json:1:13", "\"48.3mm }\"", "\"48.3mm\""),
    ("{ \"height\": 34\" }", "job.json:1:13", "", "without the sign"),
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
    ("{ \"title\": \"x\"", "job.json:1:1", "this is not closed where the file ends", "bracket"),
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

#[test]
fn one_cause_has_one_message() {
    let units = said(
        &job_with_tube(r#""path": [ { "at": [0, 0, 300] }, { "at": [0, 0, 600] } ]"#).replace("\"mm\"", "\"furlong\""),
    );
    assert!(
        units.contains("\"furlong\" is not a unit") && units.contains("use in or mm"),
        "{units}"
    );
    assert_eq!(units.matches("error:").count(), 1, "{units}");

    let body = said(
        &job_with_tube(r#""path": [ { "on": "b", "along": 300 }, { "step": [0, 0, 300] } ]"#)
            .replace("\"300mm x 2mm\"", "\"300mm x 200mm\""),
    );
    assert!(body.contains("leaves no bore"), "{body}");
    assert_eq!(body.matches("error:").count(), 1, "{body}");

    let stack = r#"{ "units": "mm", "stock": { "a": { "size": "40mm x 2mm" } },
  "stacks": { "v": { "height": 900, "parts": [ { "name": "p", "height": -5 } ] } },
  "bodies": { "b": { "shape": "cylinder", "size": "300mm x 2mm", "stack": "v", "part": "p" } },
  "tubes": { "t": { "stock": "a", "path": [ { "on": "b", "along": 300 }, { "step": [0, 300, 0] } ] } } }"#;
    let stack = said(stack);
    assert!(stack.contains("this height can't be right"), "{stack}");
    assert_eq!(stack.matches("error:").count(), 1, "{stack}");
}

#[test]
fn units_are_understood_by_their_whole_names() {
    for (word, short) in [("inch", "in"), ("inches", "in"), ("millimetres", "mm")] {
        let job = |units: &str| {
            job_with_tube(r#""path": [ { "at": [0, 0, 30] }, { "at": [0, 0, 60] } ]"#)
                .replace("\"mm\"", &format!("\"{units}\""))
        };
        assert_eq!(said(&job(word)), said(&job(short)), "{word}");
        assert_eq!(said(&job(word)), "");
    }
}

#[test]
fn a_tube_without_copies_is_not_said_to_have_some() {
    let turned = said(&job_with_tube(
        r#""path": [ { "on": "b", "along": 300, "round": "9000000deg" }, { "step": [0, 0, 300] } ]"#,
    ));
    assert!(
        turned.contains("9000000 degrees") && turned.contains("once round is 360 degrees"),
        "{turned}"
    );
    assert!(!turned.contains("give \"round\" in degrees"), "{turned}");
}

#[test]
fn names_of_the_trade_are_read_either_way_round() {
    for (said, meant) in [
        ("55 gallon drum", "drum 55 gal"),
        ("1-7/8 fence x 0.065in", "fence 1-7/8 x 0.065in"),
        ("1-7/8in fence x 0.065in", "fence 1-7/8 x 0.065in"),
    ] {
        let [said, meant] =
            [said, meant].map(|text| parse_size(text, None).unwrap_or_else(|problem| panic!("{problem}")));
        assert_eq!((said.od_mm, said.wall_mm), (meant.od_mm, meant.wall_mm));
    }
    let problem = parse_size("2x2x1/8in", Some(Units::INCHES)).expect_err("with sides");
    assert!(problem.to_string().contains("rect 2in x 2in x 1/8in"), "{problem}");
}

#[test]
fn what_was_typed_is_quoted_to_60_characters() {
    let long = "x".repeat(5_000);
    for problem in [
        parse_size(&long, None).expect_err("a size"),
        parse_length(&long, None).expect_err("a length"),
        parse_angle(&long).expect_err("an angle"),
    ] {
        assert!(problem.what.len() < 160 && problem.what.contains("xxx..."), "{problem}");
    }
    let sly = parse_length("\u{1b}[2J", None).expect_err("a length").to_string();
    assert!(!sly.contains('\u{1b}') && sly.contains("\\u{1b}"), "{sly}");
}

#[test]
fn a_paper_that_is_too_small_by_a_hair_is_not_shown_as_large_enough() {
    let path = r#""path": [ { "at": [0, 0, 300] }, { "at": [0, 0, 600] } ]"#;
    let said = said(&job_with_tube(path).replace(
        "\"units\": \"mm\",",
        r#""units": "mm", "sheet": { "paper": "184.97x300" },"#,
    ));
    assert!(
        said.contains("184.9 mm x 300 mm") && said.contains("185 mm or more"),
        "{said}"
    );
}

#[test]
fn thousands_of_problems_are_told_in_a_page() {
    let keys: Vec<String> = (0..20_000).map(|number| format!("\"key {number}\": 1")).collect();
    let unknown = said(&format!("{{ {} }}", keys.join(", ")));
    assert!(unknown.contains("\"key 19\" is not known here"), "{unknown}");
    assert!(unknown.contains("there are 19980 more problems"), "{unknown}");
    assert!(
        unknown.contains("19980 of this kind: \"...\" is not known here"),
        "{unknown}"
    );
    assert!(unknown.len() < 10_000, "{} bytes", unknown.len());

    let tube = |number: usize| {
        format!(
            r#""t{number}": {{ "stock": "rised", "path": [ {{ "at": [{number}, 0, 0] }}, {{ "step": [0, 0, 300] }} ] }}"#
        )
    };
    let tubes: Vec<String> = (0..20_000).map(tube).collect();
    let stock = r#""stock": { "riser": { "size": "40mm x 2mm" } }"#;
    let misspelt = said(&format!(
        r#"{{ "units": "mm", {stock}, "tubes": {{ {} }} }}"#,
        tubes.join(", ")
    ));
    assert_eq!(
        misspelt.matches("there is no stock of the name \"rised\"").count(),
        1,
        "{misspelt}"
    );
    assert!(
        misspelt.contains("tubes.t3.stock\n  --> and at 19996 more places"),
        "{misspelt}"
    );
    assert!(misspelt.contains("did you mean \"riser\"?"), "{misspelt}");
    assert!(misspelt.len() < 1_000, "{misspelt}");

    let many: Vec<String> = (0..500)
        .map(|number| format!("\"stock {number}\": {{ \"size\": \"40mm x 2mm\" }}"))
        .collect();
    let one = tube(1).replace("rised", "zzz");
    let listed = said(&format!(
        r#"{{ "units": "mm", "stock": {{ {} }}, "tubes": {{ {one} }} }}"#,
        many.join(", ")
    ));
    assert!(
        listed.contains("stock 9 and 490 more") && !listed.contains("stock 11"),
        "{listed}"
    );
}

#[test]
fn names_and_titles_that_no_sheet_holds_are_refused_without_being_told_in_full() {
    let path = r#""path": [ { "at": [0, 0, 300] }, { "at": [0, 0, 600] } ]"#;
    let named = |name: &str, title: &str| {
        said(
            &job_with_tube(path)
                .replace("\"t\": {", &format!("\"{name}\": {{"))
                .replacen('{', &format!(r#"{{ "title": "{title}","#), 1),
        )
    };
    assert_eq!(named(&"n".repeat(60), &"t".repeat(120)), "");
    let name = named(&"n".repeat(61), "Heat bank");
    assert!(name.contains("61 letters, at most 60"), "{name}");
    let title = named("riser", &"t".repeat(121));
    assert!(title.contains("121 letters, at most 120"), "{title}");
    let huge = named(&"n".repeat(100_000), &"t".repeat(1_000_000));
    assert!(
        huge.contains("100000 letters") && huge.contains("1000000 letters") && huge.len() < 1_500,
        "{huge}"
    );
}

#[test]
fn an_accent_is_one_with_its_letter_however_it_is_written() {
    let job = r#"{ "title": "Gro\u0308\u00dfe", "units": "mm", "stock": { "a": { "size": "48.3mm x 2mm" } },
        "tubes": { "Ro\u0308hre": { "stock": "a", "path": [ { "at": [0, 0, 0] }, { "at": [0, 0, 600] } ] } } }"#;
    assert_eq!(said(job), "");
}

#[test]
fn too_many_points_are_told_where_they_begin_to_be() {
    let points: Vec<String> = (0..70).map(|z| format!("{{ \"at\": [0, 0, {}] }}", 300 * z)).collect();
    let said = said(&job_with_tube(&format!("\"path\": [ {} ]", points.join(", "))));
    assert!(
        said.contains("too many points of a path") && said.contains("tubes.t.path[64]"),
        "{said}"
    );
    assert!(said.contains("70, at most 64"), "{said}");
}

#[test]
fn corners_and_copies_make_no_more_pieces_than_a_job_may_have() {
    let steps: Vec<&str> = (0..62)
        .map(|step| {
            if step % 2 == 0 {
                r#"{ "step": [300, 0, 0] }"#
            } else {
                r#"{ "step": [0, 0, 300] }"#
            }
        })
        .collect();
    let tube = format!(
        r#""path": [ {{ "at": [0, 0, 300] }}, {} ], "corner": {{ "pieces": 12, "radius": 100 }},
           "repeat": {{ "times": 100, "step": [0, 90, 0] }}"#,
        steps.join(", ")
    );
    let said = said(&job_with_tube(&tube));
    assert!(
        said.contains("too many pieces") && said.contains("more than 50000 with all corners and copies"),
        "{said}"
    );
}
