//! A cubic that follows a stretch of an interpolated trace: through both its ends, in their directions, with handles of the lengths
//! that bring it nearest.

use std::iter;
use std::ops::Range;

use kurbo::{CubicBez, Point, Vec2};

use super::polynomial::Polynomial;
use super::table::Table;

/// Even steps of a cubic between which places it is held against the trace: few while its handles are found, more to measure
/// it and to better them once more, many where it is near what it may stray.
const FEW: usize = 6;
const MORE: usize = 16;
const MANY: usize = 64;

/// Into so many parts the way from each solved place to the next is divided where a cubic is looked at closely.
const BETWEEN: u32 = 8;

/// Handles are bettered so many times at most: near the best lengths the distances change as good as linearly with them.
const ROUNDS: usize = 6;
const MORE_ROUNDS: usize = 2;

/// A round that promises to take away less than this share of the squares of the distances is not worth it.
const GAIN: f64 = 0.2;

/// A handle that is longer or shorter by its own length counts as much as this share of the tolerance: where a stretch is
/// straight its handles stay as they are.
const INERTIA: f64 = 0.01;

/// So far the trace is taken for straight, in radians.
const STRAIGHT: f64 = 2e-3;

/// Newton's steps along a cubic end with one as small as this share of it, over which the cubic is taken for straight.
const NEAR: f64 = 1e-3;

/// The cubic that follows the trace over `azimuths`, and how far it strays in millimetres, seen from the cubic; `None` where
/// it would have to turn back. `tolerance` is what counts as near, in millimetres.
///
/// Distances are measured square across the cubic. Least squares, by Gauss and Newton's steps from Hermite's handles.
pub(super) fn following_cubic(table: &Table, azimuths: Range<f64>, tolerance: f64) -> Option<(CubicBez, f64)> {
    let mut handles = Handles::along(table, &azimuths);
    let inertia = INERTIA * tolerance;
    let mut few = Feet::<FEW>::even(&azimuths);
    for _ in 0..ROUNDS {
        let offsets = few.offsets(table, &handles.cubic());
        if !handles.better(&offsets, inertia) {
            break;
        }
    }
    let mut more = Feet::<MORE>::even(&azimuths);
    let mut best: Option<(CubicBez, f64)> = None;
    for _ in 0..=MORE_ROUNDS {
        let cubic = handles.cubic();
        let offsets = more.offsets(table, &cubic);
        let strays = offsets.largest();
        let goes_on = more.0.is_sorted() && more.0[MORE - 1] <= azimuths.end;
        if goes_on && best.is_none_or(|(_, least)| strays < least) {
            best = Some((cubic, strays));
        }
        if !handles.better(&offsets, inertia) {
            break;
        }
    }
    best
}

/// How far the cubic over `azimuths` strays in millimetres, looked at closely.
pub(super) fn strays(table: &Table, azimuths: &Range<f64>, cubic: &CubicBez) -> f64 {
    Feet::<MANY>::even(azimuths).offsets(table, cubic).largest()
}

/// The largest distance from the solved places within `azimuths` to the cubic, in millimetres.
pub(super) fn farthest(table: &Table, azimuths: &Range<f64>, cubic: &CubicBez) -> f64 {
    let places = table.places_within(azimuths).iter();
    farthest_of(places.map(|(azimuth, place)| (*azimuth, place.point)), azimuths, cubic)
}

/// The same with places between each solved one and the next: in a sharp turn the distance peaks between two of them.
pub(super) fn farthest_closely(table: &Table, azimuths: &Range<f64>, cubic: &CubicBez) -> f64 {
    let solved = table.places_within(azimuths).iter().map(|(azimuth, _)| *azimuth);
    let ends: Vec<f64> = iter::once(azimuths.start).chain(solved).chain([azimuths.end]).collect();
    let between = ends.windows(2).flat_map(|step| {
        let share = (step[1] - step[0]) / f64::from(BETWEEN);
        (0..BETWEEN).map(move |part| step[0] + share * f64::from(part))
    });
    farthest_of(between.map(|azimuth| (azimuth, table.at(azimuth).0)), azimuths, cubic)
}

fn farthest_of(places: impl Iterator<Item = (f64, Point)>, azimuths: &Range<f64>, cubic: &CubicBez) -> f64 {
    let polynomial = CubicPolynomial::new(cubic);
    let length = azimuths.end - azimuths.start;
    places
        .map(|(azimuth, point)| polynomial.distance(point, (azimuth - azimuths.start) / length))
        .fold(0.0, f64::max)
}

/// A cubic as its ends, the unit directions there, and the lengths of its handles.
struct Handles {
    ends: [Point; 2],
    directions: [Vec2; 2],
    lengths: [f64; 2],
}

impl Handles {
    /// Hermite's: as the trace is walked.
    fn along(table: &Table, azimuths: &Range<f64>) -> Self {
        let [start, end] = [azimuths.start, azimuths.end].map(|at| table.at(at));
        let third = (azimuths.end - azimuths.start) / 3.0;
        Self {
            ends: [start.0, end.0],
            directions: [start.1.normalize(), end.1.normalize()],
            lengths: [third * start.1.hypot(), third * end.1.hypot()],
        }
    }

    fn cubic(&self) -> CubicBez {
        let [first, last] = [0, 1].map(|end| self.lengths[end] * self.directions[end]);
        CubicBez::new(self.ends[0], self.ends[0] + first, self.ends[1] - last, self.ends[1])
    }

    /// Lengthens and shortens the handles so that the squares of the offsets become least, with `inertia` in millimetres;
    /// `false` where that isn't worth it.
    fn better<const STEPS: usize>(&mut self, offsets: &Offsets<STEPS>, inertia: f64) -> bool {
        let weight = STEPS as f64 * inertia * inertia;
        let [mut first, mut last] = self.lengths.map(|length| weight / (length * length));
        let (mut both, mut to_first, mut to_last, mut squares) = (0.0, 0.0, 0.0, 0.0);
        for place in 1..STEPS {
            let share = place as f64 / STEPS as f64;
            let (by, left) = (offsets.by[place], offsets.left[place]);
            let bends = 3.0 * share * (1.0 - share);
            // By how much the cubic moves there for each millimetre of a handle.
            let by_first = bends * (1.0 - share) * left.dot(self.directions[0]);
            let by_last = -bends * share * left.dot(self.directions[1]);
            first += by_first * by_first;
            last += by_last * by_last;
            both += by_first * by_last;
            to_first += by_first * by;
            to_last += by_last * by;
            squares += by * by;
        }
        let area = first * last - both * both;
        let change = [
            (to_first * last - to_last * both) / area,
            (to_last * first - to_first * both) / area,
        ];
        let lengths = [0, 1].map(|end| self.lengths[end] + change[end]);
        let is_possible = lengths.iter().all(|length| length.is_finite() && *length > 0.0);
        let gain = change[0] * to_first + change[1] * to_last;
        let is_worth_it = is_possible && gain > GAIN * squares;
        if is_worth_it {
            self.lengths = lengths;
        }
        is_worth_it
    }
}

/// The azimuths of the trace's places square across from even places of a cubic, the start the first of them.
struct Feet<const STEPS: usize>([f64; STEPS]);

/// How far the trace is from the even places of a cubic, square across to its left, with the unit vector that way; the start
/// the first of them.
struct Offsets<const STEPS: usize> {
    by: [f64; STEPS],
    left: [Vec2; STEPS],
}

impl<const STEPS: usize> Feet<STEPS> {
    fn even(azimuths: &Range<f64>) -> Self {
        let step = (azimuths.end - azimuths.start) / STEPS as f64;
        Self(std::array::from_fn(|place| azimuths.start + place as f64 * step))
    }

    /// The feet are brought nearer to where they belong.
    fn offsets(&mut self, table: &Table, cubic: &CubicBez) -> Offsets<STEPS> {
        let polynomial = CubicPolynomial::new(cubic);
        let (mut by, mut left) = ([0.0; STEPS], [Vec2::ZERO; STEPS]);
        for place in 1..STEPS {
            let (point, tangent) = polynomial.at(place as f64 / STEPS as f64);
            let ahead = tangent / tangent.hypot();
            let (mut foot, mut speed) = table.at(self.0[place]);
            // How far on along the trace, in radians, it is level with the cubic's place.
            let mut more = (point - foot).dot(ahead) / speed.dot(ahead);
            if more.abs() > STRAIGHT {
                self.0[place] += more;
                (foot, speed) = table.at(self.0[place]);
                more = (point - foot).dot(ahead) / speed.dot(ahead);
            }
            // What is left of the way along the trace is gone straight.
            self.0[place] += more;
            left[place] = Vec2::new(-ahead.y, ahead.x);
            by[place] = (foot + more * speed - point).dot(left[place]);
        }
        Offsets { by, left }
    }
}

impl<const STEPS: usize> Offsets<STEPS> {
    /// The largest, peaks between two places among them.
    fn largest(&self) -> f64 {
        let peak = |before: f64, here: f64, after: f64| {
            let bend = after - 2.0 * here + before;
            let is_peak = (here - before) * (after - here) <= 0.0 && bend != 0.0;
            let over = if is_peak {
                (after - before).powi(2) / (8.0 * bend)
            } else {
                0.0
            };
            (here - over).abs()
        };
        let inner = self.by.windows(3).map(|by| peak(by[0], by[1], by[2]));
        let last = peak(self.by[STEPS - 2], self.by[STEPS - 1], 0.0);
        inner.fold(last, f64::max)
    }
}

/// A cubic over 0 to 1, and its direction everywhere.
struct CubicPolynomial {
    polynomial: Polynomial,
    /// Where it has no direction.
    middle: Vec2,
}

impl CubicPolynomial {
    fn new(cubic: &CubicBez) -> Self {
        let (first, last) = (cubic.p1 - cubic.p0, cubic.p3 - cubic.p2);
        let (chord, handles) = (cubic.p3 - cubic.p0, cubic.p2 - cubic.p1);
        let linear = 3.0 * first;
        let square = 3.0 * (handles - first);
        Self {
            polynomial: Polynomial {
                start: cubic.p0,
                by: [linear, square, chord - linear - square],
            },
            middle: 0.75 * (first + 2.0 * handles + last),
        }
    }

    /// The place and the direction at a share from 0 to 1.
    fn at(&self, share: f64) -> (Point, Vec2) {
        let (point, tangent) = self.polynomial.at(share);
        (point, if tangent.hypot2() > 0.0 { tangent } else { self.middle })
    }

    /// From a point to the cubic, near a share of it.
    fn distance(&self, point: Point, near: f64) -> f64 {
        let mut share = near;
        for _ in 0..8 {
            let (here, tangent) = self.at(share);
            let off = point - here;
            let step = off.dot(tangent) / tangent.hypot2();
            if step.abs() < NEAR {
                return off.cross(tangent).abs() / tangent.hypot();
            }
            let next = (share + step.clamp(-0.3, 0.3)).clamp(0.0, 1.0);
            if !next.is_finite() || next == share {
                break;
            }
            share = next;
        }
        self.at(share).0.distance(point)
    }
}

#[cfg(test)]
mod tests {
    use kurbo::{ParamCurve, ParamCurveDeriv};

    use super::*;

    #[test]
    fn a_sum_of_powers_is_the_cubic() {
        let cubic = CubicBez::new((1.0, 2.0), (4.0, 9.0), (6.0, -3.0), (11.0, 5.0));
        let polynomial = CubicPolynomial::new(&cubic);
        for share in [0.0, 0.1, 0.5, 0.83, 1.0] {
            let (point, tangent) = polynomial.at(share);
            assert!(point.distance(cubic.eval(share)) < 1e-12);
            assert!((tangent - cubic.deriv().eval(share).to_vec2()).hypot() < 1e-12);
        }
        assert!((polynomial.middle - polynomial.at(0.5).1).hypot() < 1e-12);
    }
}
