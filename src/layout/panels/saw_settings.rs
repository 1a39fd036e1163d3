//! The tables of a faceted end: saw settings and rounding.

use super::table::{facts_panel, rows_panel};
use crate::job::Facets;
use crate::layout::Panel;
use crate::measure::{Units, show_angle};
use crate::plan::{FacetStudy, MORE_CUTS, Outcome, Recipe, TakeOff};
use crate::section::Profile;
use crate::wording::{saw_angle, saw_both_ways};

/// Saw settings and rounding, in tables.
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
    panels.extend(
        study
            .more_cuts
            .iter()
            .zip(MORE_CUTS)
            .map(|(outcome, most)| more_cuts_panel(&format!("Up to {most} cuts"), outcome, units)),
    );
    panels.push(rounding_panel(study, asked.joint.branch.section.girth(), units));
    panels
}

fn more_cuts_panel(title: &str, outcome: &Outcome, units: Units) -> Panel {
    let mut rows = Vec::new();
    for (side, cuts) in [("front", &outcome.recipe.front), ("back", &outcome.recipe.back)] {
        rows.extend(cuts.is_empty().then(|| [side.to_owned(), "no cut".to_owned()]));
        rows.extend(
            cuts.iter()
                .map(|(scribe, saw)| [format!("{side}, scribe {}", units.show(*scribe)), saw_angle(*saw)]),
        );
    }
    rows.push(["largest gap".to_owned(), gap_words(outcome, units)]);
    facts_panel(title, &rows, "Angles off square; each cut touches a line of its own.")
}

fn rounding_panel(study: &FacetStudy, girth: f64, units: Units) -> Panel {
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
        "Pushed in by {}. Grind only there, a little at a time. Round: with a tape from the front line to the right, cut end up.",
        units.show(study.rounded.push_in)
    );
    facts_panel("Round off (as cut)", &rows, &under)
}

/// From where to where round the tube, in degrees and with a tape from the front, to the right.
fn stretch(part: &TakeOff, girth: f64, units: Units) -> String {
    let degrees = |at: f64| show_angle(at.rem_euclid(360.0));
    if part.azimuths_deg.end - part.azimuths_deg.start >= 360.0 {
        return "all round".to_owned();
    }
    let taped = |at: f64| units.show(at.rem_euclid(360.0) / 360.0 * girth);
    format!(
        "from {} to {}: {} to {} round",
        degrees(part.azimuths_deg.start),
        degrees(part.azimuths_deg.end),
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
