//! What must be true of every solved cut, tried on random joints over the whole range.
//!
//! `PROPTEST_CASES=100000 cargo test --test properties` tries harder; the other properties are in the
//! files beside this one: fitted curves, holes, words.

mod joints;
mod trying;

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use girthline::body::Plane;
use girthline::job::{End, Frame, Header, Join, Saddle, Touch, Tube};
use girthline::measure::SAME_MM;
use girthline::solver::{cut_at, solve_end};
use joints::{
    from_branch, from_header, joints, landing, on_skin, one_skin_joints, place, round, set_in_joints, solved_within,
    touching,
};
use kurbo::Shape;
use proptest::prelude::*;
use trying::{SOLVER, tried};

/// Failing joints.
const KEPT: &str = "tests/properties.regressions";

fn height(end: &End, a: f64) -> f64 {
    cut_at(end, a).map_or(f64::NAN, |cut| cut.t)
}

proptest! {
    #![proptest_config(tried(2000, KEPT))]

    #[test]
    fn every_cut_point_lies_on_tube_and_body(joint in joints()) {
        let end = joint.end();
        let (low, high) = touching(&joint);
        for a in round(36) {
            let cut = cut_at(&end, a).ok_or_else(|| TestCaseError::fail(format!("no cut at {a}")))?;
            prop_assert!((low..=high).contains(&cut.radius), "{cut:?}");
            let point = place(&joint, cut.radius, a, cut.t);
            prop_assert!((from_branch(&joint, point) - cut.radius).abs() < SOLVER);
            prop_assert!((from_header(point) - landing(&joint)).abs() < SOLVER, "{a}: {point:?}");
            // On the near side of the header.
            prop_assert!(point[2] > -SOLVER, "{a}: {point:?}");
        }
    }

    #[test]
    fn no_part_of_the_wall_reaches_past_the_cut_and_one_reaches_it(joint in joints()) {
        let (end, skin) = (joint.end(), landing(&joint));
        let (low, high) = touching(&joint);
        for a in round(36) {
            let t = height(&end, a);
            let reach = |rho: f64| on_skin(&joint, skin, rho, a);
            for step in 0..=40 {
                let rho = low + (high - low) * f64::from(step) / 40.0;
                let past = reach(rho) - t;
                prop_assert!(past <= solved_within(&joint, rho, a), "at {a} and {rho}: past by {past}");
            }
            let (first, rho) = first_part(reach, low, high);
            prop_assert!(first >= t - solved_within(&joint, rho, a), "at {a}: {first} short of {t}");
        }
    }

    #[test]
    fn a_wall_past_its_headers_side_by_a_hair_grazes_it_or_is_refused(
        (radius, room, angle) in (1.5..1000.0_f64, prop_oneof![Just(0.0), 0.001..500.0_f64], 10.0..=90.0_f64),
        (hair, turn) in (-10.0..-3.0_f64, 0.0..TAU),
    ) {
        let hair = 10_f64.powf(hair);
        let joint = Saddle {
            branch: Tube::round(2.0 * radius, radius / 10.0),
            header: Header { od_mm: 2.0 * (radius + room), wall_mm: None, name: None },
            turned_deg: turn.to_degrees(),
            angle_deg: angle,
            offset_mm: room + hair,
            touch: Touch::Wall,
            join: Join::SetOn,
            clearance_mm: 0.0,
            root_gap_mm: 0.0,
        };
        let end = joint.end();
        match solve_end(&end, radius, 0.0) {
            Ok(curve) => {
                prop_assert!(hair < 1.001 * SAME_MM, "past by {hair}");
                let reach = 20.0 * (radius + room);
                prop_assert!(curve.lowest.0.abs() < reach && curve.highest.0.abs() < reach, "{curve:?}");
                let drawn = curve.path.bounding_box();
                prop_assert!(drawn.y0 > curve.lowest.0 - 0.01 && drawn.y1 < curve.highest.0 + 0.01, "{drawn:?}");
                for a in round(72) {
                    prop_assert!(cut_at(&end, a).is_some_and(|cut| cut.t.is_finite()), "no cut at {a}");
                }
            }
            Err(problem) => {
                prop_assert!(hair > 0.999 * SAME_MM, "{hair}: {problem}");
                prop_assert!(problem.to_string().contains("passes beside what it lands on"), "{problem}");
                let tell = |mm: f64| format!("{mm} mm");
                let said = problem.figures.unwrap_or_default().told(tell, tell);
                let by = said.split(", by ").nth(1).and_then(|by| by.strip_suffix(" mm")?.parse::<f64>().ok());
                // Not always at the place that is farthest off.
                prop_assert!(by.is_some_and(|by| 0.0 < by && by < 1.06 * hair), "{said} for {hair}");
            }
        }
    }

    #[test]
    fn moving_the_offset_to_the_other_side_mirrors_the_wrap(joint in joints()) {
        let here = joint.end();
        let there = Saddle { offset_mm: -joint.offset_mm, ..joint.clone() }.end();
        for a in round(36) {
            let (one, other) = (cut_at(&here, a), cut_at(&there, -a));
            let (one, other) = one.zip(other).ok_or_else(|| TestCaseError::fail("no cut"))?;
            prop_assert!((one.t - other.t).abs() < SOLVER, "at {a}: {} and {}", one.t, other.t);
        }
    }

    #[test]
    fn a_set_in_end_is_a_set_on_end_on_the_inner_skin(joint in set_in_joints()) {
        let inner = Saddle {
            header: Header { od_mm: 2.0 * landing(&joint), wall_mm: None, name: None },
            join: Join::SetOn,
            ..joint.clone()
        };
        let (set_in, set_on) = (joint.end(), inner.end());
        for a in round(36) {
            let (one, other) = (height(&set_in, a), height(&set_on, a));
            prop_assert!((one - other).abs() < SOLVER, "at {a}: {one} and {other}");
        }
    }

    #[test]
    fn a_header_without_end_gives_the_cut_on_a_plane(joint in one_skin_joints(), power in 4.0..8.0) {
        // R - sqrt(R^2 - x^2) lies between x^2 / 2R and that times 1 + (x / R)^2: the error is x^2 / (2 R sin A).
        let skin = 10_f64.powf(power);
        let rho = touching(&joint).0;
        let joint = Saddle {
            header: Header { od_mm: 2.0 * skin, wall_mm: None, name: None },
            join: Join::SetOn,
            ..joint
        };
        let (round_end, flat_end) = (joint.end(), on_plane(&joint));
        let (sin, tan) = (joint.angle_deg.to_radians().sin(), joint.angle_deg.to_radians().tan());
        for a in round(36) {
            let flat = rho * a.cos() / tan;
            // On a plane the long side is in front: there the branch's back is.
            prop_assert!((height(&flat_end, a + PI) - flat).abs() < SOLVER);
            let short = flat - (height(&round_end, a) - skin / sin);
            let x = joint.offset_mm + rho * a.sin();
            let expected = x * x / (2.0 * skin * sin);
            let more = expected * (x / skin).powi(2);
            let is_expected = (expected - SOLVER..=expected + more + SOLVER).contains(&short);
            prop_assert!(is_expected, "at {a}: {short} for {expected}");
        }
    }
}

/// The greatest reach of the wall between two radii, and the radius that has it, sampled ever finer.
fn first_part(reach: impl Fn(f64) -> f64, low: f64, high: f64) -> (f64, f64) {
    let (mut from, mut to) = (low, high);
    let mut best = (f64::MIN, low);
    for _ in 0..4 {
        let step = (to - from) / 40.0;
        for part in 0..=40 {
            let rho = from + step * f64::from(part);
            if reach(rho) > best.0 {
                best = (reach(rho), rho);
            }
        }
        (from, to) = ((best.1 - step).max(low), (best.1 + step).min(high));
    }
    best
}

/// The same branch on a plate.
fn on_plane(joint: &Saddle) -> End {
    End {
        frame: Frame::miter(FRAC_PI_2 - joint.angle_deg.to_radians()),
        landing: std::sync::Arc::new(Plane),
        weld_skin: std::sync::Arc::new(Plane),
        is_mirrored: false,
        root_gap_mm: 0.0,
        ..joint.end()
    }
}
