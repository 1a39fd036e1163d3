//! A smooth stretch of a trace as a table: solved at as many places as it needs, told between them by Hermite's cubics.
//! Fitting asks for places thousands of times, and a solved one costs ten times a told one.

use std::ops::Range;

use kurbo::{Point, Vec2};

use super::trace::{Place, Trace};

/// Places closer than this are not told apart, in radians.
const CLOSEST: f64 = 1e-6;

/// A solved place.
pub(super) type Solved = (f64, Place);

/// A trace between two corners.
pub(super) struct Table {
    places: Vec<Solved>,
    /// For even steps of the azimuth, the last place at or before each.
    before: Vec<usize>,
    /// Steps per radian.
    pace: f64,
}

impl Table {
    /// The trace over `range` (radians), told within `precision` millimetres; `beside` is where directions may be taken.
    /// `known` are places solved already, rising.
    ///
    /// # Errors
    /// An azimuth at which the trace has no place.
    pub(super) fn new(
        trace: &impl Trace,
        range: &Range<f64>,
        beside: &Range<f64>,
        known: &[Solved],
        precision: f64,
    ) -> Result<Self, f64> {
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
        let mut coarse = vec![end(range.start)?];
        let inside = beside.start.max(range.start + CLOSEST)..beside.end.min(range.end - CLOSEST);
        coarse.extend(known.iter().filter(|(azimuth, _)| inside.contains(azimuth)));
        coarse.push(end(range.end)?);
        let doubts = doubts(&coarse);
        let mut places = vec![coarse[0]];
        for (pair, doubt) in coarse.windows(2).zip(doubts) {
            if doubt > precision {
                refine(trace, pair[0], pair[1], precision, &mut places)?;
            }
            places.push(pair[1]);
        }
        Ok(Self::indexed(places, range))
    }

    fn indexed(places: Vec<Solved>, range: &Range<f64>) -> Self {
        let pace = places.len() as f64 / (range.end - range.start);
        let mut next = 0;
        let before = (0..=places.len())
            .map(|step| {
                let azimuth = range.start + step as f64 / pace;
                while next + 2 < places.len() && places[next + 1].0 <= azimuth {
                    next += 1;
                }
                next
            })
            .collect();
        Self { places, before, pace }
    }

    /// What was solved, rising.
    pub(super) fn places(&self) -> &[Solved] {
        &self.places
    }

    /// What it tells, in radians.
    pub(super) fn range(&self) -> Range<f64> {
        self.places[0].0..self.places[self.places.len() - 1].0
    }

    /// The place at `azimuth`, which is held within the table.
    pub(super) fn at(&self, azimuth: f64) -> Place {
        let step = ((azimuth - self.places[0].0) * self.pace).max(0.0) as usize;
        let mut place = self.before[step.min(self.before.len() - 1)];
        // Rounding may have put the step one too far.
        while place > 0 && self.places[place].0 > azimuth {
            place -= 1;
        }
        while place + 2 < self.places.len() && self.places[place + 1].0 <= azimuth {
            place += 1;
        }
        between(&self.places[place], &self.places[place + 1], azimuth)
    }

    /// Azimuths of the solved places within `range`, and of `parts` - 1 places between each two of them.
    pub(super) fn looks(&self, range: Range<f64>, parts: usize) -> impl Iterator<Item = f64> {
        let first = self.places.partition_point(|(at, _)| *at <= range.start);
        let last = self.places.partition_point(|(at, _)| *at < range.end);
        let inner = self.places[first..last.max(first)].iter().map(|(at, _)| *at);
        let stops = std::iter::once(range.start).chain(inner);
        let nexts = self.places[first..last.max(first)]
            .iter()
            .map(|(at, _)| *at)
            .chain([range.end]);
        stops
            .zip(nexts)
            .flat_map(move |(from, to)| (0..parts).map(move |part| from + (to - from) * part as f64 / parts as f64))
            .skip(1)
    }
}

/// How far each step might be told wrong, by both its ends. The first and last steps, where a corner may be, are always in
/// doubt.
fn doubts(coarse: &[Solved]) -> Vec<f64> {
    let off = |index: usize| match (index.checked_sub(1), coarse.get(index + 1)) {
        (Some(before), Some(after)) => doubt(&coarse[before], &coarse[index], after),
        _ => f64::INFINITY,
    };
    (0..coarse.len() - 1).map(|step| off(step).max(off(step + 1))).collect()
}

/// How far off the trace may be told between a place and its neighbours, in millimetres, by what the place is off when
/// its neighbours tell it. Twice as close a smooth curve is told sixteen times as well, which leaves a margin of two. A
/// small corner isn't, and where the points happen to miss it the speeds don't: between two places it is off by an eighth of
/// the step times the turn, and at least one of the two is told wrong by that much of speed, times half its neighbours' step.
fn doubt(from: &Solved, (azimuth, place): &Solved, to: &Solved) -> f64 {
    let told = between(from, to, *azimuth);
    let by_speed = (told.speed - place.speed).hypot() * (to.0 - from.0) / 2.0;
    (told.point.distance(place.point) / 8.0).max(by_speed)
}

/// Halves a step until it tells its middle.
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

/// Hermite's cubic through two places and their speeds.
fn between(from: &Solved, to: &Solved, azimuth: f64) -> Place {
    let step = to.0 - from.0;
    let s = (azimuth - from.0) / step;
    let chord = to.1.point - from.1.point;
    let (start, end) = (step * from.1.speed, step * to.1.speed);
    let (bend, twist) = (3.0 * chord - 2.0 * start - end, start + end - 2.0 * chord);
    let point: Point = from.1.point + s * (start + s * (bend + s * twist));
    let speed: Vec2 = (start + s * (2.0 * bend + 3.0 * s * twist)) / step;
    Place {
        point,
        speed,
        part: from.1.part,
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
            let range = 0.0..1.0;
            let table = Table::new(&trace, &range, &range, &known, precision).expect("a table");
            for step in 0..=20_000 {
                let azimuth = f64::from(step) / 20_000.0;
                let exact = trace.at(azimuth).expect("a place").point;
                // Square across: along a steep curve places may slide.
                let told = table.at(azimuth);
                let off = (told.point - exact).cross(told.speed).abs() / told.speed.hypot();
                assert!(off <= precision, "{azimuth}: {off}");
            }
            assert!(table.places.len() < 200, "{}", table.places.len());
        }
    }
}
