//! How far off it would be to take a body for round that isn't: words, a table, the report.

use super::table::rows_panel;
use crate::job::BodyInSpace;
use crate::layout::Panel;
use crate::measure::Units;
use crate::plan::PlacedHole;
use crate::wording::if_round_words;

/// Rows of a table.
const ROWS: usize = 40;
/// The gaps at every landing on a body that is out of round.
pub(super) fn panels(body: &BodyInSpace, holes: &[&PlacedHole], units: Units) -> Vec<Panel> {
    let rows: Vec<[String; 3]> = holes
        .iter()
        .filter_map(|hole| {
            let [gap, at] = if_round_words(hole.if_round?, &hole.hole.drilling.section, units);
            Some([hole.hole.tube.clone(), gap, at])
        })
        .collect();
    let heads = ["tube", "largest gap", "at"].map(str::to_owned);
    let under = "For information only: how far off an end would be if it were cut for a true cylinder of this girth.";
    rows.chunks(ROWS)
        .map(|rows| rows_panel(&format!("If {} were taken for round", body.name), &heads, rows, under))
        .collect()
}
