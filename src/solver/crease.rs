//! Where a traced curve has a true corner. Fitting stops there.

use std::f64::consts::PI;
use std::ops::Range;

use super::trace::Trace;

/// Steps per turn in which corners are looked for.
const STEPS_PER_TURN: f64 = 360.0;

/// A turn of the heading within one step that is worth a closer look, in radians. A saddle's heading
/// turns by under 0.02 a degree where it is smooth; smaller corners are within reach of the fit.
const SUSPICIOUS: f64 = 0.03;

/// A turn that is still there in the smallest interval is a corner, in radians.
const SHARP: f64 = 0.01;

/// The smallest interval, in radians. Below it rounding in the square root that makes the corner
/// spoils the heading; it is a thousandth of a millimetre on the girth of the largest tube.
const SMALLEST: f64 = 1e-6;

/// The azimuths in radians within `range`, rising, at which the curve turns on the spot.
///
/// An interval in which the heading turns a lot is halved towards the greater turn: on a smooth curve
/// the turn shrinks with the interval, at a corner it stays. Two corners within one degree are seen
/// as one.
pub(super) fn creases(trace: &impl Trace, range: Range<f64>) -> Vec<f64> {
    let steps = ((range.end - range.start) / (2.0 * PI) * STEPS_PER_TURN)
        .ceil()
        .max(2.0) as usize;
    let mut found = Vec::new();
    // One step begins before the range, and one ends after it, so that a corner at either end is seen.
    let first = at_step(&range, steps, -1);
    let mut before = (first, heading(trace, first));
    for step in 0..=steps as i64 {
        let azimuth = at_step(&range, steps, step);
        let here = (azimuth, heading(trace, azimuth));
        if turn(before.1, here.1) > SUSPICIOUS {
            found.extend(corner_between(trace, before, here));
        }
        before = here;
    }
    found.retain(|azimuth| range.contains(azimuth));
    found
}

/// Off the crown lines, where corners are.
fn at_step(range: &Range<f64>, steps: usize, step: i64) -> f64 {
    range.start + (range.end - range.start) * (step as f64 + 0.37) / steps as f64
}

type Heading = Option<f64>;

fn heading(trace: &impl Trace, azimuth: f64) -> Heading {
    trace
        .at(azimuth)
        .map(|place| place.speed.atan2())
        .filter(|heading| heading.is_finite())
}

fn turn(from: Heading, to: Heading) -> f64 {
    from.zip(to)
        .map_or(0.0, |(from, to)| ((to - from + PI).rem_euclid(2.0 * PI) - PI).abs())
}

fn corner_between(trace: &impl Trace, mut low: (f64, Heading), mut high: (f64, Heading)) -> Option<f64> {
    while high.0 - low.0 > SMALLEST {
        let middle = 0.5 * (low.0 + high.0);
        let here = (middle, heading(trace, middle));
        if here.1.is_none() {
            // Only in the corner itself is there no direction.
            return Some(middle);
        }
        if turn(low.1, here.1) > turn(here.1, high.1) {
            high = here;
        } else {
            low = here;
        }
        if turn(low.1, high.1) < SHARP {
            return None;
        }
    }
    Some(0.5 * (low.0 + high.0))
}
