//! The part of the report that speaks of a faceted end.

use serde_json::{Value, json};

use super::json::{by_degree, joined, without_empty};
use crate::plan::{FacetStudy, Gap, Outcome, Recipe, Round, TakeOff};

pub(super) fn facet_report(study: &FacetStudy) -> Value {
    let of = |outcome: &Outcome| entry(&outcome.recipe, &outcome.gap, None);
    let rounded = &study.rounded;
    let report = json!({
        "as_cut": of(&study.as_cut),
        "rounded": entry(&study.as_cut.recipe, &rounded.gap, Some(rounded)),
        "best": of(&study.best),
        "best_single": study.best_single.as_ref().map(of),
        "more_cuts": study.more_cuts.iter().map(of).collect::<Value>(),
        "true_depth_mm": study.true_depth_mm,
        "push_in_to_limit_mm": study.push_in_to_limit,
        "without_saw_limit": study.unlimited.as_ref().map(of),
    });
    without_empty(["best_single", "without_saw_limit"], report)
}

/// How an end is sawn: `scribe_mm` of the first cut of the front, or of the back where that has none; every cut where they
/// are not one a side on one line.
pub(super) fn settings(recipe: &Recipe) -> Value {
    let (front, back) = (recipe.front.first(), recipe.back.first());
    let is_pair = recipe.front.len() == 1 && recipe.back.len() == 1 && front.map(|cut| cut.0) == back.map(|cut| cut.0);
    let sides = [("front", &recipe.front), ("back", &recipe.back)];
    let cuts = sides.into_iter().filter(|_| !is_pair).flat_map(|(side, cuts)| {
        let cut = move |(scribe, saw): &(f64, f64)| json!({ "side": side, "scribe_mm": scribe, "saw_deg": saw });
        cuts.iter().map(cut)
    });
    let settings = json!({
        "scribe_mm": front.or(back).map(|cut| cut.0),
        "saw_front_deg": front.map(|cut| cut.1),
        "saw_back_deg": back.map(|cut| cut.1),
        "cuts": cuts.collect::<Value>(),
    });
    without_empty(["cuts"], settings)
}

fn entry(recipe: &Recipe, gap: &Gap, rounded: Option<&Round>) -> Value {
    let found = json!({
        "largest_gap_mm": gap.largest,
        "at_deg": gap.at_deg,
        "mean_gap_mm": gap.mean,
        "share_within_limit": gap.share_within,
        "weld_volume_mm3": gap.volume,
    });
    let off = rounded.map(|rounded| {
        json!({
            "push_in_mm": rounded.push_in,
            "take_off": rounded.take_off.iter().map(stretch).collect::<Value>(),
        })
    });
    let profile = json!({ "profile": by_degree(&gap.profile) });
    joined([settings(recipe), found, off.into(), profile])
}

fn stretch(part: &TakeOff) -> Value {
    json!({
        "from_deg": part.azimuths_deg.start,
        "to_deg": part.azimuths_deg.end,
        "deepest_mm": part.deepest,
        "deepest_at_deg": part.deepest_at_deg,
    })
}
