//! Tubes that land on a straight leg of one with corners or a coupling.

mod support;

use approx::assert_abs_diff_eq;
use serde_json::Value;
use support::Shop;

/// A riser up and over to +x, or parted half way up, and a branch square on what is named.
fn job(riser: &str, on: &str, along: f64) -> String {
    format!(
        r#"{{ "title": "Legs", "units": "mm", "stock": {{ "a": {{ "size": "60mm x 3mm" }}, "b": {{ "size": "30mm x 2mm" }} }},
  "bodies": {{ "pipe": {{ "shape": "cylinder", "size": "60mm x 3mm", "from": [2000, 0, 0], "to": [2300, 0, 0], "zero": [0, 0, 1] }} }},
  "tubes": {{ "riser": {{ "stock": "a", {riser} }},
              "branch": {{ "stock": "b", "path": [ {{ "on": "{on}", "along": {along}, "round": "90deg" }},
                                                   {{ "on": "{on}", "along": {along}, "round": "90deg", "out": 200 }} ] }} }} }}"#
    )
}

const CORNER: &str = r#""path": [ { "at": [0, 0, 0] }, { "at": [0, 0, 400] }, { "at": [300, 0, 400] } ]"#;
const COUPLED: &str = r#""path": [ { "at": [0, 0, 0] }, { "at": [0, 0, 600] } ], "coupling": { "at": 300, "gap": 20 }"#;

fn run(job: &str) -> (i32, String) {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    let run = shop.run("batch job.json --check");
    (run.code(), run.out() + &run.err())
}

fn hole(job: &str) -> Value {
    let shop = Shop::open();
    shop.write("job.json", job.as_bytes());
    shop.run("batch job.json --report r.json --out p.pdf").succeeds();
    shop.report("r.json")["holes"][0].clone()
}

#[test]
fn a_leg_is_landed_on_as_a_pipe_of_its_size() {
    let pipe = hole(&job(CORNER, "pipe", 150.0));
    for (riser, leg) in [
        (CORNER, "riser a"),
        (CORNER, "riser b"),
        (COUPLED, "riser a"),
        (COUPLED, "riser b"),
    ] {
        let there = hole(&job(riser, leg, 150.0));
        assert_eq!(there["body"], leg);
        assert_abs_diff_eq!(there["along_mm"].as_f64().expect("mm"), 150.0, epsilon = 1e-6);
        let places = |hole: &Value| -> Vec<f64> {
            let places = hole["outline"].as_array().expect("places").iter();
            let figures = places.flat_map(|place| [place[0].as_f64(), place[1].as_f64()]);
            figures.map(|figure| figure.expect("mm")).collect()
        };
        let (one, other) = (places(&pipe), places(&there));
        assert_eq!(one.len(), other.len());
        for (one, other) in one.iter().zip(&other) {
            assert_abs_diff_eq!(one, other, epsilon = 1e-6);
        }
    }
}

#[test]
fn what_comes_into_a_corners_cut_is_a_clash_and_the_other_leg_is_in_the_way() {
    // The corner takes 30 tan 45 = 30 mm of the leg, the branch's wall reaches 15 mm.
    let (code, said) = run(&job(CORNER, "riser b", 46.0));
    assert!(code == 0 && !said.contains("CLASH"), "{said}");
    for along in [44.0, 35.0] {
        let (code, said) = run(&job(CORNER, "riser b", along));
        assert!(
            code == 1 && said.contains("the corner at its start of riser b"),
            "{along}: {said}"
        );
    }
    // From the lower leg up under the upper one, whose skin is 370 over the ground, to 365 there by its own: 15 reach into it.
    let (code, said) = run(&job(CORNER, "riser a", 300.0)
        .replace(
            r#"{ "on": "riser a", "along": 300, "round": "90deg", "out": 200 }"#,
            r#"{ "at": [250, 0, 365] }"#,
        )
        .replace(r#""round": "90deg" }"#, r#""round": "180deg" }"#));
    assert!(code == 1 && said.contains("branch") && said.contains("riser"), "{said}");
}

#[test]
fn the_name_of_the_whole_tube_leads_to_its_legs() {
    let (code, said) = run(&job(CORNER, "riser", 100.0));
    assert!(code == 2 && said.contains("\"riser a\", \"riser b\""), "{said}");
}
