//! The solver against joints computed by other means: a general-purpose CAD kernel and dense search.
//! `tests/reference/joints.py` makes the data and says how.

use girthline::job::{Header, Join, Miter, Saddle, Touch, Tube};
use girthline::solver::{cut_at, dihedral_deg, hole_outline};
use kurbo::{ParamCurve, ParamCurveNearest, Point};
use serde_json::Value;

/// The promise of the solver, in millimetres; the data are rounded to a tenth of it.
const SOLVER: f64 = 1e-6;

fn checks() -> Value {
    serde_json::from_str(include_str!("../shared/checks/joints.json")).expect("the reference joints are JSON")
}

fn number(record: &Value, key: &str) -> f64 {
    record[key].as_f64().unwrap_or_else(|| panic!("{key} of {record}"))
}

fn pairs(record: &Value, key: &str) -> Vec<(f64, f64)> {
    let pairs = record[key].as_array().unwrap_or_else(|| panic!("{key} of {record}"));
    pairs
        .iter()
        .map(|pair| (pair[0].as_f64().expect("a number"), pair[1].as_f64().expect("a number")))
        .collect()
}

fn joint(record: &Value) -> Saddle {
    Saddle {
        branch: Tube::round(number(record, "branch_od"), number(record, "branch_wall")),
        header: Header {
            od_mm: number(record, "header_od"),
            wall_mm: record["header_wall"].as_f64(),
            name: None,
        },
        turned_deg: 0.0,
        angle_deg: number(record, "angle"),
        offset_mm: number(record, "offset"),
        touch: match record["touch"].as_str() {
            Some("wall") => Touch::Wall,
            Some("outside") => Touch::Outside,
            _ => Touch::Inside,
        },
        join: if record["join"] == "set-in" {
            Join::SetIn
        } else {
            Join::SetOn
        },
        clearance_mm: number(record, "clearance"),
        root_gap_mm: 0.0,
    }
}

fn for_each_joint(check: impl Fn(&str, &Value, &Saddle)) {
    let checks = checks();
    let joints = checks["joints"].as_array().expect("a list");
    assert!(joints.len() >= 60, "{}", joints.len());
    for record in joints {
        check(record["name"].as_str().unwrap_or_default(), record, &joint(record));
    }
}

#[test]
fn every_cut_agrees_with_the_kernel() {
    for_each_joint(|name, record, joint| {
        let end = joint.end();
        for (azimuth, t) in pairs(record, "curve") {
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
fn every_hole_agrees_with_the_kernel() {
    for_each_joint(|name, record, joint| {
        let hole = hole_outline(&joint.drilling()).unwrap_or_else(|problem| panic!("{name}: {problem}"));
        for (u, v) in pairs(record, "hole") {
            let place = Point::new(u, v);
            let nearest = hole
                .path
                .segments()
                .map(|segment| segment.nearest(place, 1e-9).distance_sq)
                .fold(f64::MAX, f64::min);
            assert!(
                nearest.sqrt() < 0.005,
                "{name}: ({u}, {v}) is {} mm off the outline",
                nearest.sqrt()
            );
        }
        // Its own places must lie on the outline drawn through the kernel's, too: nothing may stick out.
        let path = &hole.path;
        for place in &hole.points {
            let nearest = path
                .segments()
                .map(|segment| segment.nearest(*place, 1e-9).distance_sq)
                .fold(f64::MAX, f64::min);
            assert!(nearest.sqrt() < 0.005, "{name}: {place:?}");
        }
        let ends: Vec<Point> = path.segments().map(|segment| segment.end()).collect();
        assert!(ends.len() <= 24, "{name}: {} segments", ends.len());
    });
}

#[test]
fn every_weld_angle_agrees_with_the_kernel() {
    for_each_joint(|name, record, joint| {
        let end = joint.end();
        for (crown, azimuth) in [("front", 0.0_f64), ("right", 90.0), ("back", 180.0), ("left", 270.0)] {
            let given = number(&record["dihedral"], crown);
            let solved = dihedral_deg(&end, azimuth.to_radians()).unwrap_or(f64::NAN);
            // Where the skins are tangent a rounding of 1e-16 turns the normal by 1e-8, 1e-6 degrees.
            let within = if record["tangent"] == true { 1e-4 } else { SOLVER };
            assert!(
                (solved - given).abs() < within,
                "{name} at the {crown}: {solved} against {given}"
            );
        }
    });
}

#[test]
fn every_miter_agrees_with_the_kernel() {
    let checks = checks();
    for record in checks["miters"].as_array().expect("a list") {
        let miter = Miter {
            tube: Tube::round(number(record, "od"), 1.0),
            turn_deg: number(record, "turn"),
            turned_deg: 0.0,
            pieces: record["pieces"].as_u64().expect("a number") as usize,
            radius_mm: record["radius"].as_f64(),
        };
        assert!((miter.cut_off_square_deg() - number(record, "cut_off_square_deg")).abs() < SOLVER);
        for (azimuth, t) in pairs(record, "curve") {
            // A miter's t is counted towards the cut.
            let solved = cut_at(&miter.end(), azimuth.to_radians()).map_or(f64::NAN, |cut| -cut.t);
            assert!((solved - t).abs() < SOLVER, "{record}");
        }
        for (key, length) in [("end_mm", miter.end_piece_mm()), ("middle_mm", miter.middle_piece_mm())] {
            if let (Some(given), Some(length)) = (record[key].as_f64(), length) {
                assert!((given - length).abs() < SOLVER, "{key} of {record}");
            }
        }
    }
}
