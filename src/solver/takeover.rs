//! Where another part of the wall takes over: there a trace goes on, but bends.

use super::table::Solved;
use super::trace::Trace;

/// To where a takeover is found, in radians: a cubic's error is the square of how far it is off.
const PRECISION: f64 = 6e-4;

/// The takeovers between places of different parts, rising, as places.
pub(super) fn takeovers(trace: &impl Trace, known: &[Solved]) -> Vec<Solved> {
    let mut found = Vec::new();
    for pair in known.windows(2) {
        takeovers_between(trace, pair[0], pair[1], 0, &mut found);
    }
    found
}

/// The same between two places; a third part may lie between them. By where their margins are gone, and a little on towards
/// the middle, so that what is left grows short from both sides; every third time by half.
fn takeovers_between(trace: &impl Trace, low: Solved, high: Solved, depth: usize, found: &mut Vec<Solved>) {
    if low.1.part == high.1.part {
        return;
    }
    let half = 0.5 * (low.0 + high.0);
    let gone = low.0 + (high.0 - low.0) * low.1.margin / (low.1.margin + high.1.margin);
    let on = (half - gone).clamp(-0.4 * PRECISION, 0.4 * PRECISION);
    let is_found = high.0 - low.0 <= PRECISION;
    let at = if is_found || depth % 3 == 2 || !gone.is_finite() {
        half
    } else {
        gone + on
    };
    let Some(place) = trace.at(at) else { return };
    if is_found {
        found.push((at, place));
        return;
    }
    takeovers_between(trace, low, (at, place), depth + 1, found);
    takeovers_between(trace, (at, place), high, depth + 1, found);
}
