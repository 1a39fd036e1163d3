//! Where a traced curve has a true corner. Fitting stops there.

use std::f64::consts::{PI, TAU};
use std::ops::Range;

use super::table::Solved;
use super::trace::{Place, Trace};

/// Steps per turn in which corners are looked for.
const STEPS_PER_TURN: f64 = 90.0;

/// A step is worth a closer look where its heading turns by so much more than its neighbours let expect, in radians; smaller
/// corners are within reach of the fit. Where a saddle is smooth that is below 0.01.
const SUSPICIOUS: f64 = 0.02;

/// A turn that is still there in the smallest interval is a corner, in radians.
const SHARP: f64 = 0.01;

/// The smallest interval, in radians. Below it rounding in the square root that makes the corner
/// spoils the heading; it is a thousandth of a millimetre on the girth of the largest tube.
const SMALLEST: f64 = 1e-6;

/// A trace looked over.
pub(super) struct Scan {
    /// The azimuths in radians, rising, at which the curve turns on the spot.
    pub(super) corners: Vec<f64>,
    /// What was solved on the way and has a direction, rising.
    pub(super) solved: Vec<Solved>,
}

/// Looks for corners within `range` (radians).
///
/// An interval in which the heading turns unlike its neighbours is halved towards the greater turn: on a smooth curve
/// the turn shrinks with the interval, at a corner it stays. Two corners within one step are seen as one.
///
/// # Errors
/// An azimuth at which the trace has no place.
pub(super) fn scan(trace: &impl Trace, range: Range<f64>) -> Result<Scan, f64> {
    let steps = ((range.end - range.start) / TAU * STEPS_PER_TURN).ceil().max(2.0) as usize;
    let mut solved = Vec::with_capacity(steps + 1);
    // One step begins before the range, and one ends after it, so that a corner at either end is seen.
    let mut looks = Vec::with_capacity(steps + 2);
    for step in -1..=steps as i64 {
        let azimuth = at_step(&range, steps, step);
        let place = trace.at(azimuth);
        let heading = place.as_ref().and_then(heading_of);
        looks.push((azimuth, heading));
        match place.filter(|_| heading.is_some()) {
            _ if !range.contains(&azimuth) => (),
            Some(place) => solved.push((azimuth, place)),
            None if place.is_none() => return Err(azimuth),
            None => (),
        }
    }
    let turns: Vec<f64> = looks.windows(2).map(|pair| turn(pair[0].1, pair[1].1)).collect();
    let beside = |step: usize| {
        let before = turns[step.checked_sub(1).unwrap_or(step + 1)];
        let after = turns.get(step + 1).copied().unwrap_or(before);
        0.5 * (before + after)
    };
    let mut corners: Vec<f64> = (0..turns.len())
        .filter(|&step| (turns[step] - beside(step)).abs() > SUSPICIOUS)
        .filter_map(|step| corner_between(trace, looks[step], looks[step + 1]))
        .collect();
    corners.retain(|azimuth| range.contains(azimuth));
    Ok(Scan { corners, solved })
}

/// Off the crown lines, where corners are.
fn at_step(range: &Range<f64>, steps: usize, step: i64) -> f64 {
    range.start + (range.end - range.start) * (step as f64 + 0.37) / steps as f64
}

type Heading = Option<f64>;

fn heading(trace: &impl Trace, azimuth: f64) -> Heading {
    trace.at(azimuth).as_ref().and_then(heading_of)
}

fn heading_of(place: &Place) -> Heading {
    Some(place.speed.atan2()).filter(|heading| heading.is_finite())
}

/// To the left, by half a turn at most; none where a heading is missing.
fn turn(from: Heading, to: Heading) -> f64 {
    from.zip(to).map_or(0.0, |(from, to)| match to - from {
        turn if turn > PI => turn - TAU,
        turn if turn < -PI => turn + TAU,
        turn => turn,
    })
}

fn corner_between(trace: &impl Trace, mut low: (f64, Heading), mut high: (f64, Heading)) -> Option<f64> {
    while high.0 - low.0 > SMALLEST {
        let middle = 0.5 * (low.0 + high.0);
        let here = (middle, heading(trace, middle));
        if here.1.is_none() {
            // Only in the corner itself is there no direction.
            return Some(middle);
        }
        if turn(low.1, here.1).abs() > turn(here.1, high.1).abs() {
            high = here;
        } else {
            low = here;
        }
        if turn(low.1, high.1).abs() < SHARP {
            return None;
        }
    }
    Some(0.5 * (low.0 + high.0))
}
