//! A traced curve to a Bezier path within a tolerance, measured after fitting.

use std::ops::Range;

use kurbo::{
    BezPath, CurveFitSample, ParamCurve, ParamCurveDeriv, ParamCurveFit, PathSeg, Point, Vec2, fit_to_bezpath,
};

use super::crease::creases;
use super::trace::{Place, Trace};
use crate::measure::Tolerance;
use crate::problem::Problem;

/// Places a segment is measured at. Its error has a few humps, so that the largest is seen.
const MEASURED_PLACES: usize = 24;

/// Each try asks for half of what the one before it asked for.
const TRIES: u32 = 8;

/// How far from a corner the direction of the curve is taken, in radians: the square root that makes
/// the corner leaves no good direction in it.
const BESIDE_A_CORNER: f64 = 1e-4;

/// Fits `trace` over `range` (radians), split at its corners, no point farther from it than `tolerance`.
///
/// kurbo's accuracy is a target and not a promise, so half of it is asked for, the result measured,
/// and less asked for again where it is not kept.
///
/// # Errors
/// Where the trace has gaps, i.e. a line of the wall misses the body.
pub fn fit(trace: &impl Trace, range: Range<f64>, tolerance: Tolerance) -> Result<BezPath, Problem> {
    let mut stops = vec![range.start];
    stops.extend(
        creases(trace, range.clone())
            .into_iter()
            .filter(|&corner| corner > range.start + SEAM && corner < range.end - SEAM),
    );
    stops.push(range.end);
    let mut path = BezPath::new();
    for stop in stops.windows(2) {
        let piece = fit_smooth(trace, stop[0]..stop[1], tolerance)?;
        // Pieces meet in a corner: the next one goes on from where the last one ended.
        path.extend(piece.into_iter().skip(usize::from(!path.is_empty())));
    }
    Ok(path)
}

/// A corner nearer than this to an end of the range is the end itself, in radians.
const SEAM: f64 = 2e-6;

fn fit_smooth(trace: &impl Trace, range: Range<f64>, tolerance: Tolerance) -> Result<BezPath, Problem> {
    let first = trace.at(range.start).ok_or_else(|| miss(range.start))?;
    let smooth = Smooth {
        trace,
        beside: beside_corners(trace, &range),
        range,
        fallback: first,
    };
    let mut accuracy = tolerance.mm() / 2.0;
    for _ in 0..TRIES {
        let path = fit_to_bezpath(&smooth, accuracy);
        match smooth.largest_distance(&path) {
            Ok(distance) if distance <= tolerance.mm() => return Ok(path),
            Ok(_) => accuracy /= 2.0,
            Err(azimuth) => return Err(miss(azimuth)),
        }
    }
    Err(Problem::new("the cut can't be drawn as a smooth curve").figures(format!("to within {} mm", tolerance.mm())))
}

fn miss(azimuth: f64) -> Problem {
    Problem::new("a part of the tube's wall passes beside what it lands on")
        .figures(format!(
            "at azimuth {:.1} degrees",
            azimuth.to_degrees().rem_euclid(360.0)
        ))
        .help("use a narrower tube or a wider body, or bring their axes nearer")
}

/// The part of a trace between two corners, over 0..1.
struct Smooth<'a, T> {
    trace: &'a T,
    range: Range<f64>,
    /// Where directions may be taken.
    beside: Range<f64>,
    /// Stands in for places that are not there; the measurement finds them.
    fallback: Place,
}

/// `range`, less a little where an end is a corner, i.e. where the direction there is not the one beside it.
fn beside_corners(trace: &impl Trace, range: &Range<f64>) -> Range<f64> {
    let step = BESIDE_A_CORNER.min((range.end - range.start) / 4.0);
    let is_corner = |at: f64| {
        let direction = |azimuth: f64| trace.at(azimuth).map(|place| place.speed.normalize());
        direction(at - step)
            .zip(direction(at + step))
            .is_none_or(|(before, after)| (before - after).hypot() > 0.005)
    };
    let start = if is_corner(range.start) {
        range.start + step
    } else {
        range.start
    };
    let end = if is_corner(range.end) {
        range.end - step
    } else {
        range.end
    };
    start..end
}

impl<T: Trace> Smooth<'_, T> {
    fn azimuth(&self, share: f64) -> f64 {
        self.range.start + share * (self.range.end - self.range.start)
    }

    /// The place at `azimuth`, with the direction that the curve has beside a corner.
    fn at(&self, azimuth: f64) -> Option<Place> {
        let here = self.trace.at(azimuth)?;
        let inside = azimuth.clamp(self.beside.start, self.beside.end);
        let speed = if inside == azimuth {
            here.speed
        } else {
            self.trace.at(inside)?.speed
        };
        Some(Place { speed, ..here })
    }

    fn place(&self, share: f64) -> (Point, Vec2) {
        let place = self.at(self.azimuth(share)).unwrap_or(self.fallback);
        (place.point, place.speed * (self.range.end - self.range.start))
    }

    /// The largest distance of the path from the trace, in millimetres, or the azimuth of a gap.
    ///
    /// From each place on the path the trace is followed to where it stands square across.
    fn largest_distance(&self, path: &BezPath) -> Result<f64, f64> {
        let mut azimuth = self.range.start;
        let mut largest: f64 = 0.0;
        for segment in path.segments() {
            for place in 0..=MEASURED_PLACES {
                let at = place as f64 / MEASURED_PLACES as f64;
                let point = segment.eval(at);
                azimuth = self.nearest(azimuth, point, tangent(segment, at)).ok_or(azimuth)?;
                let on_trace = self.trace.at(azimuth).ok_or(azimuth)?;
                largest = largest.max(on_trace.point.distance(point));
            }
        }
        Ok(largest)
    }

    /// Newton's steps along the trace from `azimuth` to where `point` lies square across.
    fn nearest(&self, mut azimuth: f64, point: Point, tangent: Vec2) -> Option<f64> {
        for _ in 0..12 {
            let here = self.at(azimuth)?;
            let along = here.speed.dot(tangent);
            if along.abs() < f64::EPSILON || !along.is_finite() {
                break;
            }
            let step = (point - here.point).dot(tangent) / along;
            let next = (azimuth + step.clamp(-0.2, 0.2)).clamp(self.range.start, self.range.end);
            if (next - azimuth).abs() < 1e-12 {
                break;
            }
            azimuth = next;
        }
        Some(azimuth)
    }
}

fn tangent(segment: PathSeg, at: f64) -> Vec2 {
    let direction = |at: f64| segment.to_cubic().deriv().eval(at).to_vec2();
    let here = direction(at);
    if here.hypot2() > 0.0 { here } else { direction(0.5) }
}

impl<T: Trace> ParamCurveFit for Smooth<'_, T> {
    fn sample_pt_tangent(&self, share: f64, _sign: f64) -> CurveFitSample {
        let (p, tangent) = self.place(share);
        CurveFitSample { p, tangent }
    }

    fn sample_pt_deriv(&self, share: f64) -> (Point, Vec2) {
        self.place(share)
    }

    fn break_cusp(&self, _range: Range<f64>) -> Option<f64> {
        None
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;

    /// A miter's unrolled cut (Apostol and Mnatsakanian 2007): h sin(x / r).
    struct Wave(f64);

    impl Trace for Wave {
        fn at(&self, azimuth: f64) -> Option<Place> {
            let (sin, cos) = azimuth.sin_cos();
            Some(Place {
                point: Point::new(20.0 * azimuth, self.0 * sin),
                speed: Vec2::new(20.0, self.0 * cos),
            })
        }
    }

    /// The unrolled cut of two equal tubes: a corner at each side.
    struct Rooves;

    impl Trace for Rooves {
        fn at(&self, azimuth: f64) -> Option<Place> {
            let (sin, cos) = azimuth.sin_cos();
            Some(Place {
                point: Point::new(20.0 * azimuth, 20.0 * cos.abs()),
                speed: Vec2::new(20.0, -20.0 * sin * cos.signum()),
            })
        }
    }

    #[test]
    fn the_fitted_curve_keeps_any_tolerance_from_1_um_up() {
        for height in [0.0, 1.0, 20.0, 100.0] {
            for mm in [0.001, 0.005, 0.1] {
                let tolerance = Tolerance::new(mm).expect("above 0");
                let path = fit(&Wave(height), 0.0..2.0 * PI, tolerance).unwrap_or_else(|problem| panic!("{problem}"));
                for segment in path.segments() {
                    for step in 0..=200 {
                        let point = segment.eval(f64::from(step) / 200.0);
                        let (sin, cos) = (point.x / 20.0).sin_cos();
                        let square_across = (point.y - height * sin) / (height / 20.0 * cos).hypot(1.0);
                        assert!(square_across.abs() <= mm, "{height} at {}: {square_across}", point.x);
                    }
                }
            }
        }
    }

    #[test]
    fn a_corner_is_an_end_of_two_segments_and_nothing_else_is() {
        let found = creases(&Rooves, 0.0..2.0 * PI);
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(
            (found[0] - PI / 2.0).abs() < 1e-6 && (found[1] - 1.5 * PI).abs() < 1e-6,
            "{found:?}"
        );
        assert!(creases(&Wave(100.0), 0.0..2.0 * PI).is_empty());
    }
}
