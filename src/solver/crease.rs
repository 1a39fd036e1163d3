//! Where a traced curve has a true corner. Fitting stops there.

use std::f64::consts::TAU;
use std::ops::Range;

use kurbo::Vec2;

use super::table::Solved;
use super::trace::{Place, Trace};

/// Steps per turn in which corners are looked for.
const STEPS_PER_TURN: f64 = 90.0;

/// A step is worth a closer look where its heading turns by so much more than its neighbours let expect, in radians; smaller
/// corners are within reach of the fit. Where a saddle is smooth that is below 0.01.
const SUSPICIOUS: f64 = 0.02;

/// A turn that is still there in the smallest interval is a corner, in radians.
const SHARP: f64 = 0.01;

/// A turn is a corner, too, where the curve cuts it as short as this: so many millimetres on the way times radians, of which
/// an eighth is how far a corner in the middle would be off.
const ROUNDED: f64 = 2e-4;

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
    let sample = |azimuth: f64| Sample::at(trace, azimuth);
    // One step begins before the range, and one ends after it, so that a corner at either end is seen.
    let mut samples: Vec<Sample> = (-1..=steps as i64)
        .map(|step| sample(at_step(&range, steps, step)))
        .collect();
    let hidden: Vec<Sample> = samples.windows(3).filter_map(hidden_between).map(sample).collect();
    if !hidden.is_empty() {
        samples.extend(hidden);
        samples.sort_by(|a, b| a.azimuth.total_cmp(&b.azimuth));
    }
    let inside = samples.iter().filter(|sample| range.contains(&sample.azimuth));
    if let Some(gap) = inside.clone().find(|sample| sample.place.is_none()) {
        return Err(gap.azimuth);
    }
    let solved = inside.filter_map(|sample| Some((sample.azimuth, sample.place.filter(|_| sample.heading.is_some())?)));
    // In radians of heading per radian.
    let paces: Vec<f64> = samples
        .windows(2)
        .map(|pair| pair[0].turn_to(&pair[1]) / (pair[1].azimuth - pair[0].azimuth))
        .collect();
    let smooth = |step: usize| {
        let before = paces[step.checked_sub(1).unwrap_or(step + 1)];
        let after = paces.get(step + 1).copied().unwrap_or(before);
        0.5 * (before + after)
    };
    let mut corners: Vec<f64> = samples
        .windows(2)
        .enumerate()
        .filter(|(step, pair)| {
            let odd = (paces[*step] - smooth(*step)) * (pair[1].azimuth - pair[0].azimuth);
            odd.abs() > SUSPICIOUS
        })
        .filter_map(|(step, pair)| corner_between(trace, pair[0], pair[1], smooth(step)))
        .collect();
    corners.retain(|azimuth| range.contains(azimuth));
    Ok(Scan {
        corners,
        solved: solved.collect(),
    })
}

/// Off the crown lines, where corners are.
fn at_step(range: &Range<f64>, steps: usize, step: i64) -> f64 {
    range.start + (range.end - range.start) * (step as f64 + 0.37) / steps as f64
}

/// An azimuth that was looked at.
#[derive(Debug, Clone, Copy)]
struct Sample {
    azimuth: f64,
    place: Option<Place>,
    /// Unit vector along the trace; none where the place is missing, and in a corner.
    heading: Option<Vec2>,
}

impl Sample {
    fn at(trace: &impl Trace, azimuth: f64) -> Self {
        let place = trace.at(azimuth);
        let heading = place.map(|place| place.speed.normalize());
        Self {
            azimuth,
            place,
            heading: heading.filter(|heading| (heading.x + heading.y).is_finite()),
        }
    }

    /// By how much the heading turns to the left, as a sine; past a right turn what is missing to half a turn counts as taken
    /// from 2. None where one is missing.
    fn turn_to(&self, other: &Self) -> f64 {
        self.heading.zip(other.heading).map_or(0.0, |(from, to)| {
            let sine = from.cross(to);
            if from.dot(to) >= 0.0 {
                sine
            } else {
                (2.0 - sine.abs()).copysign(sine)
            }
        })
    }
}

/// Where between three evenly placed samples another part may decide, unseen by all of them: where a parabola through their
/// margins is lowest, if that is far below them.
fn hidden_between(samples: &[Sample]) -> Option<f64> {
    let places = [samples[0].place?, samples[1].place?, samples[2].place?];
    let [before, here, after] = places.map(|place| place.margin);
    if here > before || here >= after || places.iter().any(|place| place.part != places[1].part) {
        return None;
    }
    let bend = before - 2.0 * here + after;
    let lean = (after - before) / 2.0;
    let lowest = here - lean * lean / (2.0 * bend);
    let at = samples[1].azimuth - lean / bend * (samples[2].azimuth - samples[1].azimuth);
    (lowest < 0.5 * here).then_some(at)
}

/// Halves from `low` to `high` towards the turn that is not smooth, i.e. not `smooth` radians of heading per radian.
fn corner_between(trace: &impl Trace, mut low: Sample, mut high: Sample, smooth: f64) -> Option<f64> {
    let odd = |from: &Sample, to: &Sample| (from.turn_to(to) - smooth * (to.azimuth - from.azimuth)).abs();
    while high.azimuth - low.azimuth > SMALLEST {
        let here = Sample::at(trace, 0.5 * (low.azimuth + high.azimuth));
        let Some(place) = here.place.filter(|_| here.heading.is_some()) else {
            // Only in the corner itself is there no direction.
            return Some(here.azimuth);
        };
        let whole = odd(&low, &high);
        let way = place.speed.hypot() * (high.azimuth - low.azimuth);
        if odd(&low, &here) > odd(&here, &high) {
            high = here;
        } else {
            low = here;
        }
        if odd(&low, &high) < SHARP {
            return (whole >= SHARP && whole * way < ROUNDED).then_some(here.azimuth);
        }
    }
    Some(0.5 * (low.azimuth + high.azimuth))
}
