//! Steep ends made even: where a curve begins or ends like a square root, its speed has no limit there, and a cubic in
//! the azimuth follows it badly. Walked more and more slowly towards such an end it is smooth.

use std::f64::consts::PI;
use std::ops::Range;

use super::trace::{Place, Trace};

/// How far from an end its speed is looked at, in radians, and again at four times that: a square root's is half as large
/// there.
const BESIDE: f64 = 1e-4;
const STEEP: f64 = 1.5;

/// So near to a steep end, in radians, the speed is taken from beside it.
const NEAREST: f64 = 1e-6;

/// A trace over a range, slowed towards its steep ends; the same places in the same order.
pub(super) struct Eased<'a, T> {
    trace: &'a T,
    range: Range<f64>,
    /// At the start, at the end.
    is_steep: [bool; 2],
}

impl<'a, T: Trace> Eased<'a, T> {
    /// `None` where no end is steep.
    pub(super) fn of(trace: &'a T, range: &Range<f64>) -> Option<Self> {
        let beside = BESIDE.min((range.end - range.start) / 16.0);
        let speed = |azimuth: f64| trace.at(azimuth).map_or(f64::NAN, |place| place.speed.hypot());
        let is_steep = [(range.start, beside), (range.end, -beside)]
            .map(|(end, inwards)| speed(end + inwards) > STEEP * speed(end + 4.0 * inwards));
        is_steep.contains(&true).then(|| Self {
            trace,
            range: range.clone(),
            is_steep,
        })
    }

    /// A share of the range, and how fast it grows with `share`.
    fn ease(&self, share: f64) -> (f64, f64) {
        match self.is_steep {
            [true, true] => ((1.0 - (PI * share).cos()) / 2.0, PI / 2.0 * (PI * share).sin()),
            [true, false] => (share * share, 2.0 * share),
            [false, true] => (share * (2.0 - share), 2.0 - 2.0 * share),
            [false, false] => (share, 1.0),
        }
    }
}

impl<T: Trace> Trace for Eased<'_, T> {
    fn at(&self, azimuth: f64) -> Option<Place> {
        let length = self.range.end - self.range.start;
        let share = (azimuth - self.range.start) / length;
        if !(0.0..=1.0).contains(&share) {
            return self.trace.at(azimuth);
        }
        let (eased, _) = self.ease(share);
        let here = self.trace.at(self.range.start + length * eased)?;
        let least = (NEAREST / length).sqrt();
        let (beside, pace) = self.ease(share.clamp(
            if self.is_steep[0] { least } else { 0.0 },
            if self.is_steep[1] { 1.0 - least } else { 1.0 },
        ));
        let speed = pace * self.trace.at(self.range.start + length * beside)?.speed;
        Some(Place { speed, ..here })
    }
}
