//! Cuts that a chop saw may not turn to, and tubes that double back.

use std::collections::BTreeMap;

use super::saw::saw_both_ways;
use crate::plan::{Kind, SIDES, Turn};

/// Every chop saw turns so far, in degrees off square (common practice).
const EVERY_SAW_DEG: f64 = 45.0;
/// No chop saw turns farther (common practice).
const NO_SAW_DEG: f64 = 60.0;
/// Angles nearer than this are the same setting, in degrees.
const SAME_DEG: f64 = 1e-6;

/// What is said of a flat cut so many degrees off square, where not every saw turns so far; `which` names it, with its verb.
pub(super) fn steep_cut(which: &str, off_square_deg: f64) -> Option<String> {
    let by_hand = "mark it with the wrap and cut it by hand";
    let saw = saw_both_ways(off_square_deg);
    if off_square_deg <= EVERY_SAW_DEG + SAME_DEG {
        None
    } else if off_square_deg <= NO_SAW_DEG + SAME_DEG {
        Some(format!(
            "{which} {saw}: chop saws turn to 45° or to 60° off square; if yours stops before, {by_hand}"
        ))
    } else {
        Some(format!(
            "{which} {saw}: no chop saw turns farther than 60° off square; {by_hand}"
        ))
    }
}

/// The same of a job's pieces.
pub(super) fn steep_pieces(kinds: &[Kind]) -> Vec<String> {
    let mut alike: BTreeMap<String, (f64, Vec<String>)> = BTreeMap::new();
    for kind in kinds {
        for (end, side) in SIDES.iter().enumerate() {
            if let Some(angle) = kind.piece.flat_cuts_deg[end] {
                let (_, cuts) = alike.entry(saw_both_ways(angle)).or_insert((angle, Vec::new()));
                cuts.push(format!("the {side} of piece {}", kind.label()));
            }
        }
    }
    let words = |(angle, cuts): (f64, Vec<String>)| match cuts.as_slice() {
        [one] => steep_cut(&format!("the cut at {one} is"), angle),
        [few @ .., last] => steep_cut(&format!("the cuts at {} and {last} are", few.join(", ")), angle),
        [] => None,
    };
    alike.into_values().filter_map(words).collect()
}

/// Tubes that turn back on themselves.
pub(super) fn doubled_back(turns: &[Turn]) -> Vec<String> {
    let words = |turn: &Turn| {
        format!(
            "\"{}\" doubles back: at its corner {} it turns by {:.0}°; see that its points are in their order",
            turn.tube, turn.corner, turn.degrees
        )
    };
    turns.iter().map(words).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cuts_are_told_from_what_saws_turn_to() {
        assert_eq!(steep_cut("the cut is", 45.0), None);
        let some = steep_cut("the cut is", 45.1).unwrap_or_default();
        assert!(
            some.contains("45.1° off square") && some.contains("if yours stops"),
            "{some}"
        );
        let none = steep_cut("the cut is", 60.1).unwrap_or_default();
        assert!(none.contains("no chop saw turns farther"), "{none}");
    }
}
