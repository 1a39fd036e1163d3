//! A trial fit as tables: what comes off by place, and the readings.

use super::places::place_words;
use crate::measure::Units;
use crate::plan::{MarkedBy, TrialPlan};
use crate::section::Profile;
use crate::wording::ordinates::{Ordinates, ordinates, placed_rows};

/// The new edge by hand with what comes off to reach it; none where nothing does.
pub(crate) fn ground_table(of: &TrialPlan, units: Units) -> Option<Ordinates> {
    let (grind, girth) = (&of.grind, of.end.end.tube.section.girth());
    if grind.moves_in_mm <= 0.0 {
        return None;
    }
    let mut table = ordinates("After grinding", &grind.marks, None, MarkedBy::Folds, units);
    table.heads[4] = format!("take off, {}", units.name());
    for (row, (right, _)) in table
        .rows
        .iter_mut()
        .zip(placed_rows(&grind.marks, MarkedBy::Folds, units))
    {
        row[4] = units.show_bare(grind.depth_mm(360.0 * right / girth));
    }
    table.under = "Cut end up. Round: from FRONT to the right. Up: base line to the new edge. Take off: along the tube, from the edge as it was cut.".to_owned();
    Some(table)
}

/// What was read, and what is made of it.
pub(crate) fn readings_table(of: &TrialPlan, units: Units) -> Ordinates {
    let girth = of.end.end.tube.section.girth();
    let row = |(index, reading): (usize, &crate::job::Reading)| {
        [
            place_words(reading.azimuth_deg, of.end.which),
            units.show_bare(reading.azimuth_deg / 360.0 * girth),
            units.show_bare(reading.gap_mm),
            units.show_bare(of.explained_mm(index)),
            units.show_bare(of.grind.depth_mm(reading.azimuth_deg)),
        ]
    };
    Ordinates {
        title: "The readings".to_owned(),
        heads: ["at", "round", "read", "explained", "take off"].map(|head| match head {
            "at" => head.to_owned(),
            _ => format!("{head}, {}", units.name()),
        }),
        rows: of.asked.readings.iter().enumerate().map(row).collect(),
        under: "Cut end up. Round: from FRONT to the right, on the skin. Take off: along the tube, up to the new edge."
            .to_owned(),
    }
}
