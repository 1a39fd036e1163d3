//! A traced curve to a Bezier path within a tolerance, measured after fitting.

use std::f64::consts::TAU;
use std::ops::Range;

use kurbo::{
    BezPath, CubicBez, CurveFitSample, ParamCurve, ParamCurveDeriv, ParamCurveExtrema, ParamCurveFit, Point, Vec2,
    fit_to_cubic,
};

use super::crease::scan;
use super::ease::Eased;
use super::table::{Solved, Table};
use super::trace::Trace;
use crate::measure::Tolerance;
use crate::problem::Problem;

/// Places on a cubic that are held against the trace.
const MEASURED_PLACES: usize = 12;

/// Places of the trace that are held against a cubic, for each step of its table.
const PARTS: usize = 2;

/// Steps towards the place of the trace that is nearest to a point, those that are halved among them.
const NEWTON_STEPS: usize = 40;

/// From this share of the tolerance on a cubic is measured again, at so many times the places.
const CLOSE: f64 = 0.8;
const CLOSER: usize = 8;

/// The table of a trace is this share of the tolerance off at most, and cubics are held to the rest.
const TABLE_SHARE: f64 = 0.01;

/// A cubic is halved at most this often; a stretch this short is as good as straight.
const HALVINGS: u32 = 30;

/// How far from a corner the direction of the curve is taken, in radians: the square root that makes the corner leaves
/// no good direction in it.
const BESIDE_A_CORNER: f64 = 1e-4;

/// A corner nearer than this to an end of the range is the end itself, in radians.
const SEAM: f64 = 2e-6;

/// What rounding may move a place by, in millimetres.
const ROUNDING: f64 = 1e-10;

/// Newton's steps along a curve end with one as small as this, in radians or as a share of a cubic: a distance square
/// across is wrong by the square of it.
const NEAR: f64 = 1e-8;

/// Handles that are longer than this in all, as a share of the chord, may fold the curve back on itself.
const LONGEST_HANDLES: f64 = 1.2;

/// A trace, fitted.
pub struct Fitted {
    /// Within the tolerance of the trace.
    pub path: BezPath,
    /// Places that were solved on the way, about one a degree, and the corners; in no order.
    pub(super) solved: Vec<Solved>,
}

/// Fits `trace` over `range` (radians), split at its corners, no point farther from it than `tolerance`, and never
/// turning back.
///
/// kurbo's cubics match area and moment, which gives few of them; its accuracy is a target and not a promise, and on
/// nearly straight stretches they may fold. So each cubic is measured and looked at, and where it is not good a cubic
/// through both ends' places and directions is tried (Hermite's), then the stretch is halved.
///
/// # Errors
/// Where the trace has gaps, i.e. a line of the wall misses the body.
pub fn fit(trace: &impl Trace, range: Range<f64>, tolerance: Tolerance) -> Result<Fitted, Problem> {
    let mut joins = vec![range.start];
    joins.extend(joins_within(trace, &range));
    joins.push(range.end);
    let (mut stops, mut known) = (vec![range.start], Vec::new());
    for smooth in joins.windows(2) {
        let inside = smooth[0] + SEAM..smooth[1] - SEAM;
        let mut scan = scan(trace, smooth[0]..smooth[1]).map_err(miss)?;
        stops.extend(scan.corners.into_iter().filter(|corner| inside.contains(corner)));
        stops.push(smooth[1]);
        known.append(&mut scan.solved);
    }
    let mut path = BezPath::new();
    for stop in stops.windows(2) {
        let range = stop[0]..stop[1];
        let smooth = match Eased::of(trace, &range) {
            Some(eased) => Smooth::new(&eased, range.clone(), &even_places(&eased, &range), tolerance),
            None => Smooth::new(trace, range, &known, tolerance),
        };
        let cubics = smooth.map_err(miss)?.cubics()?;
        for cubic in cubics {
            if path.is_empty() {
                path.move_to(cubic.p0);
            }
            path.curve_to(cubic.p1, cubic.p2, cubic.p3);
        }
    }
    known.extend(stops.iter().filter_map(|stop| Some((*stop, trace.at(*stop)?))));
    Ok(Fitted { path, solved: known })
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

fn miss(azimuth: f64) -> Problem {
    Problem::new("a part of the tube's wall passes beside what it lands on")
        .figures(format!(
            "at azimuth {:.1} degrees",
            azimuth.to_degrees().rem_euclid(360.0)
        ))
        .help("use a narrower tube or a wider body, or bring their axes nearer")
}

/// Places of an eased stretch to begin its table with: those of the trace itself are at other azimuths.
fn even_places(eased: &Eased<'_, impl Trace>, range: &Range<f64>) -> Vec<Solved> {
    const STEPS: usize = 60;
    let azimuth = |step: usize| range.start + (range.end - range.start) * step as f64 / STEPS as f64;
    let azimuths = (1..STEPS).map(azimuth);
    azimuths
        .filter_map(|azimuth| Some((azimuth, eased.at(azimuth)?)))
        .collect()
}

/// The part of a trace between two corners, over 0..1.
struct Smooth {
    range: Range<f64>,
    table: Table,
    /// In millimetres.
    tolerance: f64,
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

impl Smooth {
    /// An azimuth is the error at which the trace has no place.
    fn new(trace: &impl Trace, range: Range<f64>, known: &[Solved], tolerance: Tolerance) -> Result<Self, f64> {
        let precision = TABLE_SHARE * tolerance.mm();
        Ok(Self {
            table: Table::new(trace, &range, &beside_corners(trace, &range), known, precision)?,
            range,
            tolerance: tolerance.mm() - precision,
        })
    }

    fn azimuth(&self, share: f64) -> f64 {
        self.range.start + share * (self.range.end - self.range.start)
    }

    fn place(&self, share: f64) -> (Point, Vec2) {
        let place = self.table.at(self.azimuth(share));
        (place.point, place.speed * (self.range.end - self.range.start))
    }

    /// Cubics over all of it, in order.
    fn cubics(&self) -> Result<Vec<CubicBez>, Problem> {
        let mut cubics = Vec::new();
        self.cover(0.0..1.0, HALVINGS, &mut cubics)?;
        Ok(cubics)
    }

    /// Cubics over `span`, a part of 0..1, in order.
    fn cover(&self, span: Range<f64>, halvings: u32, cubics: &mut Vec<CubicBez>) -> Result<(), Problem> {
        let fitted = fit_to_cubic(self, span.clone(), self.tolerance / 2.0).map(|(cubic, _)| cubic);
        for cubic in fitted.into_iter().chain([self.hermite(&span)]) {
            if is_forward(&cubic) && !doubles_back(&cubic) && self.is_within(&cubic, &span) {
                cubics.push(cubic);
                return Ok(());
            }
        }
        if halvings == 0 {
            let at = self.azimuth(span.start).to_degrees().rem_euclid(360.0);
            return Err(Problem::new("the cut can't be drawn as a smooth curve")
                .figures(format!("to within {:.3} mm at azimuth {at:.2} degrees", self.tolerance)));
        }
        let middle = 0.5 * (span.start + span.end);
        self.cover(span.start..middle, halvings - 1, cubics)?;
        self.cover(middle..span.end, halvings - 1, cubics)
    }

    /// The cubic with the trace's places and directions at both ends.
    fn hermite(&self, span: &Range<f64>) -> CubicBez {
        let ((p0, d0), (p3, d3)) = (self.place(span.start), self.place(span.end));
        let third = (span.end - span.start) / 3.0;
        CubicBez::new(p0, p0 + third * d0, p3 - third * d3, p3)
    }

    /// Whether the cubic keeps the tolerance. What just keeps it is measured closer: its peak may lie between two places.
    fn is_within(&self, cubic: &CubicBez, span: &Range<f64>) -> bool {
        let coarse = self.largest_distance(cubic, span, 1);
        if coarse < CLOSE * self.tolerance || coarse > self.tolerance {
            return coarse <= self.tolerance;
        }
        self.largest_distance(cubic, span, CLOSER) <= self.tolerance
    }

    /// The largest distance between the cubic and the trace over `span`, in millimetres, seen from both; measured at
    /// `times` as many places as usual, and only until one is past the tolerance.
    fn largest_distance(&self, cubic: &CubicBez, span: &Range<f64>, times: usize) -> f64 {
        let azimuths = self.azimuth(span.start)..self.azimuth(span.end);
        let (mut largest, mut azimuth) = (0.0_f64, azimuths.start);
        let places = MEASURED_PLACES * times;
        for place in 1..places {
            let at = place as f64 / places as f64;
            let point = cubic.eval(at);
            azimuth = self.nearest(azimuth, point, direction(cubic, at));
            largest = largest.max(self.table.at(azimuth).point.distance(point));
            if largest > self.tolerance {
                return largest;
            }
        }
        let mut at = 0.0;
        for azimuth in self.table.looks(azimuths, PARTS * times) {
            let point = self.table.at(azimuth).point;
            at = nearest_on(cubic, at, point);
            largest = largest.max(cubic.eval(at).distance(point));
            if largest > self.tolerance {
                return largest;
            }
        }
        largest
    }

    /// Newton's steps along the trace from `azimuth` to where `point` lies square across; a step too far, as where the
    /// trace is steeper than beside its corner, is halved.
    fn nearest(&self, mut azimuth: f64, point: Point, tangent: Vec2) -> f64 {
        let mut before = (azimuth, f64::INFINITY);
        for _ in 0..NEWTON_STEPS {
            let here = self.table.at(azimuth);
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
            if (next - azimuth).abs() < NEAR {
                break;
            }
            azimuth = next;
        }
        azimuth
    }
}

/// Newton's steps along the cubic from `at` to where `point` lies square across.
fn nearest_on(cubic: &CubicBez, mut at: f64, point: Point) -> f64 {
    for _ in 0..8 {
        let tangent = direction(cubic, at);
        let step = (point - cubic.eval(at)).dot(tangent) / tangent.hypot2();
        let next = (at + step.clamp(-0.3, 0.3)).clamp(0.0, 1.0);
        if !next.is_finite() || (next - at).abs() < NEAR {
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

/// Whether a cubic that sets out and arrives to the right, or to the left, goes the other way between: on a steep stretch
/// the chord tells nothing of it. A wrap's cut always goes on along the girth.
fn doubles_back(cubic: &CubicBez) -> bool {
    let way = (cubic.p3.x - cubic.p0.x).signum();
    let ends_so = [cubic.p1.x - cubic.p0.x, cubic.p3.x - cubic.p2.x].map(|by| by * way >= 0.0);
    let mut before = cubic.p0.x;
    let turns = cubic.extrema().into_iter().chain([1.0]);
    ends_so == [true; 2]
        && turns.map(|at| cubic.eval(at).x).any(|x| {
            let back = (before - x) * way;
            before = x;
            back > ROUNDING
        })
}

impl ParamCurveFit for Smooth {
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

    use super::super::trace::Place;
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
                let fitted = fit(&Wave(height), 0.0..2.0 * PI, tolerance).unwrap_or_else(|problem| panic!("{problem}"));
                for segment in fitted.path.segments() {
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
        let found = scan(&Rooves, 0.0..2.0 * PI).expect("whole").corners;
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(
            (found[0] - PI / 2.0).abs() < 1e-6 && (found[1] - 1.5 * PI).abs() < 1e-6,
            "{found:?}"
        );
        let none = scan(&Wave(100.0), 0.0..2.0 * PI).expect("whole").corners;
        assert!(none.is_empty(), "{none:?}");
    }
}
