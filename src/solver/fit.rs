//! A traced curve to a Bezier path within a tolerance, measured after fitting.

use std::f64::consts::TAU;
use std::ops::Range;

use kurbo::{BezPath, CubicBez, CurveFitSample, ParamCurve, ParamCurveDeriv, ParamCurveFit, Point, Vec2, fit_to_cubic};

use super::crease::creases;
use super::ease::Eased;
use super::trace::{Place, Trace};
use crate::measure::Tolerance;
use crate::problem::Problem;

/// Places on a cubic that are held against the trace.
const MEASURED_PLACES: usize = 24;

/// At least this often the trace is held against the cubic, in radians: where another part of the wall takes over, it
/// may have a hump between two places of the cubic.
const MEASURED_STEP: f64 = 0.004;

/// Steps towards the place of the trace that is nearest to a point, those that are halved among them.
const NEWTON_STEPS: usize = 40;

/// From this share of the tolerance on a cubic is measured again, at so many times the places.
const CLOSE: f64 = 0.95;
const CLOSER: usize = 8;

/// A cubic is halved at most this often; a stretch this short is as good as straight.
const HALVINGS: u32 = 30;

/// How far from a corner the direction of the curve is taken, in radians: the square root that makes the corner leaves
/// no good direction in it.
const BESIDE_A_CORNER: f64 = 1e-4;

/// A corner nearer than this to an end of the range is the end itself, in radians.
const SEAM: f64 = 2e-6;

/// Handles that are longer than this in all, as a share of the chord, may fold the curve back on itself.
const LONGEST_HANDLES: f64 = 1.2;

/// Fits `trace` over `range` (radians), split at its corners, no point farther from it than `tolerance`, and never
/// turning back.
///
/// kurbo's cubics match area and moment, which gives few of them; its accuracy is a target and not a promise, and on
/// nearly straight stretches they may fold. So each cubic is measured and looked at, and where it is not good a cubic
/// through both ends' places and directions is tried (Hermite's), then the stretch is halved.
///
/// # Errors
/// Where the trace has gaps, i.e. a line of the wall misses the body.
pub fn fit(trace: &impl Trace, range: Range<f64>, tolerance: Tolerance) -> Result<BezPath, Problem> {
    require_whole(trace, &range)?;
    let mut joins = vec![range.start];
    joins.extend(joins_within(trace, &range));
    joins.push(range.end);
    let mut stops = vec![range.start];
    for smooth in joins.windows(2) {
        let inside = smooth[0] + SEAM..smooth[1] - SEAM;
        let corners = creases(trace, smooth[0]..smooth[1]);
        stops.extend(corners.into_iter().filter(|corner| inside.contains(corner)));
        stops.push(smooth[1]);
    }
    let mut path = BezPath::new();
    for stop in stops.windows(2) {
        let range = stop[0]..stop[1];
        let cubics = match Eased::of(trace, &range) {
            Some(eased) => Smooth::new(&eased, range)?.cubics(tolerance)?,
            None => Smooth::new(trace, range)?.cubics(tolerance)?,
        };
        for cubic in cubics {
            if path.is_empty() {
                path.move_to(cubic.p0);
            }
            path.curve_to(cubic.p1, cubic.p2, cubic.p3);
        }
    }
    Ok(path)
}

/// The joins inside `range`, but for its ends.
pub(super) fn joins_within(trace: &impl Trace, range: &Range<f64>) -> Vec<f64> {
    let first_turn = (range.start / TAU).floor() as i64;
    let last_turn = (range.end / TAU).ceil() as i64;
    let joins = trace.joins();
    let turns = (first_turn..last_turn).flat_map(|turn| joins.iter().map(move |join| join + TAU * turn as f64));
    turns
        .filter(|join| (range.start + SEAM..range.end - SEAM).contains(join))
        .collect()
}

/// A gap is told before its steep edge is fitted in vain.
fn require_whole(trace: &impl Trace, range: &Range<f64>) -> Result<(), Problem> {
    let looks = ((range.end - range.start) / MEASURED_STEP).ceil().max(1.0) as usize;
    let azimuth = |look: usize| range.start + (range.end - range.start) * look as f64 / looks as f64;
    match (0..=looks).map(azimuth).find(|azimuth| trace.at(*azimuth).is_none()) {
        Some(gap) => Err(miss(gap)),
        None => Ok(()),
    }
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
        let beside = direction(at - step).zip(direction(at + step));
        beside.is_none_or(|(before, after)| (before - after).hypot() > 0.005)
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

impl<'a, T: Trace> Smooth<'a, T> {
    fn new(trace: &'a T, range: Range<f64>) -> Result<Self, Problem> {
        let fallback = trace.at(range.start).ok_or_else(|| miss(range.start))?;
        Ok(Self {
            trace,
            beside: beside_corners(trace, &range),
            range,
            fallback,
        })
    }

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

    /// Cubics over all of it, in order.
    fn cubics(&self, tolerance: Tolerance) -> Result<Vec<CubicBez>, Problem> {
        let mut cubics = Vec::new();
        self.cover(0.0..1.0, tolerance, HALVINGS, &mut cubics)?;
        Ok(cubics)
    }

    /// Cubics over `span`, a part of 0..1, in order.
    fn cover(
        &self,
        span: Range<f64>,
        tolerance: Tolerance,
        halvings: u32,
        cubics: &mut Vec<CubicBez>,
    ) -> Result<(), Problem> {
        let fitted = fit_to_cubic(self, span.clone(), tolerance.mm() / 2.0).map(|(cubic, _)| cubic);
        for cubic in fitted.into_iter().chain([self.hermite(&span)]) {
            if is_forward(&cubic) && self.is_within(tolerance, &cubic, &span)? {
                cubics.push(cubic);
                return Ok(());
            }
        }
        if halvings == 0 {
            let beside = [-MEASURED_STEP, MEASURED_STEP].map(|step| self.azimuth(span.start) + step);
            if let Some(gap) = beside.into_iter().find(|azimuth| self.trace.at(*azimuth).is_none()) {
                return Err(miss(gap));
            }
            let at = self.azimuth(span.start).to_degrees().rem_euclid(360.0);
            return Err(Problem::new("the cut can't be drawn as a smooth curve")
                .figures(format!("to within {} mm at azimuth {at:.2} degrees", tolerance.mm())));
        }
        let middle = 0.5 * (span.start + span.end);
        self.cover(span.start..middle, tolerance, halvings - 1, cubics)?;
        self.cover(middle..span.end, tolerance, halvings - 1, cubics)
    }

    /// The cubic with the trace's places and directions at both ends.
    fn hermite(&self, span: &Range<f64>) -> CubicBez {
        let ((p0, d0), (p3, d3)) = (self.place(span.start), self.place(span.end));
        let third = (span.end - span.start) / 3.0;
        CubicBez::new(p0, p0 + third * d0, p3 - third * d3, p3)
    }

    /// Whether the cubic keeps the tolerance. What just keeps it is measured closer: its peak may lie between two places.
    fn is_within(&self, tolerance: Tolerance, cubic: &CubicBez, span: &Range<f64>) -> Result<bool, Problem> {
        let coarse = self.largest_distance(cubic, span, 1)?;
        if coarse < CLOSE * tolerance.mm() || coarse > tolerance.mm() {
            return Ok(coarse <= tolerance.mm());
        }
        Ok(self.largest_distance(cubic, span, CLOSER)? <= tolerance.mm())
    }

    /// The largest distance between the cubic and the trace over `span`, in millimetres, seen from both; measured at
    /// `times` as many places as usual.
    fn largest_distance(&self, cubic: &CubicBez, span: &Range<f64>, times: usize) -> Result<f64, Problem> {
        let azimuths = self.azimuth(span.start)..self.azimuth(span.end);
        let mut largest: f64 = 0.0;
        let mut azimuth = azimuths.start;
        let places = MEASURED_PLACES * times;
        for place in 0..=places {
            let at = place as f64 / places as f64;
            let point = cubic.eval(at);
            azimuth = self
                .nearest(azimuth, point, direction(cubic, at))
                .ok_or_else(|| miss(azimuth))?;
            let on_trace = self.trace.at(azimuth).ok_or_else(|| miss(azimuth))?;
            largest = largest.max(on_trace.point.distance(point));
        }
        let looks = ((azimuths.end - azimuths.start) / MEASURED_STEP).ceil().max(1.0) as usize * times;
        let mut at = 0.0;
        for look in 1..looks {
            let azimuth = azimuths.start + (azimuths.end - azimuths.start) * look as f64 / looks as f64;
            let point = self.trace.at(azimuth).ok_or_else(|| miss(azimuth))?.point;
            at = nearest_on(cubic, at, point);
            largest = largest.max(cubic.eval(at).distance(point));
        }
        Ok(largest)
    }

    /// Newton's steps along the trace from `azimuth` to where `point` lies square across; a step too far, as where the
    /// trace is steeper than beside its corner, is halved.
    fn nearest(&self, mut azimuth: f64, point: Point, tangent: Vec2) -> Option<f64> {
        let mut before = (azimuth, f64::INFINITY);
        for _ in 0..NEWTON_STEPS {
            let here = self.at(azimuth)?;
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
            let next = (azimuth + step.clamp(-0.2, 0.2)).clamp(self.range.start, self.range.end);
            if (next - azimuth).abs() < 1e-12 {
                break;
            }
            azimuth = next;
        }
        Some(azimuth)
    }
}

/// Newton's steps along the cubic from `at` to where `point` lies square across.
fn nearest_on(cubic: &CubicBez, mut at: f64, point: Point) -> f64 {
    for _ in 0..8 {
        let tangent = direction(cubic, at);
        let step = (point - cubic.eval(at)).dot(tangent) / tangent.hypot2();
        let next = (at + step.clamp(-0.3, 0.3)).clamp(0.0, 1.0);
        if !next.is_finite() || (next - at).abs() < 1e-10 {
            break;
        }
        at = next;
    }
    at
}

fn direction(cubic: &CubicBez, at: f64) -> Vec2 {
    let here = cubic.deriv().eval(at).to_vec2();
    if here.hypot2() > 0.0 {
        here
    } else {
        cubic.deriv().eval(0.5).to_vec2()
    }
}

/// Whether a cubic can't turn back: its handles lead forward and are not too long for its chord.
fn is_forward(cubic: &CubicBez) -> bool {
    let chord = cubic.p3 - cubic.p0;
    let (first, last) = (cubic.p1 - cubic.p0, cubic.p3 - cubic.p2);
    let leads = first.dot(chord) >= 0.0 && last.dot(chord) >= 0.0;
    leads && first.hypot() + last.hypot() <= LONGEST_HANDLES * chord.hypot()
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
