//! What closes a gap without grinding: the tube is turned, tilted or moved over.

use super::allowed::Allowed;
use super::guess::Guess;
use super::other_end::{Other, OtherEnd};
use crate::job::{Misfit, Thing, Trial};
use crate::solver::{Offered, OfferedGap};

/// What is changed, and the gap that is left.
#[derive(Debug, Clone, PartialEq)]
pub struct PutRight {
    /// Each with by how much it is changed, in its own unit, as a [`Misfit`] counts it.
    pub changes: Vec<(Thing, f64)>,
    /// In millimetres.
    pub largest_mm: f64,
    /// What becomes of the tube's other end; of a job.
    pub other_end: Option<OtherEnd>,
}

/// What whoever holds the tube can change.
const MOVES: [Thing; 4] = [Thing::Angle, Thing::Turned, Thing::Aside, Thing::Sideways];

/// What leaves more than this share of the gap isn't worth telling.
const WORTH: f64 = 0.8;

/// One change at a time, each as far as is best, then all that is off about how the tube stands put right at once; the best
/// first. None where the gap is within the limit as it is.
pub(super) fn ways_to_put_right(
    asked: &Trial,
    offered: &Offered,
    (guess, gap): (&Guess, &OfferedGap),
    other: Option<(&Other<'_>, &Allowed)>,
) -> Vec<PutRight> {
    if gap.largest <= asked.gap_limit_mm {
        return Vec::new();
    }
    let one = |thing: Thing| {
        asked.offered.asked(thing)?;
        let limits = asked.offered.limits(thing);
        let (from, to) = (*limits.start(), *limits.end());
        let now = guess.misfit.of(thing);
        let met = |is: f64| asked.offered.met(&guess.misfit.with(thing, is));
        let (is, largest_mm) = offered.least_gap(met, from, to)?;
        Some(PutRight {
            changes: vec![(thing, is - now)],
            largest_mm,
            other_end: None,
        })
    };
    let mut ways: Vec<PutRight> = MOVES.into_iter().filter_map(one).collect();
    let off: Vec<Thing> = guess
        .things
        .iter()
        .copied()
        .filter(|thing| MOVES.contains(thing))
        .collect();
    if off.len() > 1 {
        let right = off
            .iter()
            .fold(guess.misfit, |misfit: Misfit, thing| misfit.with(*thing, 0.0));
        let largest = asked.offered.met(&right).and_then(|met| offered.largest(&met));
        ways.extend(largest.map(|largest_mm| PutRight {
            changes: off.iter().map(|thing| (*thing, -guess.misfit.of(*thing))).collect(),
            largest_mm,
            other_end: None,
        }));
    }
    ways.retain(|way| way.largest_mm < WORTH * gap.largest);
    ways.sort_by(|a, b| a.largest_mm.total_cmp(&b.largest_mm));
    for way in &mut ways {
        let changes = &way.changes;
        let after = changed(guess.misfit, changes);
        let touches = asked.offered.met(&after).and_then(|met| offered.gap(&met));
        let goes_in = |misfit: &Misfit| offered.goes_in(&asked.offered.met(misfit)?, |_| 0.0);
        // What is done to the tube is the same, whatever is off.
        let either = |misfit: &Misfit| {
            let after = changed(*misfit, changes);
            Some([(*misfit, goes_in(misfit)?), (after, goes_in(&after)?)])
        };
        way.other_end = other.zip(touches).and_then(|((other, allowed), touches)| {
            let stands = (&guess.misfit, gap.moved_in);
            other.moved(stands, (&after, touches.moved_in), allowed, either)
        });
    }
    ways
}

fn changed(misfit: Misfit, changes: &[(Thing, f64)]) -> Misfit {
    let of = |misfit: Misfit, (thing, by): &(Thing, f64)| misfit.with(*thing, misfit.of(*thing) + by);
    changes.iter().fold(misfit, of)
}
