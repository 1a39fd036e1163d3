//! A traced curve to a Bezier path within a tolerance, measured after fitting.

use std::f64::consts::TAU;
use std::ops::Range;

use kurbo::{BezPath, CubicBez, ParamCurve, ParamCurveExtrema};

use super::crease::scan;
use super::ease::Eased;
use super::follow::{farthest, farthest_closely, following_cubic, strays};
use super::table::{Solved, Table, coarse};
use super::takeover::takeovers;
use super::trace::Trace;
use crate::measure::Tolerance;
use crate::problem::Problem;

/// The table of a trace is about this share of the tolerance off at most, and cubics are held to what leaves room for it.
const TABLE_SHARE: f64 = 0.01;
const HELD: f64 = 0.95;

/// From this share of the tolerance on a cubic is looked at closely: its peak may lie between two places.
const CLOSE: f64 = 0.6;

/// A stretch this short that no cubic fits is a fault, in radians.
const SHORTEST: f64 = 1e-8;

/// A takeover nearer to another, or to an end, than this is not ended at, in radians; what is between is small.
const BEND_APART: f64 = 0.0012;

/// Cubics are tried over so much first, in radians: most saddles take about a dozen.
const FIRST_SPAN: f64 = 1.0;

/// The error of a cubic grows with the sixth power of its span; it is kept a little below what that promises.
const ORDER: f64 = 1.0 / 6.0;
const MODESTY: f64 = 0.94;

/// A cubic that uses no more than this share of the tolerance is tried over more, where yet more was too much.
const SPARE: f64 = 0.02;

/// So often a cubic is tried from one place at most.
const TRIES: usize = 60;

/// How far from a corner the direction of the curve is taken, in radians: the square root that makes the corner leaves
/// no good direction in it.
const BESIDE_A_CORNER: f64 = 1e-4;

/// A corner nearer than this to an end of the range is the end itself, in radians.
const SEAM: f64 = 2e-6;

/// What rounding may move a place by, in millimetres.
const ROUNDING: f64 = 1e-10;

/// Handles that are longer than this in all, as a share of the chord, may fold the curve back on itself.
const LONGEST_HANDLES: f64 = 1.2;

/// A trace, fitted.
pub struct Fitted {
    /// Within the tolerance of the trace.
    pub path: BezPath,
    /// Places that were solved on the way, so near to each other that the trace does nothing unseen between them, and the
    /// corners; in no order.
    pub(super) solved: Vec<Solved>,
}

/// Fits `trace` over `range` (radians), split at its corners, no point farther from it than `tolerance`, and never
/// turning back.
///
/// The cubics go through both ends' places in their directions, and the lengths of their handles make them follow. One that
/// strays too far, or folds, is tried over a shorter stretch.
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
        let mut scan = scan(trace, smooth[0]..smooth[1]).map_err(|azimuth| trace.miss(azimuth))?;
        stops.extend(scan.corners.into_iter().filter(|corner| inside.contains(corner)));
        stops.push(smooth[1]);
        known.append(&mut scan.solved);
    }
    let (mut path, mut solved) = (BezPath::new(), Vec::new());
    for stop in stops.windows(2) {
        let range = stop[0]..stop[1];
        let smooth = if let Some(eased) = Eased::of(trace, &range) {
            solved.extend(known.iter().filter(|(azimuth, _)| range.contains(azimuth)));
            Smooth::new(&eased, range.clone(), &even_places(&eased, &range), tolerance)
                .map_err(|azimuth| trace.miss(azimuth))?
        } else {
            let smooth = Smooth::new(trace, range, &known, tolerance).map_err(|azimuth| trace.miss(azimuth))?;
            solved.extend_from_slice(smooth.table.places());
            smooth
        };
        for cubic in smooth.cubics()? {
            if path.is_empty() {
                path.move_to(cubic.p0);
            }
            path.curve_to(cubic.p1, cubic.p2, cubic.p3);
        }
    }
    solved.extend(stops.iter().filter_map(|stop| Some((*stop, trace.at(*stop)?))));
    // It may be kept for long: no more room than it takes.
    let mut elements = path.into_elements();
    elements.shrink_to_fit();
    let path = BezPath::from_vec(elements);
    Ok(Fitted { path, solved })
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

/// Places of an eased stretch to begin its table with: those of the trace itself are at other azimuths.
fn even_places(eased: &Eased<'_, impl Trace>, range: &Range<f64>) -> Vec<Solved> {
    const STEPS: usize = 60;
    let azimuth = |step: usize| range.start + (range.end - range.start) * step as f64 / STEPS as f64;
    let azimuths = (1..STEPS).map(azimuth);
    azimuths
        .filter_map(|azimuth| Some((azimuth, eased.at(azimuth)?)))
        .collect()
}

/// The part of a trace between two corners.
struct Smooth {
    range: Range<f64>,
    table: Table,
    /// Azimuths at which another part of the wall takes over, rising: the trace bends there, and one cubic across such a
    /// place would follow neither side.
    takeovers: Vec<f64>,
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

/// A cubic that keeps the tolerance.
struct Good {
    /// Where it ends, in radians.
    to: f64,
    cubic: CubicBez,
    /// In millimetres.
    error: f64,
}

impl Smooth {
    /// An azimuth is the error at which the trace has no place.
    fn new(trace: &impl Trace, range: Range<f64>, known: &[Solved], tolerance: Tolerance) -> Result<Self, f64> {
        let mut places = coarse(trace, &range, &beside_corners(trace, &range), known)?;
        let bent = takeovers(trace, &places);
        let inside = range.start + BEND_APART..range.end - BEND_APART;
        let mut ends: Vec<f64> = bent
            .iter()
            .map(|takeover| takeover.0)
            .filter(|at| inside.contains(at))
            .collect();
        ends.dedup_by(|next, last| *next - *last < BEND_APART);
        if !bent.is_empty() {
            places.extend(bent);
            places.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        Ok(Self {
            table: Table::new(trace, &places, TABLE_SHARE * tolerance.mm())?,
            takeovers: ends,
            range,
            tolerance: HELD * tolerance.mm(),
        })
    }

    /// Cubics over all of it, in order.
    fn cubics(&self) -> Result<Vec<CubicBez>, Problem> {
        let mut cubics = Vec::new();
        let mut from = self.range.start;
        for takeover in self.takeovers.iter().copied().chain([self.range.end]) {
            self.cover(from..takeover, &mut cubics)?;
            from = takeover;
        }
        Ok(cubics)
    }

    /// Cubics over a part of it, in order. Each is tried over the span that the error of the one before it promises.
    fn cover(&self, part: Range<f64>, cubics: &mut Vec<CubicBez>) -> Result<(), Problem> {
        let (mut from, mut span) = (part.start, FIRST_SPAN);
        while from < part.end {
            // What is left is shared evenly, so that no sliver stays.
            let left = part.end - from;
            let parts = (left / span - 0.05).ceil().max(1.0);
            let to = if parts == 1.0 { part.end } else { from + left / parts };
            let good = self.longest(from..to)?;
            cubics.push(good.cubic);
            span = (good.to - from) * self.promised(good.error).clamp(0.7, 3.0);
            from = good.to;
        }
        Ok(())
    }

    /// By how many times a span may be longer, or must be shorter, by its cubic's error.
    fn promised(&self, error: f64) -> f64 {
        MODESTY * (self.tolerance / error.max(1e-12)).powf(ORDER)
    }

    /// A good cubic over a span, or over as much from its start as can be had.
    fn longest(&self, span: Range<f64>) -> Result<Good, Problem> {
        let from = span.start;
        let (mut to, mut too_far) = (span.end, f64::INFINITY);
        let worth_more = |good: f64| from + 1.2 * (good - from)..f64::INFINITY;
        let mut good: Option<Good> = None;
        for _ in 0..TRIES {
            let (cubic, error) = self.cubic(from..to);
            match cubic {
                Some(cubic) => good = Some(Good { to, cubic, error }),
                None => too_far = to,
            }
            to = match &good {
                None if to - from < SHORTEST => break,
                None => from + (to - from) * self.promised(error).clamp(0.2, 0.85),
                // Beside a sharp turn a little less than too much may be far too little.
                Some(good) if good.error < SPARE * self.tolerance && worth_more(good.to).contains(&too_far) => {
                    from + ((good.to - from) * (too_far - from)).sqrt()
                }
                Some(_) => break,
            };
        }
        good.ok_or_else(|| {
            let at = from.to_degrees().rem_euclid(360.0);
            Problem::new("the cut can't be drawn as a smooth curve")
                .figures(format!("{at:.2}° round from FRONT to the right"))
                .help("change the angle or the offset a little: the wall all but grazes what it lands on there")
        })
    }

    /// A cubic over a span, where one is good, and the error of the best in millimetres.
    fn cubic(&self, span: Range<f64>) -> (Option<CubicBez>, f64) {
        let Some((cubic, error)) = following_cubic(&self.table, span.clone(), self.tolerance) else {
            return (None, f64::INFINITY);
        };
        if !is_forward(&cubic) || doubles_back(&cubic) {
            return (None, f64::INFINITY);
        }
        if error > self.tolerance {
            return (None, error);
        }
        let mut error = error.max(farthest(&self.table, &span, &cubic));
        if error > CLOSE * self.tolerance {
            error = error.max(strays(&self.table, &span, &cubic));
            error = error.max(farthest_closely(&self.table, &span, &cubic));
        }
        ((error <= self.tolerance).then_some(cubic), error)
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

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use kurbo::{Point, Vec2};

    use super::super::trace::{Part, Place};
    use super::*;

    /// A miter's unrolled cut (Apostol and Mnatsakanian 2007): h sin(x / r).
    struct Wave(f64);

    impl Trace for Wave {
        fn at(&self, azimuth: f64) -> Option<Place> {
            let (sin, cos) = azimuth.sin_cos();
            Some(Place {
                point: Point::new(20.0 * azimuth, self.0 * sin),
                speed: Vec2::new(20.0, self.0 * cos),
                part: Part::Only,
                margin: f64::INFINITY,
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
                part: Part::Only,
                margin: f64::INFINITY,
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
