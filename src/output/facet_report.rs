//! The part of the report that speaks of a faceted end.

use serde::Serialize;

use crate::plan::{FacetStudy, Gap, Outcome, Recipe, TakeOff};

#[derive(Serialize)]
pub(super) struct FacetReport {
    as_cut: Entry,
    rounded: Entry,
    best: Entry,
    #[serde(skip_serializing_if = "Option::is_none")]
    best_single: Option<Entry>,
    more_cuts: Vec<Entry>,
    true_depth_mm: f64,
    push_in_to_limit_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    without_saw_limit: Option<Entry>,
}

/// How an end is sawn.
#[derive(Serialize)]
pub(super) struct Settings {
    /// Of the first cut of the front, or of the back where that has none.
    scribe_mm: Option<f64>,
    /// `None` where the side has no cut.
    saw_front_deg: Option<f64>,
    saw_back_deg: Option<f64>,
    /// Every cut, where they are not one a side.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cuts: Vec<Cut>,
}

#[derive(Serialize)]
struct Entry {
    #[serde(flatten)]
    settings: Settings,
    largest_gap_mm: f64,
    at_deg: f64,
    mean_gap_mm: f64,
    share_within_limit: f64,
    weld_volume_mm3: f64,
    /// For a rounded end.
    #[serde(skip_serializing_if = "Option::is_none")]
    push_in_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    take_off: Option<Vec<Stretch>>,
    profile: Vec<[f64; 2]>,
}

#[derive(Serialize)]
struct Cut {
    side: &'static str,
    scribe_mm: f64,
    saw_deg: f64,
}

#[derive(Serialize)]
struct Stretch {
    from_deg: f64,
    to_deg: f64,
    deepest_mm: f64,
    deepest_at_deg: f64,
}

impl FacetReport {
    pub(super) fn new(study: &FacetStudy) -> Self {
        let rounded = Entry {
            push_in_mm: Some(study.rounded.push_in),
            take_off: Some(study.rounded.take_off.iter().map(Stretch::new).collect()),
            ..entry(&study.as_cut.recipe, &study.rounded.gap)
        };
        let of = |outcome: &Outcome| entry(&outcome.recipe, &outcome.gap);
        Self {
            as_cut: of(&study.as_cut),
            rounded,
            best: of(&study.best),
            best_single: study.best_single.as_ref().map(of),
            more_cuts: study.more_cuts.iter().map(of).collect(),
            true_depth_mm: study.true_depth_mm,
            push_in_to_limit_mm: study.push_in_to_limit,
            without_saw_limit: study.unlimited.as_ref().map(of),
        }
    }
}

impl Settings {
    pub(super) fn of(recipe: &Recipe) -> Self {
        let (front, back) = (recipe.front.first(), recipe.back.first());
        let side = |side: &'static str, cuts: &[(f64, f64)]| -> Vec<Cut> {
            cuts.iter()
                .map(|&(scribe_mm, saw_deg)| Cut {
                    side,
                    scribe_mm,
                    saw_deg,
                })
                .collect()
        };
        let mut cuts = Vec::new();
        if recipe.front.len() != 1 || recipe.back.len() != 1 || front.map(|cut| cut.0) != back.map(|cut| cut.0) {
            cuts.extend(side("front", &recipe.front));
            cuts.extend(side("back", &recipe.back));
        }
        Self {
            scribe_mm: front.or(back).map(|cut| cut.0),
            saw_front_deg: front.map(|cut| cut.1),
            saw_back_deg: back.map(|cut| cut.1),
            cuts,
        }
    }
}

fn entry(recipe: &Recipe, gap: &Gap) -> Entry {
    Entry {
        settings: Settings::of(recipe),
        largest_gap_mm: gap.largest,
        at_deg: gap.at_deg,
        mean_gap_mm: gap.mean,
        share_within_limit: gap.share_within,
        weld_volume_mm3: gap.volume,
        push_in_mm: None,
        take_off: None,
        profile: gap
            .profile
            .iter()
            .enumerate()
            .map(|(degree, gap)| [degree as f64, *gap])
            .collect(),
    }
}

impl Stretch {
    fn new(part: &TakeOff) -> Self {
        Self {
            from_deg: part.azimuths_deg.start,
            to_deg: part.azimuths_deg.end,
            deepest_mm: part.deepest,
            deepest_at_deg: part.deepest_at_deg,
        }
    }
}
