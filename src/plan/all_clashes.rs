//! All that is in the way in a job, each with the move of a landing that clears it.

use std::collections::{HashMap, HashSet};

use super::clash::{Clash, clashes};
use super::hole::PlacedHole;
use super::in_the_way::{InTheWay, LandingPart, Move};
use super::landing_moves::{LandingMoves, Together};
use super::not_kept::NotKept;
use crate::job::Assembly;

/// What is in the way, holes that overlap or run off their body's end among it.
pub(super) fn all_clashes(assembly: &Assembly, holes: &[PlacedHole]) -> Vec<Clash> {
    let mut found = clashes(assembly);
    let not_kept = NotKept::new(assembly, holes, &found);
    let told: HashSet<InTheWay> = holes.iter().flat_map(|hole| hole.told_already(assembly)).collect();
    found.retain(|clash| !told.contains(&clash.way));
    // Each with the hole whose landing may be moved.
    let mut movable: Vec<Option<usize>> = found.iter().map(|clash| Some(not_kept.of(clash.way)?.hole)).collect();
    let mut overlaps = Vec::new();
    for (index, hole) in holes.iter().enumerate() {
        found.extend(hole.trespasses(assembly, &not_kept));
        movable.resize(found.len(), Some(index));
        for (other, apart) in &hole.near.overlaps {
            overlaps.push((found.len(), [*other, index]));
            found.push(hole.overlap(&holes[*other], *apart));
            movable.push(None);
        }
    }
    let moves = LandingMoves::new(assembly, holes, &not_kept);
    let mut cleared: HashMap<Together<'_>, HashSet<InTheWay>> = HashMap::new();
    for (clash, hole) in found.iter().zip(&movable) {
        if let Some(hole) = hole {
            let all = cleared.entry(moves.together_with(*hole)).or_default();
            all.insert(of_any_copy(clash.way));
        }
    }
    for (clash, pair) in overlaps {
        let moved = moved_of(pair, &moves, &cleared);
        if let Some(hole) = moved {
            let all = cleared.entry(moves.together_with(hole)).or_default();
            all.insert(found[clash].way);
        }
        movable[clash] = moved;
    }
    for (clash, hole) in found.iter_mut().zip(movable) {
        clash.leaves = hole.and_then(|hole| {
            let things = cleared.get(&moves.together_with(hole)).map_or(0, HashSet::len);
            Some(Move {
                clears: things.max(1),
                ..moves.of(hole)?
            })
        });
    }
    found
}

/// The one of two holes that overlap whose landing is moved: one that is to be moved anyway, else the one that has the less to
/// go. Copies are moved alike, and stay as far apart as they are.
fn moved_of(
    pair: [usize; 2],
    moves: &LandingMoves<'_>,
    cleared: &HashMap<Together<'_>, HashSet<InTheWay>>,
) -> Option<usize> {
    let together = pair.map(|hole| moves.together_with(hole));
    if together[0] == together[1] {
        return None;
    }
    let by = |hole: &usize| {
        let by = moves.of(*hole).map_or(f64::INFINITY, |way| way.by_mm);
        let is_moved = cleared.contains_key(&moves.together_with(*hole));
        if is_moved && by.is_finite() { 0.0 } else { by }
    };
    pair.into_iter().min_by(|a, b| by(a).total_cmp(&by(b)))
}

/// The same whichever copy is in it, and whatever part of it.
fn of_any_copy(way: InTheWay) -> InTheWay {
    match way.of_any_tube() {
        InTheWay::Landing { tube, body, over, .. } => InTheWay::Landing {
            tube,
            body,
            part: LandingPart::Hole,
            over,
        },
        other => other,
    }
}
