//! Where a tube lands, over real HTTP: its body's skin laid flat on its card, and what becomes of a place that is pointed at.

mod served;

use std::f64::consts::PI;

use serde_json::{Value, json};
use served::Page;

/// A standing drum, a cone, a plate and a ball with a tube on each; figures that are easy to work with by hand.
const JOB: &str = r#"{
  "units": "mm",
  "stock": { "pipe": { "size": "40mm x 2mm" } },
  "bodies": {
    "drum": { "shape": "cylinder", "size": "400mm x 2mm", "from": [0, 0, 0], "to": [0, 0, 800], "zero": [0, -1, 0],
              "holes": [ { "name": "bung", "along": 700, "round": 100, "across": 60 } ],
              "keep_off": [ { "name": "rib", "along": [300, 320] } ] },
    "funnel": { "shape": "cone", "size": "600mm x 2mm", "size_to": "200mm x 2mm", "from": [2000, 0, 0], "to": [2000, 0, 400], "zero": [0, -1, 0] },
    "plate": { "shape": "plane", "size": "6mm", "at": [4000, 0, 0], "out": [0, 0, 1], "zero": [0, 1, 0], "wide": 300, "high": 200 },
    "ball": { "shape": "sphere", "size": "500mm x 3mm", "at": [6000, 0, 0], "out": [0, 0, 1], "zero": [1, 0, 0] }
  },
  "tubes": {
    "on drum": { "stock": "pipe", "path": [ { "on": "drum", "along": 200, "round": "30deg" }, { "on": "drum", "along": 200, "round": "30deg", "out": 100 } ] },
    "by tape": { "stock": "pipe", "path": [ { "on": "drum", "along": "500mm", "round": "4in" }, { "on": "drum", "along": 500, "round": "4in", "out": 100 } ] },
    "on funnel": { "stock": "pipe", "path": [ { "on": "funnel", "along": 150, "round": "0deg" }, { "on": "funnel", "along": 150, "round": "0deg", "out": 100 } ] },
    "on plate": { "stock": "pipe", "path": [ { "on": "plate", "along": 20, "round": -40 }, { "step": [0, 0, 100] } ] },
    "on ball": { "stock": "pipe", "path": [ { "on": "ball", "along": 100, "round": "10deg" }, { "step": [0, 0, 200] } ] }
  }
}"#;

fn query(pairs: &[(&str, &str)]) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    pairs.iter().for_each(|(name, text)| {
        query.append_pair(name, text);
    });
    query.finish()
}

/// The skins on a tube's card.
fn skins(page: &Page, text: &str, tube: &str) -> Vec<Value> {
    let query = query(&[("thing", &json!(["tubes", tube]).to_string())]);
    let known = page.post(&format!("/job/answer?{query}"), text.as_bytes()).json();
    let parts = known["card"]["parts"].as_array().expect("a card").clone();
    parts
        .into_iter()
        .map(|part| part["skin"].clone())
        .filter(Value::is_object)
        .collect()
}

/// The job with the first point of a tube landed where its skin is pointed at.
fn landed(page: &Page, text: &str, tube: &str, place: [f64; 2]) -> String {
    let edits = json!([{ "land": { "at": ["tubes", tube, "path", 0], "skin": place } }]);
    let query = query(&[("edits", &edits.to_string())]);
    let answer = page.post(&format!("/job/edit?{query}"), text.as_bytes());
    assert_eq!(answer.status, 200, "{}", answer.text());
    answer.json()["text"].as_str().expect("a text").to_owned()
}

/// Along and round of that point, as they stand in the text.
fn measures(text: &str, tube: &str) -> (Value, Value) {
    let job: Value = serde_json::from_str(text).expect("JSON");
    let point = &job["tubes"][tube]["path"][0];
    (point["along"].clone(), point["round"].clone())
}

#[test]
fn a_place_that_is_pointed_at_fills_both_measures() {
    let page = Page::open();
    // Round 400 mm: 360 degrees are 1,256.6 mm, and 0.2 degrees, the step, 0.7 mm.
    let text = landed(&page, JOB, "on drum", [PI * 400.0 / 6.0 + 0.2, 612.4]);
    assert_eq!(measures(&text, "on drum"), (json!(612), json!("60deg")));
    // To the left, and past the end and the slit.
    let text = landed(&page, JOB, "on drum", [-PI * 400.0 / 8.0, 900.0]);
    assert_eq!(measures(&text, "on drum"), (json!(800), json!("-45deg")));
    let text = landed(&page, JOB, "on drum", [5000.0, -30.0]);
    assert_eq!(measures(&text, "on drum"), (json!(0), json!("180deg")));
    // Each in the unit in which it was said.
    let text = landed(&page, JOB, "by tape", [-76.0, 433.3]);
    assert_eq!(measures(&text, "by tape"), (json!("433mm"), json!("-3in")));
    let text = landed(&page, JOB, "on plate", [33.4, -71.6]);
    assert_eq!(measures(&text, "on plate"), (json!(-72), json!(33)));
    let text = landed(&page, JOB, "on plate", [170.0, 101.0]);
    assert_eq!(measures(&text, "on plate"), (json!(100), json!(150)));
    // The point straight over it goes with it, and nothing else of the text is touched.
    assert_eq!(
        landed(&page, JOB, "on drum", [0.0, 300.0]),
        JOB.replace("200, \"round\": \"30deg\"", "300, \"round\": \"0deg\"")
    );
}

#[test]
fn a_cone_is_measured_along_its_axis_and_round_it() {
    let page = Page::open();
    // The slant is sqrt(400^2 + 200^2) = 447.21 mm; the tip is 600 mm up, 670.82 mm along the slant.
    let (tip, up) = (600.0_f64.hypot(300.0), 300.0 / 400.0 * 400.0_f64.hypot(200.0));
    // Once round is 2 pi 300 mm at the end, so a turn about the tip of that over 670.82.
    let turn = 40.0 / 360.0 * 2.0 * PI * 300.0 / tip;
    let place = [(tip - up) * turn.sin(), tip - (tip - up) * turn.cos()];
    let text = landed(&page, JOB, "on funnel", place);
    assert_eq!(measures(&text, "on funnel"), (json!(300), json!("40deg")));
}

#[test]
fn inches_go_by_sixteenths_in_the_way_in_which_they_were_written() {
    let page = Page::open();
    let job = r#"{ "units": "in", "stock": { "pipe": { "size": "1.5in x 0.065in" } },
      "bodies": { "drum": { "shape": "cylinder", "size": "16in x 0.1in", "from": [0, 0, 0], "to": [0, 0, 30], "zero": [0, -1, 0] } },
      "tubes": { "pipe": { "stock": "pipe", "path": [ { "on": "drum", "along": 8, "round": "2-1/2" }, { "step": [0, -9, 0] } ] } } }"#;
    let place = [-3.3, 9.7].map(|inches| inches * 25.4);
    assert_eq!(
        measures(&landed(&page, job, "pipe", place), "pipe"),
        (json!("9-11/16"), json!("-3-5/16"))
    );
    let decimal = job.replace("\"along\": 8,", "\"along\": 8.5,");
    assert_eq!(
        measures(&landed(&page, &decimal, "pipe", place), "pipe"),
        (json!(9.6875), json!("-3-5/16"))
    );
}

/// The middle of what a group of a skin's drawing draws, in millimetres of the skin.
fn middle(svg: &str, group: &str) -> (f64, f64) {
    let pair = |name: &str| -> (f64, f64) {
        let words = svg
            .split(&format!("{name}=\""))
            .nth(1)
            .and_then(|rest| rest.split('"').next());
        let (one, other) = words.and_then(|words| words.split_once(' ')).expect("two figures");
        (one.parse().expect("a figure"), other.parse().expect("a figure"))
    };
    let (zero, mm) = (pair("data-zero"), pair("data-mm"));
    let drawn = svg.split(group).nth(1).unwrap_or_else(|| panic!("no {group} in {svg}"));
    let path = drawn
        .split("d=\"")
        .nth(1)
        .and_then(|rest| rest.split('"').next())
        .expect("a path");
    let figures: Vec<f64> = path
        .split(|letter: char| letter.is_ascii_alphabetic() || letter == ' ')
        .filter_map(|figure| figure.parse().ok())
        .collect();
    let span = |start: usize| {
        let figures = figures.iter().skip(start).step_by(2);
        let ends = figures.fold((f64::MAX, f64::MIN), |(low, high), figure| {
            (low.min(*figure), high.max(*figure))
        });
        f64::midpoint(ends.0, ends.1)
    };
    ((span(0) - zero.0) * mm.0, (zero.1 - span(1)) * mm.1)
}

#[test]
fn the_skin_shows_the_holes_where_they_are_and_where_the_tube_lands() {
    let page = Page::open();
    let [skin, other] = &skins(&page, JOB, "by tape")[..] else {
        panic!("both points are on the drum");
    };
    assert_eq!(
        (&skin["at"], &other["at"]),
        (
            &json!(["tubes", "by tape", "path", 0]),
            &json!(["tubes", "by tape", "path", 1])
        )
    );
    let svg = skin["svg"].as_str().expect("SVG");
    let is_at = |group: &str, (x, y): (f64, f64)| {
        let at = middle(svg, group);
        assert!(
            (at.0 - x).abs() < 0.5 && (at.1 - y).abs() < 0.5,
            "{group} is at {at:?}, not at {x} {y}"
        );
    };
    is_at("class=\"hole\" data-tube=\"on drum\"", (PI * 400.0 / 12.0, 200.0));
    is_at("class=\"hole\" data-tube=\"by tape\"", (101.6, 500.0));
    is_at("class=\"found\"", (100.0, 700.0));
    is_at("class=\"strips\"", (0.0, 310.0));
    is_at("class=\"here\"", (101.6, 500.0));
    // What is measured runs from the zero line to the place, and from there to the end.
    is_at("class=\"round\"", (50.8, 500.0));
    is_at("class=\"along\"", (101.6, 250.0));
    assert!(
        !svg.contains("on funnel") && svg.contains("BOTTOM END") && svg.contains("RIGHT"),
        "{svg}"
    );
    // A ball can't be laid flat; a step lies on nothing.
    assert!(skins(&page, JOB, "on ball").is_empty());
    assert_eq!(skins(&page, JOB, "on plate").len(), 1);
}

#[test]
fn what_is_solved_for_is_not_filled_in() {
    let page = Page::open();
    let drain = JOB
        .replace(
            "\"zero\": [0, -1, 0],\n              \"holes\"",
            "\"zero\": [0, -1, 0], \"floor\": 10,\n              \"holes\"",
        )
        .replacen(
            "\"along\": 200, \"round\": \"30deg\" }",
            "\"round\": \"30deg\", \"drain\": { \"above_floor\": 0 } }",
            1,
        )
        .replacen(
            "{ \"on\": \"drum\", \"along\": 200, \"round\": \"30deg\", \"out\": 100 }",
            "{ \"step\": [50, -300, -40] }",
            1,
        );
    let text = landed(&page, &drain, "on drum", [PI * 400.0 / 6.0, 612.4]);
    assert_eq!(measures(&text, "on drum"), (Value::Null, json!("60deg")));
    let [skin] = &skins(&page, &drain, "on drum")[..] else {
        panic!("one point is on the drum");
    };
    // The hole's low edge is on the floor, 10 mm up; its middle a radius of the bore higher or more.
    let (_, up) = middle(skin["svg"].as_str().expect("SVG"), "class=\"here\"");
    assert!((26.0..60.0).contains(&up), "{up}");
}

#[test]
fn words_that_are_no_place_show_the_skin_without_one() {
    let page = Page::open();
    let wrong = JOB.replacen("\"along\": 200", "\"along\": \"far\"", 1);
    let skin = &skins(&page, &wrong, "on drum")[0];
    let svg = skin["svg"].as_str().expect("SVG");
    assert!(
        !svg.contains("class=\"here\"") && svg.contains("class=\"hole\""),
        "{svg}"
    );
    // Pointed at, it is a place again.
    let text = landed(&page, &wrong, "on drum", [0.0, 250.0]);
    assert_eq!(measures(&text, "on drum").0, json!("250"));
    let nowhere = json!([{ "land": { "at": ["tubes", "on drum", "path", 7], "skin": [0.0, 0.0] } }]);
    let query = query(&[("edits", &nowhere.to_string())]);
    assert_eq!(page.post(&format!("/job/edit?{query}"), JOB.as_bytes()).status, 422);
}

/// The scale of a picture with this frame: 112.5 mm high, and a rim left round it.
const FRAME: &str = "0,0,400,500";
const SCALE: f64 = 112.5 / 1000.0 / 1.16;

/// What is answered when the first point of a tube is dragged so many millimetres of the scene to the right and up.
fn dragged(page: &Page, tube: &str, eye: &str, zoom: f64, by: [f64; 2]) -> Value {
    let by = by.map(|mm| mm * SCALE * zoom);
    let edits = json!([{ "land": { "at": ["tubes", tube, "path", 0], "by": by } }]);
    let query = query(&[
        ("eye", eye),
        ("zoom", &zoom.to_string()),
        ("frame", FRAME),
        ("thing", &json!(["tubes", tube]).to_string()),
        ("edits", &edits.to_string()),
    ]);
    let answer = page.post(&format!("/job/answer?{query}"), JOB.as_bytes());
    assert_eq!(answer.status, 200, "{}", answer.text());
    answer.json()
}

#[test]
fn what_is_dragged_lands_where_the_eye_sees_the_body() {
    let page = Page::open();
    let lands = |eye: &str, zoom: f64, by: [f64; 2]| {
        let answer = dragged(&page, "on drum", eye, zoom, by);
        measures(answer["text"].as_str().expect("a text"), "on drum")
    };
    // From the front: 30 degrees to the right are 100 mm aside; 150 mm aside are 48.59 degrees.
    assert_eq!(lands("-90,0", 1.0, [50.0, 100.0]), (json!(300), json!("48.6deg")));
    assert_eq!(lands("-90,0", 2.5, [-200.0, -50.0]), (json!(150), json!("-30deg")));
    // From behind it is seen through the drum, and stays on its far side.
    assert_eq!(lands("90,0", 1.0, [-50.0, 100.0]), (json!(300), json!("48.6deg")));
    // Past the outline and past the end.
    assert_eq!(lands("-90,0", 1.0, [900.0, 0.0]), (json!(200), json!("90deg")));
    assert_eq!(lands("-90,0", 1.0, [0.0, 5000.0]), (json!(800), json!("30deg")));
    // From above, between front and side: 100 mm down along z are 100 cos 30 degrees on the picture.
    assert_eq!(
        lands("-90,30", 1.0, [0.0, -100.0 * 30.0_f64.to_radians().cos()]),
        (json!(100), json!("30deg"))
    );
}

#[test]
fn while_it_is_dragged_all_follows_and_the_picture_stays_where_it_was() {
    let page = Page::open();
    let answer = dragged(&page, "on drum", "-90,0", 1.0, [50.0, 100.0]);
    assert_eq!(answer["frame"], json!(FRAME));
    let text = answer["text"].as_str().expect("a text");
    let gaps = answer["card"]["parts"]
        .as_array()
        .expect("parts")
        .iter()
        .map(|part| &part["gap"]);
    let along: Vec<&Value> = gaps
        .filter(|gap| gap["at"][4] == "along")
        .map(|gap| &gap["typed"])
        .collect();
    assert_eq!(
        along,
        [&json!("300"), &json!("300")],
        "the point straight over it goes with it"
    );
    // The handle is where the landing is: 150 mm to the right of the middle.
    let picture = answer["picture"].as_str().expect("SVG");
    let handle = picture.split("class=\"handle\"").nth(1).expect("a handle");
    assert!(
        handle.starts_with(" data-point=\"[&quot;tubes&quot;,&quot;on drum&quot;,&quot;path&quot;,0]\""),
        "{handle}"
    );
    let figures = handle.split("d=\"M").nth(1).expect("a circle");
    let right: f64 = figures
        .split(' ')
        .next()
        .and_then(|figure| figure.parse().ok())
        .expect("a figure");
    // A circle's path begins at its right.
    // Round the frame there is half its line's width, and a border.
    let expected = 0.075 + 0.5 + 75.0 + 150.0 * SCALE + 1.7;
    assert!((right - expected).abs() < 0.01, "{right}, not {expected}");
    // Without the edits nothing is changed by the question.
    let plain = page.post("/job/answer", text.as_bytes()).json();
    assert!(plain["text"].is_null() && plain["picture"].as_str().is_some_and(|svg| !svg.contains("handle")));
    // Without a frame nobody knows where the finger is.
    let edits = json!([{ "land": { "at": ["tubes", "on drum", "path", 0], "by": [1.0, 1.0] } }]).to_string();
    let query = query(&[("edits", &edits)]);
    assert_eq!(page.post(&format!("/job/answer?{query}"), JOB.as_bytes()).status, 422);
}

#[test]
fn a_vessels_holes_are_told_one_at_a_time_by_two_tapes() {
    let page = Page::open();
    let hole = |body: &str, hole: &str| {
        let query = query(&[("body", body), ("hole", hole)]);
        page.post(&format!("/job/mark-out?{query}"), JOB.as_bytes())
    };
    let tapes = |body: &str, number: &str| {
        let told = hole(body, number).json();
        let measures = told["measures"].as_array().expect("two").clone();
        let words = |measure: &Value, key: &str| measure[key].as_str().expect("words").to_owned();
        measures
            .iter()
            .map(|one| [words(one, "figure"), words(one, "beside"), words(one, "words")])
            .collect::<Vec<_>>()
    };
    // 30 degrees of 400 mm across are 104.72 mm; 4 in are 29.1 degrees.
    let round = "round, on the skin, to the right of the zero line";
    assert_eq!(
        tapes("drum", "0"),
        [
            ["200.00 mm", "", "along, from the bottom end"],
            ["104.72 mm", "30°", round]
        ]
    );
    assert_eq!(tapes("drum", "1")[1], ["101.60 mm", "29.1°", round]);
    // A tape up the cone's skin: 150 of 400 mm up, of a slant of 447.21 mm.
    assert_eq!(
        tapes("funnel", "0"),
        [
            ["167.71 mm", "", "along, the tape on the skin, from the bottom end"],
            ["0.00 mm", "0°", "on the zero line"]
        ]
    );
    assert_eq!(
        tapes("plate", "0"),
        [
            ["20.00 mm", "", "up from the cross"],
            ["40.00 mm", "", "to the left of the cross"]
        ]
    );
    // 10 degrees round a ball of 500 mm are 43.63 mm at its widest place.
    assert_eq!(
        tapes("ball", "0"),
        [
            ["100.00 mm", "", "over the skin, from the pole"],
            [
                "43.63 mm",
                "10°",
                "round, on the widest place, to the right of the zero line"
            ]
        ]
    );
    let told = hole("drum", "1").json();
    assert_eq!(
        (&told["number"], told["holes"].as_array().map(Vec::len)),
        (&json!("H2"), Some(2))
    );
    assert!(
        told["svg"].as_str().is_some_and(|svg| svg.contains("class=\"here\""))
            && hole("ball", "0").json()["svg"].is_null()
    );
    assert_eq!((hole("drum", "2").status, hole("nothing", "0").status), (204, 204));
}
