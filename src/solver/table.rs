//! A smooth stretch of a trace as a table: solved at as many places as it needs, interpolated between them by Hermite's
//! cubics. Fitting asks for places thousands of times, and a solved one costs ten times an interpolated one.

use std::ops::Range;

use kurbo::{Point, Vec2};

use super::polynomial::Polynomial;
use super::trace::{Place, Trace};

/// Places closer than this are not told apart, in radians.
const CLOSEST: f64 = 1e-6;

/// So finely a table is divided to look steps up by, as a multiple of their number.
const SHARES_A_STEP: usize = 3;

/// A solved place.
pub(super) type Solved = (f64, Place);

/// A trace between two corners.
pub(super) struct Table {
    places: Vec<Solved>,
    /// Between each place and the next.
    steps: Vec<Step>,
    /// For even shares of the range, the last step that begins at or before each.
    before: Vec<usize>,
    /// Shares per radian.
    pace: f64,
}

/// The ends of `range` (radians), with what of `known` is inside it; `beside` is where directions may be taken. Rising.
///
/// # Errors
/// An azimuth at which the trace has no place.
pub(super) fn coarse(
    trace: &impl Trace,
    range: &Range<f64>,
    beside: &Range<f64>,
    known: &[Solved],
) -> Result<Vec<Solved>, f64> {
    let end = |at: f64| -> Result<Solved, f64> {
        let here = trace.at(at).ok_or(at)?;
        let inside = at.clamp(beside.start, beside.end);
        let speed = if inside == at {
            here.speed
        } else {
            trace.at(inside).ok_or(inside)?.speed
        };
        Ok((at, Place { speed, ..here }))
    };
    let mut places = vec![end(range.start)?];
    let inside = beside.start.max(range.start + CLOSEST)..beside.end.min(range.end - CLOSEST);
    places.extend(known.iter().filter(|(azimuth, _)| inside.contains(azimuth)));
    places.push(end(range.end)?);
    Ok(places)
}

impl Table {
    /// The trace from the first to the last of `known`, rising, interpolated to within `precision` millimetres.
    ///
    /// # Errors
    /// An azimuth at which the trace has no place.
    pub(super) fn new(trace: &impl Trace, known: &[Solved], precision: f64) -> Result<Self, f64> {
        let mut places = vec![known[0]];
        for (pair, doubt) in known.windows(2).zip(doubts(known)) {
            if doubt > precision {
                refine(trace, pair[0], pair[1], precision, &mut places)?;
            }
            places.push(pair[1]);
        }
        Ok(Self::indexed(places))
    }

    fn indexed(places: Vec<Solved>) -> Self {
        let range = places[0].0..places[places.len() - 1].0;
        let steps: Vec<Step> = places.windows(2).map(|pair| Step::new(&pair[0], &pair[1])).collect();
        let shares = SHARES_A_STEP * steps.len();
        let pace = shares as f64 / (range.end - range.start);
        let mut step = 0;
        let before = (0..=shares)
            .map(|share| {
                let azimuth = range.start + share as f64 / pace;
                while step + 1 < steps.len() && steps[step + 1].start <= azimuth {
                    step += 1;
                }
                step
            })
            .collect();
        Self {
            places,
            steps,
            before,
            pace,
        }
    }

    /// What was solved, rising.
    pub(super) fn places(&self) -> &[Solved] {
        &self.places
    }

    /// The place at `azimuth`, and by how much it moves per radian there.
    pub(super) fn at(&self, azimuth: f64) -> (Point, Vec2) {
        let share = ((azimuth - self.places[0].0) * self.pace).max(0.0) as usize;
        let mut step = self.before[share.min(self.before.len() - 1)];
        // Rounding may have put the share one too far.
        while step > 0 && self.steps[step].start > azimuth {
            step -= 1;
        }
        while step + 1 < self.steps.len() && self.steps[step + 1].start <= azimuth {
            step += 1;
        }
        self.steps[step].at(azimuth)
    }

    /// The solved places within a range.
    pub(super) fn places_within(&self, range: &Range<f64>) -> &[Solved] {
        let first = self.places.partition_point(|(at, _)| *at <= range.start);
        let after = self.places.partition_point(|(at, _)| *at < range.end);
        &self.places[first..after.max(first)]
    }
}

/// How far off each step might be interpolated, by both its ends. The first and last steps, where a corner may be, and those beside
/// a change of parts are always in doubt.
fn doubts(coarse: &[Solved]) -> Vec<f64> {
    let off = |index: usize| match (index.checked_sub(1), coarse.get(index + 1)) {
        (Some(before), Some(after)) => {
            let (before, here) = (&coarse[before], &coarse[index]);
            if before.1.part == here.1.part && here.1.part == after.1.part {
                doubt(before, here, after)
            } else {
                f64::INFINITY
            }
        }
        _ => f64::INFINITY,
    };
    (0..coarse.len() - 1).map(|step| off(step).max(off(step + 1))).collect()
}

/// How far off the trace may be between a place and its neighbours, in millimetres, by how far the place is from where its
/// neighbours interpolate it. With steps half as long the error on a smooth curve is a sixteenth, which leaves a margin of
/// two. That doesn't hold at a small corner, which shows in the speeds where the points happen to miss it: between two places
/// it is off by an eighth of the step times the turn, and the speed at one of the two at least is off by that much, times half
/// its neighbours' step.
fn doubt(from: &Solved, (azimuth, place): &Solved, to: &Solved) -> f64 {
    let (point, speed) = Step::new(from, to).at(*azimuth);
    let by_speed = (speed - place.speed).hypot() * (to.0 - from.0) / 2.0;
    (point.distance(place.point) / 8.0).max(by_speed)
}

/// Halves a step until its middle is interpolated to within the precision.
fn refine(trace: &impl Trace, from: Solved, to: Solved, precision: f64, places: &mut Vec<Solved>) -> Result<(), f64> {
    let azimuth = 0.5 * (from.0 + to.0);
    let place = trace.at(azimuth).ok_or(azimuth)?;
    if to.0 - from.0 < CLOSEST || !(place.speed.x + place.speed.y).is_finite() {
        return Ok(());
    }
    let middle = (azimuth, place);
    if doubt(&from, &middle, &to) <= precision {
        places.push(middle);
        return Ok(());
    }
    refine(trace, from, middle, precision, places)?;
    places.push(middle);
    refine(trace, middle, to, precision, places)
}

/// Hermite's cubic through two places and their speeds, over the azimuth from the first.
struct Step {
    start: f64,
    polynomial: Polynomial,
}

impl Step {
    fn new(from: &Solved, to: &Solved) -> Self {
        let per_radian = (to.0 - from.0).recip();
        let mean = (to.1.point - from.1.point) * per_radian;
        let (start, end) = (from.1.speed, to.1.speed);
        Self {
            start: from.0,
            polynomial: Polynomial {
                start: from.1.point,
                by: [
                    start,
                    (3.0 * mean - 2.0 * start - end) * per_radian,
                    (start + end - 2.0 * mean) * (per_radian * per_radian),
                ],
            },
        }
    }

    fn at(&self, azimuth: f64) -> (Point, Vec2) {
        self.polynomial.at(azimuth - self.start)
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::super::trace::Part;
    use super::*;

    /// A steep place at 1, as where a line almost grazes a body: the height of a circle of radius 1 near its side.
    struct Steep(Cell<usize>);

    impl Trace for Steep {
        fn at(&self, azimuth: f64) -> Option<Place> {
            self.0.set(self.0.get() + 1);
            let inside = 1.0 - 0.999_999 * azimuth * azimuth;
            Some(Place {
                point: Point::new(azimuth, inside.sqrt()),
                speed: Vec2::new(1.0, -0.999_999 * azimuth / inside.sqrt()),
                part: Part::Only,
                margin: f64::INFINITY,
            })
        }
    }

    #[test]
    fn a_steep_trace_is_told_as_closely_as_asked_for_from_few_solved_places() {
        let trace = Steep(Cell::new(0));
        let known: Vec<Solved> = (0..=60)
            .map(|step| f64::from(step) / 60.0)
            .filter_map(|at| Some((at, trace.at(at)?)))
            .collect();
        for precision in [1e-3, 1e-5] {
            let table = Table::new(&trace, &known, precision).expect("a table");
            for step in 0..=20_000 {
                let azimuth = f64::from(step) / 20_000.0;
                let exact = trace.at(azimuth).expect("a place").point;
                // Square across: along a steep curve places may slide.
                let (point, speed) = table.at(azimuth);
                let off = (point - exact).cross(speed).abs() / speed.hypot();
                assert!(off <= precision, "{azimuth}: {off}");
            }
            assert!(table.places.len() < 200, "{}", table.places.len());
        }
    }
}
