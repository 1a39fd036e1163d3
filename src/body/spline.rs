//! A smooth closed curve of values over a turn: the periodic cubic spline through measured values.

use std::f64::consts::TAU;

/// Sweeps over the equations; each leaves less than a quarter of what was off.
const SWEEPS: usize = 80;

/// A value over the angle, twice differentiable, the same after a turn.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PeriodicSpline {
    /// Angles in radians, rising, within one turn from the first.
    knots: Vec<f64>,
    values: Vec<f64>,
    /// Second derivatives at the knots.
    bends: Vec<f64>,
}

impl PeriodicSpline {
    /// Through `(angle, value)` pairs, two or more, rising within less than a turn.
    ///
    /// The usual equations of the cubic spline (de Boor, A Practical Guide to Splines, 1978, chapter IV), with the first
    /// knot coming again after the last. Their diagonal outweighs the rest twice over, so that sweeps settle.
    pub(super) fn new(pairs: &[(f64, f64)]) -> Self {
        let count = pairs.len();
        let (knots, values): (Vec<f64>, Vec<f64>) = pairs.iter().copied().unzip();
        let step = |at: usize| knots[(at + 1) % count] - knots[at] + if at + 1 == count { TAU } else { 0.0 };
        let rise = |at: usize| (values[(at + 1) % count] - values[at]) / step(at);
        let mut bends = vec![0.0; count];
        for _ in 0..SWEEPS {
            for at in 0..count {
                let (before, after) = ((at + count - 1) % count, (at + 1) % count);
                let (left, right) = (step(before), step(at));
                let known = 6.0 * (rise(at) - rise(before)) - left * bends[before] - right * bends[after];
                bends[at] = known / (2.0 * (left + right));
            }
        }
        Self { knots, values, bends }
    }

    /// The angles between which it is one cubic each.
    pub(super) fn knots(&self) -> &[f64] {
        &self.knots
    }

    /// Value, first and second derivative at any angle.
    pub(super) fn at(&self, angle: f64) -> [f64; 3] {
        let count = self.knots.len();
        let past = (angle - self.knots[0]).rem_euclid(TAU);
        let from = self.knots.partition_point(|knot| knot - self.knots[0] <= past).max(1) - 1;
        let to = (from + 1) % count;
        let end = if to == 0 { TAU } else { self.knots[to] - self.knots[0] };
        let (x, h) = (
            past - (self.knots[from] - self.knots[0]),
            end - (self.knots[from] - self.knots[0]),
        );
        let (p, q, m, n) = (self.values[from], self.values[to], self.bends[from], self.bends[to]);
        let slope = (q - p) / h - h * (2.0 * m + n) / 6.0;
        let jerk = (n - m) / h;
        [
            p + x * (slope + x * (m / 2.0 + x * jerk / 6.0)),
            slope + x * (m + x * jerk / 2.0),
            m + x * jerk,
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_goes_through_its_values_and_joins_smoothly_everywhere() {
        let pairs = [(0.3, 10.0), (1.0, 12.0), (2.9, 9.0), (4.0, 11.0), (6.0, 10.5)];
        let spline = PeriodicSpline::new(&pairs);
        for (angle, value) in pairs {
            assert!((spline.at(angle + TAU)[0] - value).abs() < 1e-12);
            let (before, after) = (spline.at(angle - 1e-9), spline.at(angle + 1e-9));
            for order in 0..3 {
                assert!((before[order] - after[order]).abs() < 1e-6, "{order} at {angle}");
            }
        }
    }

    #[test]
    fn many_values_of_a_sine_give_the_sine_and_its_derivatives() {
        let pairs: Vec<(f64, f64)> = (0..200)
            .map(|k| f64::from(k) * TAU / 200.0)
            .map(|a| (a, a.sin()))
            .collect();
        let spline = PeriodicSpline::new(&pairs);
        for step in 0..1000 {
            let angle = 0.0137 * f64::from(step);
            let [value, slope, bend] = spline.at(angle);
            assert!((value - angle.sin()).abs() < 1e-8);
            assert!((slope - angle.cos()).abs() < 1e-6);
            assert!((bend + angle.sin()).abs() < 1e-3);
        }
    }
}
