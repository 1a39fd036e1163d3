//! Chop-saw facets against dense search in another language (`tests/reference/joints.py` and `cuts.py`) and facts of the trade.

use girthline::job::{End, Header, Join, Saddle, Touch, Tube};
use girthline::solver::{Recipe, best_cuts, best_recipe, best_single, gap, true_depth};
use serde_json::Value;

/// Default gap limit in millimetres (ESAB MIG Handbook 8.4: root gap to 1/32 in on plate to 3/16 in).
const LIMIT: f64 = 0.8;

fn end(branch: (f64, f64), header_od: f64, angle_deg: f64) -> End {
    let saddle = Saddle {
        branch: Tube::round(branch.0, branch.1),
        header: Header {
            od_mm: header_od,
            wall_mm: None,
            name: None,
        },
        turned_deg: 0.0,
        angle_deg,
        offset_mm: 0.0,
        touch: Touch::Wall,
        join: Join::SetOn,
        clearance_mm: 0.0,
        root_gap_mm: 0.0,
    };
    saddle.end()
}

fn leaves(end: &End, angle_deg: f64, recipe: &Recipe) -> f64 {
    gap(end, &recipe.end(end.tube.radius(), angle_deg.to_radians()), LIMIT)
        .expect("a gap")
        .largest
}

fn records() -> Vec<Value> {
    let checks: Value = serde_json::from_str(include_str!("../shared/checks/facets.json")).expect("JSON");
    checks["facets"].as_array().expect("a list").clone()
}

fn number(record: &Value, key: &str) -> f64 {
    record[key].as_f64().unwrap_or_else(|| panic!("{key} of {record}"))
}

fn joint(record: &Value) -> (End, f64) {
    let angle = number(record, "angle");
    (
        end(
            (number(record, "branch_od"), number(record, "branch_wall")),
            number(record, "header_od"),
            angle,
        ),
        angle,
    )
}

#[test]
fn the_gap_as_cut_agrees_with_dense_search() {
    for record in records() {
        let (end, angle) = joint(&record);
        let recipe = Recipe::pair(
            number(&record, "scribe"),
            number(&record, "saw_front"),
            number(&record, "saw_back"),
        );
        let gap = gap(
            &end,
            &recipe.end(end.tube.radius(), angle.to_radians()),
            number(&record, "limit_mm"),
        )
        .expect("a gap");
        assert!(
            (gap.largest - number(&record, "largest_gap")).abs() < 1e-4,
            "{} against {record}",
            gap.largest
        );
        assert!(
            (gap.mean - number(&record, "mean_gap")).abs() < 1e-3,
            "{} against {record}",
            gap.mean
        );
        assert!(
            (gap.share_within - number(&record, "share")).abs() < 1e-3,
            "{} against {record}",
            gap.share_within
        );
        let mut peaks: Vec<f64> = vec![number(&record, "at_deg")];
        peaks.extend(
            record["also_at"]
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(Value::as_f64),
        );
        let folded = if gap.at_deg > 180.0 {
            360.0 - gap.at_deg
        } else {
            gap.at_deg
        };
        assert!(
            peaks.iter().any(|peak| (peak - folded).abs() < 0.3),
            "{folded} against {record}"
        );
    }
}

#[test]
fn the_best_recipe_is_within_2_percent_of_a_global_search() {
    for record in records() {
        let (end, angle) = joint(&record);
        for (key, limit) in [("best", 80.0), ("best_45", 45.0)] {
            if record[key].is_null() {
                continue;
            }
            let best = number(&record[key], "largest_gap");
            let recipe = best_recipe(&end, angle.to_radians(), limit);
            let left = leaves(&end, angle, &recipe);
            println!("{} {key}: {left:.5} against {best:.5} {recipe:?}", record["angle"]);
            assert!(left <= 1.02 * best + 0.01, "{left} with {recipe:?} against {record}");
            assert!(
                left >= best - 2e-4,
                "the other search is beaten by far: {left} with {recipe:?} against {record}"
            );
            assert!(recipe.front[0].1 <= limit && recipe.back[0].1 <= limit);
        }
    }
}

#[test]
fn several_cuts_are_within_2_percent_of_a_global_search_on_random_joints() {
    let checks: Value = serde_json::from_str(include_str!("../shared/checks/facet_cuts.json")).expect("JSON");
    let (mut worst, mut searched) = (f64::MIN, 0);
    for record in checks["facet_cuts"].as_array().expect("a list") {
        let (end, angle) = joint(record);
        let limit = number(record, "saw_limit");
        for best in record["best"].as_array().expect("a list") {
            let count = best["cuts"].as_u64().expect("a number") as usize;
            let recipe = best_cuts(&end, angle.to_radians(), limit, count);
            let (left, found) = (leaves(&end, angle, &recipe), number(best, "largest_gap"));
            let cuts: Vec<&(f64, f64)> = recipe.front.iter().chain(&recipe.back).collect();
            assert!(cuts.len() <= count && cuts.iter().all(|cut| cut.0 >= 0.0 && (0.0..=limit).contains(&cut.1)));
            assert!(
                left <= 1.02 * found + 0.01,
                "{count} cuts leave {left} with {recipe:?} against {record}"
            );
            (worst, searched) = (worst.max(left / found - 1.0), searched + 1);
        }
    }
    println!(
        "{searched} searches, at worst {:.3} % over the other search",
        100.0 * worst
    );
    assert_eq!(searched, 84);
}

#[test]
fn cuts_on_the_front_alone_follow_a_header_that_is_far_larger() {
    // Two cuts of the front that take the first cut away leave 0.123 mm when set by hand.
    let end = end((48.3, 2.0), 1200.0, 60.0);
    let by_hand = Recipe {
        front: vec![(1.06, 30.9), (0.0, 29.04)],
        back: Vec::new(),
    };
    let by_hand = leaves(&end, 60.0, &by_hand);
    assert!((by_hand - 0.123).abs() < 0.001, "{by_hand}");
    let two = best_cuts(&end, 60f64.to_radians(), 45.0, 2);
    assert!(two.back.is_empty() && leaves(&end, 60.0, &two) <= by_hand, "{two:?}");
}

#[test]
fn the_rule_of_one_third_and_45_degrees() {
    // Common practice: scribe at one third of the diameter, two 45-degree cuts. The gaps are regression values.
    let square = end((48.26, 1.65), 48.26, 90.0);
    let rule = Recipe::pair(48.26 / 3.0, 45.0, 45.0);
    assert!((leaves(&square, 90.0, &rule) - 3.13).abs() < 0.005);
    assert!((true_depth(&square, 90f64.to_radians()).expect("a depth") - 15.36).abs() < 0.005);
    let single = best_single(&square, 90f64.to_radians(), 45.0);
    assert!((leaves(&square, 90.0, &single) - 0.99).abs() < 0.01, "{single:?}");
    assert_eq!(single.front, single.back);
    // At another angle, and on a drum, it does not hold.
    let slanted = end((48.26, 1.65), 48.26, 67.5);
    assert!((leaves(&slanted, 67.5, &rule) - 10.72).abs() < 0.01);
    let drum = end((48.26, 1.65), 572.0, 90.0);
    assert!((leaves(&drum, 90.0, &rule) - 13.7).abs() < 0.05);
}

#[test]
fn more_cuts_leave_less() {
    for (header, angle) in [(48.26, 90.0), (60.3, 90.0), (60.3, 70.0)] {
        let end = end((48.26, 1.65), header, angle);
        let radians = f64::to_radians(angle);
        let two = leaves(&end, angle, &best_recipe(&end, radians, 80.0));
        let four = leaves(&end, angle, &best_cuts(&end, radians, 80.0, 4));
        let six = leaves(&end, angle, &best_cuts(&end, radians, 80.0, 6));
        println!("{header} at {angle}: {two:.3} {four:.3} {six:.3}");
        assert!(four < 0.6 * two && six <= four + 1e-3, "{two} {four} {six}");
        // Over a smooth curve the gap falls about with the square of the number of chords.
        assert!(angle < 90.0 || six < 0.6 * four, "{four} {six}");
    }
}

#[test]
fn thin_equal_tubes_are_met_exactly_by_the_half_angles() {
    // Kittredge, The New Metal Worker Pattern Book, problems 47 and 54: saw_front 90 - A/2, saw_back A/2. The planes
    // pass the work point, so that their lines are scribed r / sin A back.
    for angle in [45.0, 60.0, 90.0] {
        let end = end((50.0, 0.0), 50.0, angle);
        let exact = Recipe::pair(25.0 / f64::to_radians(angle).sin(), 90.0 - angle / 2.0, angle / 2.0);
        assert!(
            leaves(&end, angle, &exact) < 1e-6,
            "{angle}: {}",
            leaves(&end, angle, &exact)
        );
    }
}
