//! Holes through which a set-in tube doesn't pass before they are filed.

use std::collections::BTreeMap;

use crate::job::Assembly;
use crate::measure::Units;
use crate::plan::PlacedHole;

/// What may stand in without a word, in millimetres.
const SLACK: f64 = 0.05;

/// Between the skins the wall of a slanting hole stands in at its two corners.
pub(super) fn tight_hole(stands_in_mm: f64, clearance_mm: f64, units: Units) -> Option<String> {
    let by = stands_in_mm - clearance_mm;
    (by > SLACK).then(|| {
        format!(
            "at the hole's two corners the wall stands in by {} more than the clearance: file it there until the tube passes",
            units.show(by)
        )
    })
}

/// The same for a job, once for all the holes in a body of which the same is to be said.
pub(super) fn tight_holes(assembly: &Assembly, holes: &[PlacedHole], units: Units) -> Vec<String> {
    let mut alike: BTreeMap<(usize, String), (String, usize)> = BTreeMap::new();
    for hole in holes {
        if let Some(tight) = tight_hole(hole.stands_in_mm, hole.hole.clearance_mm, units) {
            let (_, count) = alike.entry((hole.hole.body, tight)).or_insert_with(|| (hole.name(), 0));
            *count += 1;
        }
    }
    let words = |((body, tight), (first, count)): ((usize, String), (String, usize))| {
        let more = if count > 1 {
            format!(" and {} more", count - 1)
        } else {
            String::new()
        };
        format!("the hole in {} for {first}{more}: {tight}", assembly.bodies[body].name)
    };
    alike.into_iter().map(words).collect()
}
