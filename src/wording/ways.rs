//! The ways to make an end with flat saw cuts, each with what it leaves: for those who choose one.

use super::facets::outcomes;
use super::saw::saw_both_ways;
use crate::measure::{Units, decimals};
use crate::plan::FacetsPlan;

/// A way to cut the end.
pub struct Way {
    /// `best`, `up to 4 cuts`.
    pub name: String,
    /// The largest gap that it leaves.
    pub gap: String,
    /// How much of the girth can be welded as it is.
    pub within: String,
    /// Each cut: its side, the line to scribe, and the saw's setting both ways.
    pub cuts: Vec<String>,
    /// Scribe depth in millimetres and saw angles in degrees, where it is one cut on either side on one line and not what
    /// was asked for.
    pub pair: Option<(f64, f64, f64)>,
}

/// As asked for, rounded, and the better ones.
pub fn ways(plan: &FacetsPlan, units: Units) -> Vec<Way> {
    let limit = units.show_within(plan.asked.gap_limit_mm);
    let outcomes = outcomes(&plan.study).into_iter();
    outcomes
        .map(|(name, outcome)| {
            let recipe = &outcome.recipe;
            let pair = match (recipe.front.as_slice(), recipe.back.as_slice()) {
                (&[front], &[back]) if front.0 == back.0 && *recipe != plan.study.as_cut.recipe => {
                    Some((front.0, front.1, back.1))
                }
                _ => None,
            };
            Way {
                gap: units.show(outcome.gap.largest),
                within: format!(
                    "{} % of the girth within {limit}",
                    decimals(100.0 * outcome.gap.share_within, 0)
                ),
                cuts: side_words("front", &recipe.front, units)
                    .chain(side_words("back", &recipe.back, units))
                    .collect(),
                pair,
                name,
            }
        })
        .collect()
}

fn side_words<'a>(side: &'a str, cuts: &'a [(f64, f64)], units: Units) -> impl Iterator<Item = String> + 'a {
    cuts.iter()
        .map(move |(scribe, saw)| format!("{side}: scribe {}, saw {}", units.show(*scribe), saw_both_ways(*saw)))
}
