//! The part of the report that speaks of a trial fit.

use serde_json::{Value, json};

use super::facet_report::settings;
use super::json::{by_degree, joined, without_empty};
use crate::plan::{Guess, OtherEnd, PutRight, TrialPlan};

pub(super) fn trial_report(plan: &TrialPlan) -> Value {
    let (asked, grind) = (&plan.asked, &plan.grind);
    // What strays is explained by nothing.
    let explained_by = if plan.stray.is_some() {
        json!([])
    } else {
        off(plan, &plan.guess)
    };
    let report = json!({
        "explained_by": explained_by,
        "unexplained_mm": plan.unexplained().0,
        "alternatives": plan.others.iter().map(|guess| alternative(plan, guess)).collect::<Value>(),
        "decided_by": decided_by(plan),
        "cut_strays": strays(plan),
        "sawn_flat": sawn_flat(plan),
        "read_within_mm": asked.read_within_mm,
        "gap_limit_mm": asked.gap_limit_mm,
        "readings": readings(plan),
        "gap": by_degree(&plan.gap_mm),
        "gap_beyond": plan.leaves_a_gap.then(|| by_degree(&plan.beyond_mm)),
        "stands_in_mm": plan.is_in_mm,
        "without_grinding": plan.ways.iter().map(way).collect::<Value>(),
        "in_doubt_mm": grind.doubt_mm,
        "is_sure": grind.is_sure,
        "grind": by_degree(&grind.depths_mm),
        "moves_in_mm": plan.goes_in_mm,
        "length_lost_mm": grind.length_lost_mm,
        "gap_after": by_degree(&grind.left_mm),
        "largest_gap_after_mm": grind.largest_left_mm,
        "other_end": plan.other_end.as_ref().map(other_end),
        "new_edge": new_edge(plan),
    });
    let optional = ["decided_by", "cut_strays", "sawn_flat", "gap_beyond", "other_end"];
    without_empty(optional, report)
}

/// What is off by a guess.
fn off(plan: &TrialPlan, guess: &Guess) -> Value {
    let pairs = guess.things.iter().zip(&guess.within);
    let off = pairs.map(|(thing, within)| {
        let [asked, is] = plan.asked_and_is(guess, *thing);
        let unit = if thing.is_in_degrees() { "deg" } else { "mm" };
        json!({ "what": thing.word(), "unit": unit, "asked": asked, "is": is, "within": within })
    });
    off.collect()
}

fn alternative(plan: &TrialPlan, guess: &Guess) -> Value {
    json!({ "explained_by": off(plan, guess), "chi_squared": guess.chi_squared })
}

/// The gaps are by the best guess first.
fn decided_by(plan: &TrialPlan) -> Option<Value> {
    let deciding = plan.deciding.as_ref()?;
    Some(json!({
        "azimuth_deg": deciding.azimuth_deg,
        "gaps_mm": deciding.gaps_mm,
        "is_told": deciding.is_told,
    }))
}

fn strays(plan: &TrialPlan) -> Option<Value> {
    let stray = plan.stray.as_ref()?;
    let azimuth_deg = |reading: usize| plan.asked.readings[reading].azimuth_deg;
    Some(json!({
        "azimuth_deg": azimuth_deg(stray.reading),
        "by_mm": stray.by_mm,
        "rest_is_explained": stray.is_alone,
        "or_azimuths_deg": stray.or_readings.iter().map(|index| azimuth_deg(*index)).collect::<Value>(),
    }))
}

/// How an end was sawn flat, and what that leaves with nothing off.
fn sawn_flat(plan: &TrialPlan) -> Option<Value> {
    let (cuts, left) = (plan.asked.offered.flat.as_ref()?, plan.flat.as_ref()?);
    let left_over = json!({ "rounded_mm": cuts.rounded_mm, "leaves_mm": left.leaves_mm, "at_deg": left.at_deg });
    Some(joined([settings(&left.recipe), left_over]))
}

fn readings(plan: &TrialPlan) -> Value {
    let readings = plan.asked.readings.iter().enumerate();
    let readings = readings.map(|(index, reading)| {
        json!({
            "azimuth_deg": reading.azimuth_deg,
            "gap_mm": reading.gap_mm,
            "explained_mm": plan.explained_mm(index),
        })
    });
    readings.collect()
}

fn way(way: &PutRight) -> Value {
    let changes = way.changes.iter();
    let report = json!({
        "changes": changes.map(|(thing, by)| json!({ "what": thing.word(), "by": by })).collect::<Value>(),
        "largest_gap_mm": way.largest_mm,
        "other_end": way.other_end.as_ref().map(other_end),
    });
    without_empty(["other_end"], report)
}

/// After grinding, or a way to put it right. What is infinite is null.
fn other_end(other: &OtherEnd) -> Value {
    let stands = other.stands;
    json!({
        "moves_along_mm": other.along_mm,
        "moves_along_within_mm": other.along_within_mm,
        "moves_aside_mm": other.aside_mm,
        "moves_aside_within_mm": other.aside_within_mm,
        "largest_gap_mm": stands.and_then(|stands| stands.largest_gap_mm),
        "largest_gap_within_mm": stands.map(|stands| stands.gap_within_mm),
        "overlap_mm": stands.map(|stands| stands.overlap_mm),
        "overlap_within_mm": stands.map(|stands| stands.overlap_within_mm),
        "is_within": stands.map(|stands| stands.is_within),
        "is_sure": stands.map(|stands| stands.is_sure),
    })
}

fn new_edge(plan: &TrialPlan) -> Value {
    let edge = plan.grind.marks.stations.iter().map(|station| {
        json!({
            "station": station.number,
            "azimuth_deg": station.azimuth_deg,
            "from_base_mm": station.from_base_mm,
        })
    });
    edge.collect()
}
