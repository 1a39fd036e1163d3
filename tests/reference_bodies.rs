//! Tubes on plates, cones and balls against a general-purpose CAD kernel and closed forms.
//! `tests/reference/bodies.py` makes the data and says how. Lengths in millimetres.

use std::sync::Arc;

use girthline::body::{Body, Cone, Plane, Sphere};
use girthline::job::{Drilling, End, Frame, Skin, Touch, Tube};
use girthline::solver::{cut_at, dihedral_deg, hole_outline};
use glam::DVec3;
use kurbo::{ParamCurveNearest, Point};
use serde_json::Value;

/// The promise of the solver; the data are rounded to a tenth of it.
const SOLVER: f64 = 1e-6;
/// The promise for fitted curves.
const FITTED: f64 = 0.005;

fn for_each_tube(check: impl Fn(&str, &Value)) {
    let checks: Value =
        serde_json::from_str(include_str!("../shared/checks/bodies.json")).expect("the reference bodies are JSON");
    let records = checks["bodies"].as_array().expect("a list");
    assert!(records.len() >= 40, "{}", records.len());
    for shape in ["plane", "cone", "sphere"] {
        let those = records.iter().filter(|record| record["body"]["shape"] == shape);
        assert!(those.count() >= 10, "{shape}");
    }
    for record in records {
        check(record["name"].as_str().unwrap_or_default(), record);
    }
}

fn number(record: &Value, key: &str) -> f64 {
    record[key].as_f64().unwrap_or_else(|| panic!("{key} of {record}"))
}

fn pairs(record: &Value, key: &str) -> Vec<Point> {
    let pairs = record[key].as_array().unwrap_or_else(|| panic!("{key} of {record}"));
    let half = |value: &Value| value.as_f64().expect("a number");
    pairs
        .iter()
        .map(|pair| Point::new(half(&pair[0]), half(&pair[1])))
        .collect()
}

fn vector(record: &Value, key: &str) -> DVec3 {
    let part = |index: usize| {
        record[key][index]
            .as_f64()
            .unwrap_or_else(|| panic!("{key} of {record}"))
    };
    DVec3::new(part(0), part(1), part(2))
}

fn cone(record: &Value) -> Cone {
    Cone::new(number(&record["body"], "radius"), number(&record["body"], "taper"))
}

fn frame(record: &Value) -> Frame {
    Frame::new(vector(record, "at"), vector(record, "axis"), vector(record, "front"))
}

fn tube(record: &Value) -> Tube {
    Tube::round(number(record, "od"), number(record, "wall"))
}

fn end(record: &Value) -> End {
    let body: Arc<dyn Body + Send + Sync> = match record["body"]["shape"].as_str() {
        Some("plane") => Arc::new(Plane),
        Some("cone") => Arc::new(cone(record)),
        _ => Arc::new(Sphere::new(number(&record["body"], "radius"))),
    };
    End {
        tube: tube(record),
        frame: frame(record),
        landing: body.clone(),
        weld_skin: body,
        is_mirrored: false,
        root_gap_mm: 0.0,
        touch: match record["touch"].as_str() {
            Some("wall") => Touch::Wall,
            Some("outside") => Touch::Outside,
            _ => Touch::Inside,
        },
    }
}

#[test]
fn every_cut_on_a_plate_a_cone_or_a_ball_agrees_with_the_kernel() {
    for_each_tube(|name, record| {
        let end = end(record);
        for Point { x: azimuth, y: t } in pairs(record, "curve") {
            let solved = cut_at(&end, azimuth.to_radians()).unwrap_or_else(|| panic!("{name} misses at {azimuth}"));
            assert!(
                (solved.t - t).abs() < SOLVER,
                "{name} at {azimuth}: {} against {t}",
                solved.t
            );
        }
    });
}

#[test]
fn every_hole_in_a_plate_or_a_cone_agrees_with_the_kernel() {
    for_each_tube(|name, record| {
        let outer: Arc<dyn Skin> = match record["body"]["shape"].as_str() {
            Some("plane") => Arc::new(Plane),
            Some("cone") => Arc::new(cone(record)),
            _ => return,
        };
        let drilling = Drilling {
            frame: frame(record),
            section: tube(record).bore(),
            outer,
            inner: None,
            others: Vec::new(),
        };
        let hole = hole_outline(&drilling).unwrap_or_else(|problem| panic!("{name}: {problem}"));
        let places = pairs(record, "hole");
        assert_eq!(places.len(), 72, "{name}");
        for place in places {
            let segments = hole.path.segments();
            let nearest = segments
                .map(|segment| segment.nearest(place, 1e-9).distance_sq)
                .fold(f64::MAX, f64::min)
                .sqrt();
            assert!(nearest < FITTED, "{name}: {place} is {nearest} mm off the outline");
        }
    });
}

#[test]
fn every_weld_angle_on_a_plate_a_cone_or_a_ball_agrees_with_the_kernel() {
    for_each_tube(|name, record| {
        let end = end(record);
        for (crown, azimuth) in [("front", 0.0_f64), ("right", 90.0), ("back", 180.0), ("left", 270.0)] {
            let given = number(&record["dihedral"], crown);
            let solved = dihedral_deg(&end, azimuth.to_radians()).unwrap_or(f64::NAN);
            assert!(
                (solved - given).abs() < SOLVER,
                "{name} at the {crown}: {solved} against {given}"
            );
        }
    });
}
