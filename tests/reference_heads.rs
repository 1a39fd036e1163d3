//! Tubes on dished heads, and tubes that are cut to several bodies, against a general-purpose CAD kernel and closed forms.
//! `tests/reference/heads.py` makes the data and says how. Lengths in millimetres.

use std::collections::BTreeSet;
use std::f64::consts::TAU;
use std::sync::Arc;

use girthline::body::{Body, Cone, Cylinder, Ellipsoid, Placed, Plane, Several, Sphere, Torisphere};
use girthline::job::{End, Frame, Touch, Tube};
use girthline::solver::{cut_at, dihedral_deg, solve_end};
use glam::{DAffine3, DMat3, DVec3};
use kurbo::{ParamCurveNearest, Point};
use serde_json::Value;

/// The promise of the solver; the data are rounded to a tenth of it.
const SOLVER: f64 = 1e-6;
/// The promise for fitted curves.
const FITTED: f64 = 0.005;

type Shared = Arc<dyn Body + Send + Sync>;

fn records(file: &str, key: &str) -> Vec<Value> {
    let checks: Value = serde_json::from_str(file).expect("the references are JSON");
    let records = checks[key].as_array().expect("a list").clone();
    assert!(records.len() >= 40, "{}", records.len());
    records
}

fn heads() -> Vec<Value> {
    records(include_str!("../shared/checks/heads.json"), "heads")
}

fn nodes() -> Vec<Value> {
    records(include_str!("../shared/checks/nodes.json"), "nodes")
}

fn number(record: &Value, key: &str) -> f64 {
    record[key].as_f64().unwrap_or_else(|| panic!("{key} of {record}"))
}

fn vector(record: &Value, key: &str) -> DVec3 {
    let part = |index: usize| record[key][index].as_f64().expect("a number");
    DVec3::new(part(0), part(1), part(2))
}

fn body(words: &Value) -> Shared {
    let of = |key: &str| number(words, key);
    match words["shape"].as_str().expect("a shape") {
        "torisphere" => Arc::new(Torisphere::new(of("radius"), of("crown"), of("knuckle"), of("flange"))),
        "ellipsoid" => Arc::new(Ellipsoid::new(of("radius"), of("depth"), of("flange"))),
        "plane" => Arc::new(Plane),
        "cone" => Arc::new(Cone::new(of("radius"), of("taper"))),
        "sphere" => Arc::new(Sphere::new(of("radius"))),
        "cylinder" => {
            let axis = vector(words, "axis");
            let (a, b) = axis.any_orthonormal_pair();
            let placement = DAffine3::from_mat3_translation(DMat3::from_cols(b, axis, a), vector(words, "at"));
            Arc::new(Placed::new(Cylinder::new(of("radius")), placement))
        }
        other => panic!("{other}"),
    }
}

fn end(record: &Value) -> End {
    let body: Shared = match record["bodies"].as_array() {
        Some(bodies) => Arc::new(Several::new(bodies.iter().map(body).collect())),
        None => body(&record["body"]),
    };
    End {
        tube: Tube::round(number(record, "od"), number(record, "wall")),
        frame: Frame::new(vector(record, "at"), vector(record, "axis"), vector(record, "front")),
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

fn name(record: &Value) -> &str {
    record["name"].as_str().unwrap_or_default()
}

fn check_cut(record: &Value) {
    let end = end(record);
    for pair in record["curve"].as_array().expect("a curve") {
        let (azimuth, t) = (pair[0].as_f64().expect("degrees"), pair[1].as_f64().expect("t"));
        let solved =
            cut_at(&end, azimuth.to_radians()).unwrap_or_else(|| panic!("{} misses at {azimuth}", name(record)));
        assert!(
            (solved.t - t).abs() < SOLVER,
            "{} at {azimuth}: {} against {t}",
            name(record),
            solved.t
        );
    }
    for (crown, azimuth) in [("front", 0.0_f64), ("right", 90.0), ("back", 180.0), ("left", 270.0)] {
        let given = number(&record["dihedral"], crown);
        let solved = dihedral_deg(&end, azimuth.to_radians()).unwrap_or(f64::NAN);
        assert!(
            (solved - given).abs() < 2.0 * SOLVER,
            "{} at the {crown}: {solved} against {given}",
            name(record)
        );
    }
}

/// The drawn curve against what is solved, halfway between the places at which it is likely to have been fitted; and the
/// reference's own places on it.
fn check_drawn(record: &Value) {
    let end = end(record);
    let radius = 0.5 * number(record, "od");
    let curve = solve_end(&end, radius, 0.3).unwrap_or_else(|problem| panic!("{}: {problem}", name(record)));
    let segments: Vec<_> = curve.path.segments().collect();
    let off = |azimuth: f64, t: f64| {
        let place = Point::new(radius * (azimuth - 0.3).rem_euclid(TAU), t);
        let near = segments.iter().map(|segment| segment.nearest(place, 1e-9).distance_sq);
        near.fold(f64::MAX, f64::min).sqrt()
    };
    for step in 0..300 {
        let azimuth = TAU * (f64::from(step) + 0.37) / 300.0;
        let t = cut_at(&end, azimuth).expect("it lands").t;
        assert!(
            off(azimuth, t) < FITTED,
            "{} at {azimuth}: {}",
            name(record),
            off(azimuth, t)
        );
    }
    for pair in record["curve"].as_array().expect("a curve") {
        let (azimuth, t) = (
            pair[0].as_f64().expect("degrees").to_radians(),
            pair[1].as_f64().expect("t"),
        );
        assert!(
            off(azimuth, t) < FITTED,
            "{} at {azimuth}: {}",
            name(record),
            off(azimuth, t)
        );
        assert!(
            curve.lowest.0 < t + SOLVER && curve.highest.0 > t - SOLVER,
            "{}",
            name(record)
        );
    }
}

#[test]
fn there_are_enough_of_each_kind() {
    let of = |shape: &str| heads().iter().filter(|record| record["body"]["shape"] == shape).count();
    assert!(of("torisphere") >= 40 && of("ellipsoid") >= 40);
    // Two and three braces besides the header that they stand on.
    let braces = |count: usize| {
        let pipes = |record: &&Value| {
            record["bodies"].as_array().is_some_and(|bodies| {
                bodies.len() == count + 1 && bodies.iter().all(|body| body["shape"] == "cylinder")
            })
        };
        nodes().iter().filter(pipes).count()
    };
    assert!(nodes().len() >= 40 && braces(2) >= 10 && braces(3) >= 10);
}

#[test]
fn every_cut_and_weld_angle_on_a_head_agrees_with_the_kernel() {
    let heads = heads();
    for shape in ["torisphere", "ellipsoid"] {
        let those = heads.iter().filter(|record| record["body"]["shape"] == shape);
        assert!(those.count() >= 20, "{shape}");
    }
    heads.iter().for_each(check_cut);
}

#[test]
fn every_cut_and_weld_angle_to_several_bodies_agrees_with_the_kernel() {
    nodes().iter().for_each(check_cut);
}

#[test]
fn what_is_drawn_of_a_cut_on_a_head_is_what_the_kernel_has() {
    heads().iter().for_each(check_drawn);
}

#[test]
fn what_is_drawn_of_a_cut_to_several_bodies_is_what_the_kernel_has() {
    nodes().iter().for_each(check_drawn);
}

/// Where the reference has one body after another decide there are corners between, from the one to the other.
#[test]
fn corners_are_where_the_kernel_has_another_body_decide() {
    let mut kinds = BTreeSet::new();
    for record in nodes() {
        let curve = solve_end(&end(&record), 1.0, 0.0).unwrap_or_else(|problem| panic!("{}: {problem}", name(&record)));
        let deciders = record["decider"].as_array().expect("deciders");
        let of = |pair: &Value| (number_at(pair, 0).to_radians(), number_at(pair, 1) as usize);
        for (pair, next) in deciders.iter().zip(deciders.iter().skip(1)) {
            let ((from, before), (to, after)) = (of(pair), of(next));
            let between: Vec<[usize; 2]> = curve
                .corners
                .iter()
                .filter(|corner| (from..to).contains(&corner.azimuth))
                .map(|corner| corner.bodies)
                .collect();
            let first = between.first().map_or(before, |bodies| bodies[0]);
            let last = between.last().map_or(before, |bodies| bodies[1]);
            assert_eq!(
                (first, last),
                (before, after),
                "{} after {from}: {between:?}",
                name(&record)
            );
        }
        kinds.insert(curve.corners.len());
    }
    assert!(kinds.contains(&2) && kinds.iter().any(|count| *count > 2), "{kinds:?}");
}

fn number_at(pair: &Value, index: usize) -> f64 {
    pair[index].as_f64().expect("a number")
}
