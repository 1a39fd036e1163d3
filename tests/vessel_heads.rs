//! Heads that close a cylinder: one vessel. Tubes that reach over its seam lie on drum and head alike, by formulas of the test's own.

use girthline::job::edit::{Edit, edited};
use girthline::job::raw::Sheet;
use girthline::job::read::read_job;
use girthline::job::{Assembly, resolve};
use glam::DVec3;
use proptest::prelude::*;
use serde_json::{Value, json};
use support::{Pdf, Shop};
use trying::tried_afresh;

mod support;
mod trying;

/// A drum of 300 mm along z from 0 to 400 that is closed below by a torisphere of knuckle 45 and depth 70, above by a 2:1 ellipsoid, with flanges
/// of 20.
const DRUM: &str = r#""shape": "cylinder", "size": "300mm x 3mm", "from": [0, 0, 0], "to": [0, 0, 400], "zero": [1, 0, 0],
    "from_head": { "depth": 70, "knuckle": 45 }, "to_head": "ellipsoidal 2:1", "flange": 20"#;

fn job(on: &str, along: f64, round: f64, step: DVec3, start: &str) -> String {
    format!(
        r#"{{ "units": "mm", "stock": {{ "tube": {{ "size": "48.3mm x 2.6mm" }} }}, "bodies": {{ "drum": {{ {DRUM} }} }},
  "tubes": {{ "side": {{ "stock": "tube", "path": [ {{ "on": "{on}", "along": {along}, "round": "{round}deg" }},
                 {{ "step": [{}, {}, {}] }} ], "start": {{ {start} }} }} }} }}"#,
        step.x, step.y, step.z
    )
}

fn assembly(job: &str) -> Assembly {
    let words = read_job("job.json", job).expect("JSON");
    resolve::job_file(&words, &Sheet::default())
        .unwrap_or_else(|problems| panic!("{problems}"))
        .joint
}

fn report(job: &str) -> (Value, String) {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    let run = shop.run("batch job.json --out p.pdf --report r.json");
    assert!(run.code() < 2, "{}", run.err());
    let pdf = Pdf::read(&shop.read("p.pdf"));
    let words: Vec<&str> = pdf.words.iter().map(|words| words.text.as_str()).collect();
    (shop.report("r.json"), words.join(" "))
}

/// How far outside the vessel a place is, less `inset` of wall.
fn outside(place: DVec3, inset: f64) -> f64 {
    let off = place.x.hypot(place.y);
    let radius = 150.0 - inset;
    if place.z > 420.0 {
        let (a, b, z) = (radius, 75.0 - inset, place.z - 420.0);
        let value = (off / a).powi(2) + (z / b).powi(2) - 1.0;
        return value / (2.0 * (off / (a * a)).hypot(z / (b * b)));
    }
    if place.z >= -20.0 {
        return off - radius;
    }
    // Depth h and knuckle k: R = k + ((D/2 - k)^2 + (h - k)^2) / (2 (h - k)).
    let (k, h) = (45.0_f64, 70.0_f64);
    let across = 150.0 - k;
    let crown = k + (across * across + (h - k).powi(2)) / (2.0 * (h - k));
    let z = -20.0 - place.z;
    let phi = (across / (crown - k)).asin();
    let from_crown = (off, z + (crown - k) * phi.cos());
    if from_crown.0 <= from_crown.1 * phi.tan() {
        from_crown.0.hypot(from_crown.1) - (crown - inset)
    } else {
        (off - across).hypot(z) - (k - inset)
    }
}

/// Places of the tube's outer skin at its cut, in space.
fn cut_places(assembly: &Assembly, report: &Value) -> Vec<DVec3> {
    let frame = assembly.pieces(&assembly.tubes[0])[0].near.frame;
    let curve = report["ends"][0]["curve"].as_array().expect("a curve");
    let place = |row: &Value| {
        let (azimuth, t) = (
            row[0].as_f64().expect("degrees").to_radians(),
            row[1].as_f64().expect("mm"),
        );
        frame.origin + 24.15 * (azimuth.cos() * frame.front + azimuth.sin() * frame.right) + t * frame.axis
    };
    curve.iter().map(place).collect()
}

proptest! {
    #![proptest_config(tried_afresh(16))]
    #[test]
    fn a_tube_over_a_seam_lies_on_drum_and_head(
        past in -22.0..22.0_f64,
        is_far in any::<bool>(),
        round in -170.0..170.0_f64,
        lean in (-0.6..0.6_f64, -0.6..0.6_f64),
    ) {
        let along = if is_far { 400.0 + past.min(-1.0) } else { past.max(1.0) };
        let (sin, cos) = round.to_radians().sin_cos();
        // Round is to the right as seen from outside with the far end, here the top, up.
        let out = DVec3::new(cos, sin, 0.0);
        let step = 200.0 * (out + lean.0 * DVec3::new(-sin, cos, 0.0) + lean.1 * DVec3::Z);
        for (start, inset) in [(r#""touch": "outside""#, 0.0), (r#""touch": "outside", "join": "set-in""#, 3.0)] {
            let job = job("drum", along, round, step, start);
            let (assembly, (report, words)) = (assembly(&job), report(&job));
            let head = if is_far { "drum to head" } else { "drum from head" };
            prop_assert_eq!(report["job"]["compass_holes"][0]["body"].as_str(), Some(head));
            prop_assert_eq!(report["holes"].as_array().map(Vec::len), Some(0));
            let places = cut_places(&assembly, &report);
            let (mut on_head, mut on_drum) = (false, false);
            for place in &places {
                let off = outside(*place, inset);
                // On the ellipsoid to the first order of what is off.
                prop_assert!(off.abs() < 2e-5, "{} {}", off, place);
                let is_on_head = if is_far { place.z > 400.0 } else { place.z < 0.0 };
                on_head |= is_on_head;
                on_drum |= !is_on_head;
            }
            prop_assert!(on_head && on_drum);
            prop_assert!(words.contains("SEAM to drum: "), "{}", words);
            prop_assert_eq!(report["job"]["clashes"].as_array().map(Vec::len), Some(0));
        }
    }
}

#[test]
fn what_stays_short_of_the_seam_has_a_flat_hole_in_the_drum() {
    // The tube's radius is 24.15 mm.
    for (along, is_on_drum) in [(375.80, true), (375.90, false), (24.20, true), (24.10, false)] {
        let (report, words) = report(&job("drum", along, 0.0, DVec3::new(200.0, 0.0, 0.0), ""));
        assert_eq!(
            report["holes"].as_array().map(Vec::len),
            Some(usize::from(is_on_drum)),
            "{along}"
        );
        let by_compass = report["job"]["compass_holes"].as_array().map_or(0, Vec::len);
        assert_eq!(by_compass, usize::from(!is_on_drum), "{along}");
        if is_on_drum {
            assert!(words.contains("TOP END: SEAM to drum to head"), "{words}");
            assert!(words.contains("BOTTOM END: SEAM to drum from head"), "{words}");
        }
    }
}

/// The same words, and numbers that differ by rounding alone.
fn are_alike(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Array(one), Value::Array(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| are_alike(one, other))
        }
        (Value::Object(one), Value::Object(other)) => {
            one.len() == other.len() && one.iter().all(|(key, value)| are_alike(value, &other[key]))
        }
        (Value::Number(one), Value::Number(other)) => {
            let off = one.as_f64().expect("a number") - other.as_f64().expect("a number");
            off.abs() < 1e-6
        }
        _ => one == other,
    }
}

/// As bodies of their own, placed by hand, the heads give the same cuts and holes.
#[test]
fn heads_of_a_cylinder_are_those_given_by_themselves() {
    let alone = |text: &str| {
        text.replace(
            DRUM,
            r#""shape": "cylinder", "size": "300mm x 3mm", "from": [0, 0, 0], "to": [0, 0, 400], "zero": [1, 0, 0] },
               "drum from head": { "shape": "head", "size": "300mm x 3mm", "at": [0, 0, -20], "out": [0, 0, -1], "zero": [1, 0, 0],
                                   "dish": { "depth": 70, "knuckle": 45 }, "flange": 20 },
               "drum to head": { "shape": "head", "size": "300mm x 3mm", "at": [0, 0, 420], "out": [0, 0, 1], "zero": [1, 0, 0],
                                 "dish": "ellipsoidal 2:1", "flange": 20"#,
        )
    };
    for (on, up) in [("drum to head", 1.0), ("drum from head", -1.0)] {
        let text = job(
            on,
            90.0,
            40.0,
            DVec3::new(30.0, -20.0, 150.0 * up),
            r#""join": "set-in", "clearance": 0.5"#,
        );
        let (vessel, _) = report(&text);
        let (by_themselves, _) = report(&alone(&text));
        for of in ["ends", "job"] {
            let of = |report: &Value| {
                if of == "job" {
                    report["job"]["compass_holes"].clone()
                } else {
                    report[of].clone()
                }
            };
            assert!(are_alike(&of(&vessel), &of(&by_themselves)), "{on}");
        }
    }
}

#[test]
fn a_tube_that_turns_back_through_its_vessel_still_clashes() {
    let text = job("drum", 390.0, 0.0, DVec3::new(200.0, 0.0, 0.0), "");
    let text = text.replace(
        r#"{ "step": [200, 0, 0] }"#,
        r#"{ "step": [200, 0, 0] }, { "step": [0, 0, 65] }, { "step": [-400, 0, 0] }"#,
    );
    let (report, _) = report(&text);
    assert!(!report["job"]["clashes"].as_array().expect("a list").is_empty());
}

#[test]
fn another_name_for_a_cylinder_is_its_heads_too() {
    let text = job("drum to head", 40.0, 0.0, DVec3::new(0.0, 0.0, 150.0), "");
    let edit: Edit =
        serde_json::from_value(json!({ "rename": { "at": ["bodies", "drum"], "name": "tank" } })).expect("an edit");
    let text = edited(&text, &[edit]).unwrap_or_else(|problem| panic!("{problem}"));
    assert!(text.contains(r#""on": "tank to head""#), "{text}");
    assembly(&text);
}
