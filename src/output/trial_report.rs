//! The part of the report that speaks of a trial fit.

use serde::Serialize;

use super::facet_report::Settings;
use crate::plan::{Guess, OtherEnd, PutRight, TrialPlan};

#[derive(Serialize)]
pub(super) struct TrialReport {
    explained_by: Vec<Off>,
    unexplained_mm: f64,
    alternatives: Vec<Alternative>,
    #[serde(skip_serializing_if = "Option::is_none")]
    decided_by: Option<Decided>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_strays: Option<Strays>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sawn_flat: Option<SawnFlat>,
    read_within_mm: f64,
    gap_limit_mm: f64,
    readings: Vec<Reading>,
    gap: Vec<[f64; 2]>,
    /// Of an end that was cut to leave a gap: what there is beyond that.
    #[serde(skip_serializing_if = "Option::is_none")]
    gap_beyond: Option<Vec<[f64; 2]>>,
    stands_in_mm: f64,
    without_grinding: Vec<Way>,
    in_doubt_mm: f64,
    is_sure: bool,
    grind: Vec<[f64; 2]>,
    moves_in_mm: f64,
    length_lost_mm: f64,
    gap_after: Vec<[f64; 2]>,
    largest_gap_after_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    other_end: Option<OtherEndReport>,
    new_edge: Vec<Ordinate>,
}

/// How an end was sawn flat, and what that leaves with nothing off.
#[derive(Serialize)]
struct SawnFlat {
    #[serde(flatten)]
    settings: Settings,
    rounded_mm: f64,
    leaves_mm: f64,
    at_deg: f64,
}

fn sawn_flat(plan: &TrialPlan) -> Option<SawnFlat> {
    let (cuts, left) = (plan.asked.offered.flat.as_ref()?, plan.flat.as_ref()?);
    Some(SawnFlat {
        settings: Settings::of(&left.recipe),
        rounded_mm: cuts.rounded_mm,
        leaves_mm: left.leaves_mm,
        at_deg: left.at_deg,
    })
}

/// After grinding, or a way to put it right.
#[derive(Serialize)]
struct OtherEndReport {
    moves_along_mm: f64,
    moves_along_within_mm: f64,
    moves_aside_mm: f64,
    moves_aside_within_mm: f64,
    largest_gap_mm: Option<f64>,
    largest_gap_within_mm: Option<f64>,
    overlap_mm: Option<f64>,
    overlap_within_mm: Option<f64>,
    is_within: Option<bool>,
    is_sure: Option<bool>,
}

impl OtherEndReport {
    fn new(other: &OtherEnd) -> Self {
        Self {
            moves_along_mm: other.along_mm,
            moves_along_within_mm: other.along_within_mm,
            moves_aside_mm: other.aside_mm,
            moves_aside_within_mm: other.aside_within_mm,
            largest_gap_mm: other.stands.and_then(|stands| stands.largest_gap_mm),
            largest_gap_within_mm: (other.stands.map(|stands| stands.gap_within_mm))
                .filter(|within| within.is_finite()),
            overlap_mm: other.stands.map(|stands| stands.overlap_mm),
            overlap_within_mm: (other.stands.map(|stands| stands.overlap_within_mm))
                .filter(|within| within.is_finite()),
            is_within: other.stands.map(|stands| stands.is_within),
            is_sure: other.stands.map(|stands| stands.is_sure),
        }
    }
}

#[derive(Serialize)]
struct Off {
    what: &'static str,
    unit: &'static str,
    asked: f64,
    is: f64,
    within: f64,
}

#[derive(Serialize)]
struct Alternative {
    explained_by: Vec<Off>,
    chi_squared: f64,
}

#[derive(Serialize)]
struct Decided {
    azimuth_deg: f64,
    /// By the best guess first.
    gaps_mm: Vec<f64>,
    is_told: bool,
}

#[derive(Serialize)]
struct Strays {
    azimuth_deg: f64,
    by_mm: f64,
    rest_is_explained: bool,
    or_azimuths_deg: Vec<f64>,
}

#[derive(Serialize)]
struct Reading {
    azimuth_deg: f64,
    gap_mm: f64,
    explained_mm: f64,
}

#[derive(Serialize)]
struct Way {
    changes: Vec<Change>,
    largest_gap_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    other_end: Option<OtherEndReport>,
}

#[derive(Serialize)]
struct Change {
    what: &'static str,
    by: f64,
}

#[derive(Serialize)]
struct Ordinate {
    station: usize,
    azimuth_deg: f64,
    from_base_mm: f64,
}

impl TrialReport {
    pub(super) fn new(plan: &TrialPlan) -> Self {
        let grind = &plan.grind;
        let readings = plan.asked.readings.iter().enumerate();
        Self {
            // What strays is explained by nothing.
            explained_by: if plan.stray.is_some() {
                Vec::new()
            } else {
                off(plan, &plan.guess)
            },
            unexplained_mm: plan.unexplained().0,
            alternatives: alternatives(plan).collect(),
            decided_by: plan.deciding.as_ref().map(|deciding| Decided {
                azimuth_deg: deciding.azimuth_deg,
                gaps_mm: deciding.gaps_mm.clone(),
                is_told: deciding.is_told,
            }),
            cut_strays: strays(plan),
            sawn_flat: sawn_flat(plan),
            read_within_mm: plan.asked.read_within_mm,
            gap_limit_mm: plan.asked.gap_limit_mm,
            readings: readings
                .map(|(index, reading)| Reading {
                    azimuth_deg: reading.azimuth_deg,
                    gap_mm: reading.gap_mm,
                    explained_mm: plan.explained_mm(index),
                })
                .collect(),
            gap: by_degree(&plan.gap_mm),
            gap_beyond: plan.leaves_a_gap.then(|| by_degree(&plan.beyond_mm)),
            stands_in_mm: plan.is_in_mm,
            without_grinding: plan.ways.iter().map(Way::new).collect(),
            in_doubt_mm: grind.doubt_mm,
            is_sure: grind.is_sure,
            grind: by_degree(&grind.depths_mm),
            moves_in_mm: plan.goes_in_mm,
            length_lost_mm: grind.length_lost_mm,
            gap_after: by_degree(&grind.left_mm),
            largest_gap_after_mm: grind.largest_left_mm,
            other_end: plan.other_end.as_ref().map(OtherEndReport::new),
            new_edge: new_edge(plan).collect(),
        }
    }
}

fn alternatives(plan: &TrialPlan) -> impl Iterator<Item = Alternative> {
    plan.others.iter().map(|guess| Alternative {
        explained_by: off(plan, guess),
        chi_squared: guess.chi_squared,
    })
}

fn strays(plan: &TrialPlan) -> Option<Strays> {
    let azimuth_deg = |reading: usize| plan.asked.readings[reading].azimuth_deg;
    plan.stray.as_ref().map(|stray| Strays {
        azimuth_deg: azimuth_deg(stray.reading),
        by_mm: stray.by_mm,
        rest_is_explained: stray.is_alone,
        or_azimuths_deg: stray.or_readings.iter().map(|index| azimuth_deg(*index)).collect(),
    })
}

fn new_edge(plan: &TrialPlan) -> impl Iterator<Item = Ordinate> {
    plan.grind.marks.stations.iter().map(|station| Ordinate {
        station: station.number,
        azimuth_deg: station.azimuth_deg,
        from_base_mm: station.from_base_mm,
    })
}

impl Way {
    fn new(way: &PutRight) -> Self {
        let change = |(thing, by): &(crate::job::Thing, f64)| Change {
            what: thing.word(),
            by: *by,
        };
        Self {
            changes: way.changes.iter().map(change).collect(),
            largest_gap_mm: way.largest_mm,
            other_end: way.other_end.as_ref().map(OtherEndReport::new),
        }
    }
}

fn off(plan: &TrialPlan, guess: &Guess) -> Vec<Off> {
    let pairs = guess.things.iter().zip(&guess.within);
    pairs
        .map(|(thing, within)| {
            let [asked, is] = plan.asked_and_is(guess, *thing);
            Off {
                what: thing.word(),
                unit: if thing.is_in_degrees() { "deg" } else { "mm" },
                asked,
                is,
                within: *within,
            }
        })
        .collect()
}

fn by_degree(values: &[f64]) -> Vec<[f64; 2]> {
    values
        .iter()
        .enumerate()
        .map(|(degree, value)| [degree as f64, *value])
        .collect()
}
