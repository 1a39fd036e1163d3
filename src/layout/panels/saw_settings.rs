//! The tables of a faceted end: saw settings and rounding.

use super::table::{facts_panel, rows_panel};
use crate::job::Facets;
use crate::layout::Panel;
use crate::measure::{Units, show_angle};
use crate::plan::{FacetStudy, MORE_CUTS, Outcome, Recipe, TakeOff};
use crate::wording::{saw_angle, saw_both_ways};

/// Saw settings, in tables.
pub(super) fn settings_panels(asked: &Facets, study: &FacetStudy, units: Units) -> Vec<Panel> {
    let row = |name: &str, outcome: &Outcome| {
        let Recipe { front, back } = &outcome.recipe;
        [
            name.to_owned(),
            units.show(front[0].0),
            saw_angle(front[0].1),
            saw_angle(back[0].1),
            gap_words(outcome, units),
        ]
    };
    let mut rows = vec![row("as cut", &study.as_cut), row("best", &study.best)];
    let single = study.best_single.iter();
    rows.extend(single.map(|single| row("one setting", single)));
    let first = format!(
        "First cut, parallel to the header: {}. Angles off square: from the tube's side they are what is left to 90°.",
        saw_both_ways(90.0 - asked.joint.angle_deg)
    );
    let heads = ["", "scribe", "front cut", "back cut", "largest gap"].map(str::to_owned);
    let mut panels = vec![rows_panel("Saw settings", &heads, &rows, &first)];
    let more = study.more_cuts.iter().zip(MORE_CUTS);
    panels.extend(more.enumerate().filter_map(|(index, (outcome, most))| {
        // Where more cuts are no better they are the same.
        let before = index.checked_sub(1).and_then(|before| study.more_cuts.get(before));
        let is_new = before.is_none_or(|before| before.recipe != outcome.recipe);
        is_new.then(|| more_cuts_panel(most, outcome, units))
    }));
    panels
}

/// Cuts that are alike on both sides stand once.
fn more_cuts_panel(most: usize, outcome: &Outcome, units: Units) -> Panel {
    let Recipe { front, back } = &outcome.recipe;
    let told = |cuts: &[(f64, f64)]| -> Vec<[String; 2]> {
        let told = cuts.iter().map(|(scribe, saw)| [units.show(*scribe), saw_angle(*saw)]);
        told.collect()
    };
    let sides: &[(&str, &Vec<(f64, f64)>)] = match told(front) == told(back) {
        true => &[("front and back", front)],
        false => &[("front", front), ("back", back)],
    };
    let mut rows = Vec::new();
    for (side, cuts) in sides {
        rows.extend(cuts.is_empty().then(|| [(*side).to_owned(), "no cut".to_owned()]));
        rows.extend(
            told(cuts)
                .into_iter()
                .map(|[scribe, saw]| [format!("{side}, scribe {scribe}"), saw]),
        );
    }
    let title = format!("Up to {most} cuts: leaves {}", units.show(outcome.gap.largest));
    facts_panel(&title, &rows, "Angles off square; each cut touches a line of its own.")
}

/// Where the end as it was cut is ground off, and by how much.
pub(super) fn rounding_panel(study: &FacetStudy, girth: f64, units: Units) -> Panel {
    let mut rows: Vec<[String; 2]> = study
        .rounded
        .take_off
        .iter()
        .map(|part| {
            [
                stretch(part, girth, units),
                format!("{} at {}", units.show(part.deepest), show_angle(part.deepest_at_deg)),
            ]
        })
        .collect();
    rows.push(["gap that remains".to_owned(), units.show(study.rounded.gap.largest)]);
    let under = format!(
        "Pushed in by {}. Grind only there, a little at a time. Places: with a tape round from the front line to the right, cut end up.",
        units.show(study.rounded.push_in)
    );
    facts_panel("Round off (as cut)", &rows, &under)
}

/// From where to where round the tube with a tape from the front, to the right.
fn stretch(part: &TakeOff, girth: f64, units: Units) -> String {
    if part.azimuths_deg.end - part.azimuths_deg.start >= 360.0 {
        return "all round".to_owned();
    }
    let taped = |at: f64| units.show(at.rem_euclid(360.0) / 360.0 * girth);
    format!(
        "from {} to {}",
        taped(part.azimuths_deg.start),
        taped(part.azimuths_deg.end)
    )
}

fn gap_words(outcome: &Outcome, units: Units) -> String {
    format!(
        "{} at {}",
        units.show(outcome.gap.largest),
        show_angle(outcome.gap.at_deg)
    )
}
