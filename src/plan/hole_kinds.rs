//! Holes that are alike: one pattern serves all of a kind.

use std::collections::BTreeMap;

use super::hole::{LIKE_MM, PlacedHole};

/// Holes that one pattern serves.
pub(crate) struct HoleKind<'a> {
    /// The one that names it.
    pub(crate) first: &'a PlacedHole,
    /// All of them, the first too.
    pub(crate) all: Vec<&'a PlacedHole>,
}

/// Every kind of hole that has yet to be cut. Like ones reach equally far to within `LIKE_MM`, so that only kinds in cells
/// of that size next to a hole's own need be looked at.
pub(crate) fn kinds_of(holes: &[PlacedHole]) -> Vec<HoleKind<'_>> {
    let mut kinds: Vec<HoleKind<'_>> = Vec::new();
    let mut by_reach: BTreeMap<(usize, i64), Vec<usize>> = BTreeMap::new();
    for hole in holes.iter().filter(|hole| !hole.hole.is_made) {
        let (body, cell) = (hole.hole.body, (hole.reach / LIKE_MM).floor() as i64);
        let near = (cell - 1..=cell + 1).filter_map(|cell| by_reach.get(&(body, cell)));
        let like = near.flatten().copied().filter(|kind| kinds[*kind].first.is_like(hole));
        if let Some(kind) = like.min() {
            kinds[kind].all.push(hole);
        } else {
            by_reach.entry((body, cell)).or_default().push(kinds.len());
            kinds.push(HoleKind {
                first: hole,
                all: vec![hole],
            });
        }
    }
    kinds
}
