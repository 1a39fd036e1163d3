//! The tables of a faceted end: saw settings and rounding.

use super::table::facts_panel;
use crate::job::Facets;
use crate::layout::Panel;
use crate::measure::{Units, show_angle};
use crate::plan::{FacetStudy, MORE_CUTS, Outcome};
use crate::solver::{Recipe, TakeOff};
use crate::wording::saw_both_ways;

/// Saw settings and rounding, in tables.
pub(super) fn settings_panels(asked: &Facets, study: &FacetStudy, units: Units) -> Vec<Panel> {
    let pair = |name: &str, outcome: &Outcome| {
        let Recipe { front, back } = &outcome.recipe;
        vec![
            [format!("{name}: scribe"), units.show(front[0].0)],
            ["front cut".to_owned(), saw_both_ways(front[0].1)],
            ["back cut".to_owned(), saw_both_ways(back[0].1)],
            ["largest gap".to_owned(), gap_words(outcome, units)],
        ]
    };
    let mut rows = pair("as cut", &study.as_cut);
    rows.extend(pair("best", &study.best));
    rows.extend(
        study
            .best_single
            .iter()
            .flat_map(|single| pair("best, one setting", single)),
    );
    let first = format!(
        "First cut, parallel to the header: {}.",
        saw_both_ways(90.0 - asked.joint.angle_deg)
    );
    let mut panels = vec![facts_panel("Saw settings", &rows, &first)];
    panels.extend(
        study
            .more_cuts
            .iter()
            .zip(MORE_CUTS)
            .map(|(outcome, most)| more_cuts_panel(&format!("Up to {most} cuts"), outcome, units)),
    );
    panels.push(rounding_panel(study, units));
    panels
}

fn more_cuts_panel(title: &str, outcome: &Outcome, units: Units) -> Panel {
    let mut rows = Vec::new();
    for (side, cuts) in [("front", &outcome.recipe.front), ("back", &outcome.recipe.back)] {
        rows.extend(cuts.is_empty().then(|| [side.to_owned(), "no cut".to_owned()]));
        rows.extend(
            cuts.iter()
                .map(|(scribe, saw)| [format!("{side}, scribe {}", units.show(*scribe)), show_angle(*saw)]),
        );
    }
    rows.push(["largest gap".to_owned(), gap_words(outcome, units)]);
    facts_panel(title, &rows, "Angles off square; each cut touches a line of its own.")
}

fn rounding_panel(study: &FacetStudy, units: Units) -> Panel {
    let mut rows: Vec<[String; 2]> = study
        .rounded
        .take_off
        .iter()
        .map(|part| {
            [
                stretch(part),
                format!("{} at {}", units.show(part.deepest), show_angle(part.deepest_at_deg)),
            ]
        })
        .collect();
    rows.push(["gap that remains".to_owned(), units.show(study.rounded.gap.largest)]);
    let under = format!(
        "Pushed in by {}. Grind only there, a little at a time.",
        units.show(study.rounded.push_in)
    );
    facts_panel("Round off (as cut)", &rows, &under)
}

fn stretch(part: &TakeOff) -> String {
    let degrees = |at: f64| show_angle(at.rem_euclid(360.0));
    if part.azimuths_deg.end - part.azimuths_deg.start >= 360.0 {
        return "all round".to_owned();
    }
    format!(
        "from {} to {}",
        degrees(part.azimuths_deg.start),
        degrees(part.azimuths_deg.end)
    )
}

fn gap_words(outcome: &Outcome, units: Units) -> String {
    format!(
        "{} at {}",
        units.show(outcome.gap.largest),
        show_angle(outcome.gap.at_deg)
    )
}
