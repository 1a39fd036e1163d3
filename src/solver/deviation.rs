//! How far a cubic strays from a told trace.

use std::ops::Range;

use kurbo::{CubicBez, Point, Vec2};

use super::table::Table;

/// Places on a cubic that are held against the trace.
const PLACES: usize = 12;

/// Places of the trace that are held against a cubic, for each step of its table.
const PARTS: usize = 1;

/// Steps towards the place of the trace that is nearest to a point, those that are halved among them.
const NEWTON_STEPS: usize = 40;

/// Newton's steps along a curve end with one as small as this, in radians or as a share of a cubic: a distance square
/// across is wrong by the square of it.
const NEAR: f64 = 1e-8;

/// The largest distance between the cubic and the trace over `azimuths`, in millimetres, seen from both; measured at
/// `times` as many places as usual, and only until one is past `enough`.
pub(super) fn deviation(table: &Table, cubic: &CubicBez, azimuths: Range<f64>, times: usize, enough: f64) -> f64 {
    let cubic = Polynomial::new(cubic);
    let (mut largest, mut azimuth) = (0.0_f64, azimuths.start);
    let places = PLACES * times;
    for place in 1..places {
        let (point, tangent) = cubic.at(place as f64 / places as f64);
        azimuth = nearest_on_table(table, azimuth, point, tangent);
        largest = largest.max(table.at(azimuth).point.distance(point));
        if largest > enough {
            return largest;
        }
    }
    let mut at = 0.0;
    for azimuth in table.looks(azimuths, PARTS * times) {
        let point = table.at(azimuth).point;
        at = nearest_on_cubic(&cubic, at, point);
        largest = largest.max(cubic.at(at).0.distance(point));
        if largest > enough {
            return largest;
        }
    }
    largest
}

/// Newton's steps along the trace from `azimuth` to where `point` lies square across; a step too far, as where the
/// trace is steeper than beside its corner, is halved.
fn nearest_on_table(table: &Table, mut azimuth: f64, point: Point, tangent: Vec2) -> f64 {
    let range = table.range();
    let mut before = (azimuth, f64::INFINITY);
    for _ in 0..NEWTON_STEPS {
        let here = table.at(azimuth);
        let off = (point - here.point).dot(tangent);
        if off.abs() > before.1 {
            azimuth = 0.5 * (azimuth + before.0);
            continue;
        }
        before = (azimuth, off.abs());
        let along = here.speed.dot(tangent);
        if along.abs() < f64::EPSILON || !along.is_finite() {
            break;
        }
        let step = off / along;
        let next = (azimuth + step.clamp(-0.2, 0.2)).clamp(range.start, range.end);
        if (next - azimuth).abs() < NEAR {
            break;
        }
        azimuth = next;
    }
    azimuth
}

/// Newton's steps along the cubic from `at` to where `point` lies square across.
fn nearest_on_cubic(cubic: &Polynomial, mut at: f64, point: Point) -> f64 {
    for _ in 0..8 {
        let (here, tangent) = cubic.at(at);
        let step = (point - here).dot(tangent) / tangent.hypot2();
        let next = (at + step.clamp(-0.3, 0.3)).clamp(0.0, 1.0);
        if !next.is_finite() || (next - at).abs() < NEAR {
            break;
        }
        at = next;
    }
    at
}

/// A cubic as a sum of powers: places and directions for little.
struct Polynomial {
    start: Point,
    powers: [Vec2; 3],
    /// Where it has no direction.
    middle: Vec2,
}

impl Polynomial {
    fn new(cubic: &CubicBez) -> Self {
        let (first, last) = (cubic.p1 - cubic.p0, cubic.p3 - cubic.p2);
        let (chord, handles) = (cubic.p3 - cubic.p0, cubic.p2 - cubic.p1);
        let linear = 3.0 * first;
        let square = 3.0 * (handles - first);
        Self {
            start: cubic.p0,
            powers: [linear, square, chord - linear - square],
            middle: 0.75 * (first + 2.0 * handles + last),
        }
    }

    /// The place and the direction at a share from 0 to 1.
    fn at(&self, share: f64) -> (Point, Vec2) {
        let [linear, square, cube] = self.powers;
        let point = self.start + share * (linear + share * (square + share * cube));
        let tangent = linear + share * (2.0 * square + 3.0 * share * cube);
        (point, if tangent.hypot2() > 0.0 { tangent } else { self.middle })
    }
}

#[cfg(test)]
mod tests {
    use kurbo::{ParamCurve, ParamCurveDeriv};

    use super::*;

    #[test]
    fn a_sum_of_powers_is_the_cubic() {
        let cubic = CubicBez::new((1.0, 2.0), (4.0, 9.0), (6.0, -3.0), (11.0, 5.0));
        let powers = Polynomial::new(&cubic);
        for share in [0.0, 0.1, 0.5, 0.83, 1.0] {
            let (point, tangent) = powers.at(share);
            assert!(point.distance(cubic.eval(share)) < 1e-12);
            assert!((tangent - cubic.deriv().eval(share).to_vec2()).hypot() < 1e-12);
        }
        assert!((powers.middle - powers.at(0.5).1).hypot() < 1e-12);
    }
}
