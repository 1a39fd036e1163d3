//! A branch on a dished head by flags is the same as in a job file.

use serde_json::Value;
use support::Shop;

mod support;

fn report(shop: &Shop, command: &str) -> Value {
    let run = shop.run(&format!("{command} --out p.pdf --report r.json"));
    assert!(run.code() == 0, "{}", run.err());
    shop.report("r.json")
}

/// The crown of DIN 28011 on 600 mm is a ball of R = 600 mm about (0, 0, 193.77 - 600): what stands at an angle A to its skin at the arc s from the apex,
/// leaning towards it, goes (cos s/R sin A, sin s/R cos A) out and in, by plane geometry in the plane through the axis.
#[test]
fn a_branch_by_flags_is_that_of_a_job() {
    let shop = Shop::open();
    for (angle, lean) in [(90.0_f64, ""), (65.0, "--angle 65")] {
        let (s, a) = (150.0_f64 / 600.0, angle.to_radians());
        let (out, up) = (
            s.sin() * a.sin() - s.cos() * a.cos(),
            s.cos() * a.sin() + s.sin() * a.cos(),
        );
        let (sin, cos) = 30_f64.to_radians().sin_cos();
        // To the right as seen from outside with the apex up: from +x towards +y.
        let step = [200.0 * out * cos, 200.0 * out * sin, 200.0 * up];
        for how in ["set-on", "set-in"] {
            let job = format!(
                r#"{{ "units": "mm", "stock": {{ "branch": {{ "size": "48.3mm x 2.6mm" }} }},
                     "bodies": {{ "head": {{ "shape": "head", "size": "600mm x 6mm", "at": [0, 0, 0], "out": [0, 0, 1], "zero": [1, 0, 0],
                                           "dish": "DIN 28011", "flange": 20 }} }},
                     "tubes": {{ "branch": {{ "stock": "branch", "path": [ {{ "on": "head", "along": 150, "round": "30deg" }},
                        {{ "step": [{}, {}, {}] }} ], "start": {{ "join": "{how}" }} }} }} }}"#,
                step[0], step[1], step[2]
            );
            shop.write("job.json", job.as_bytes());
            let of_job = report(&shop, "batch job.json");
            let by_flags = report(
                &shop,
                &format!(
                    "saddle --branch 48.3mm_x_2.6mm --header head_600mm_x_6mm_DIN_28011_flange_20mm --along 150mm --round 30deg --length 200mm --join {how} {lean}"
                ),
            );
            let places = |report: &Value, of: &str| -> Vec<f64> {
                let of = report["ends"][0][of].as_array().expect("a list").clone();
                of.iter().map(|row| row[1].as_f64().expect("mm")).collect()
            };
            let (one, other) = (places(&by_flags, "curve"), places(&of_job, "curve"));
            assert_eq!(one.len(), 361);
            for (one, other) in one.iter().zip(&other) {
                assert!((one - other).abs() < 1e-6, "{one} {other}");
            }
            let openings = |report: &Value| -> Vec<f64> {
                let rows = report["job"]["compass_holes"][0]["openings"]
                    .as_array()
                    .expect("rows")
                    .clone();
                rows.iter().map(|row| row["opening_mm"].as_f64().expect("mm")).collect()
            };
            for (one, other) in openings(&by_flags).iter().zip(openings(&of_job)) {
                assert!((one - other).abs() < 1e-6, "{one} {other}");
            }
            let length = |report: &Value| report["job"]["cut_list"][0]["length_mm"].as_f64().expect("mm");
            assert!((length(&by_flags) - length(&of_job)).abs() < 1e-6);
        }
    }
}

#[test]
fn every_way_to_tell_a_dish_is_taken_by_flags() {
    let shop = Shop::open();
    for dish in [
        "DIN_28013",
        "ASME_F&D",
        "ellipsoidal_2:1",
        "hemisphere_flange_1in",
        "ratio_1.9",
        "depth_120mm",
        "depth_120mm_knuckle_60mm",
        "crown_550mm_knuckle_70mm_flange_30mm",
    ] {
        let run = shop.run(&format!(
            "saddle --branch 33.7mm_x_2.6mm --header head_600mm_x_6mm_{dish} --along 60mm --length 150mm --out p.pdf"
        ));
        assert!(run.code() == 0, "{dish}: {}", run.err());
    }
}
