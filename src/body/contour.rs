//! The cross-section of a body that is not round: a smooth closed convex curve about the axis.

use std::cell::Cell;
use std::f64::consts::{PI, TAU};

use glam::DVec2;

use super::curve::{Curve, Hollow, Spot, angle, integral, nearest_turn};
use super::root::{LAST_STEP, rising_root, root_between, root_by_slope, root_of_cubic};

/// Seen along the axis: x to the right of the zero line, y (the body's z) towards it. Angles and parameters grow from
/// the zero line to the right as seen from outside with the far end up.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    curve: Curve,
    /// From one parameter to the same a turn on, rising.
    stops: Vec<Stop>,
    /// The farthest that it reaches from the axis, in millimetres.
    reach: f64,
}

/// A place in the table.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stop {
    parameter: f64,
    /// The angle of the normal in radians, rising.
    turned: f64,
    /// From the first stop, in millimetres.
    arc: f64,
    spot: Spot,
    /// How fast the place moves with the parameter, in millimetres per radian.
    fast: f64,
}

/// Lines that pass the middle farther off than this share of the radius are looked at from where the skin runs along with them.
const MOST_ASIDE: f64 = 0.95;

/// The skin faces a line well where its normal points against it by at least this.
const FACING: f64 = 0.1;

/// Stops are looked for so many times from where a circle would be.
const MOST_GUESSES: usize = 6;

/// Where a skin crosses a line: at a parameter, or after the stop of a number and before the next.
enum Crossing {
    At(f64),
    After(i64),
}

impl Contour {
    /// An oval: an ellipse of these two diameters in millimetres, finite and above 0, square to each other. The first
    /// one lies `turned` radians round from the zero line.
    pub fn ellipse(diameters: [f64; 2], turned: f64) -> Self {
        debug_assert!(diameters.iter().all(|d| d.is_finite() && *d > 0.0));
        Self::over(Curve::ellipse(diameters, turned))
    }

    /// Through `(round, radius)` places: radians from the zero line, rising within less than a turn, two or more, and
    /// millimetres from the axis. Between them the radius is a periodic cubic spline over the angle.
    ///
    /// # Errors
    /// Where the curve would bend inwards.
    pub fn through(places: &[(f64, f64)]) -> Result<Self, Hollow> {
        let curve = Curve::through(places);
        match curve.hollow() {
            Some(hollow) => Err(hollow),
            None => Ok(Self::over(curve)),
        }
    }

    fn over(curve: Curve) -> Self {
        let parameters = curve.parameters();
        let mut stops: Vec<Stop> = Vec::with_capacity(parameters.len());
        for parameter in parameters {
            let (spot, fast) = curve.moving(parameter);
            let turned = nearest_turn(angle(spot.normal), parameter);
            let arc = stops
                .last()
                .map_or(0.0, |before| before.arc + curve.length(before.parameter, parameter));
            stops.push(Stop {
                parameter,
                turned,
                arc,
                spot,
                fast,
            });
        }
        let reach = stops.iter().map(|stop| stop.spot.point.length()).fold(0.0, f64::max);
        Self { curve, stops, reach }
    }

    /// Once round, in millimetres.
    pub fn girth(&self) -> f64 {
        self.stops[self.stops.len() - 1].arc
    }

    /// What it encloses, in square millimetres.
    pub fn area(&self) -> f64 {
        let swept = |parameter: f64| {
            let (point, speed, _) = self.curve.motion(parameter);
            0.5 * (point.y * speed.x - point.x * speed.y)
        };
        let spans = self.stops.windows(2);
        spans
            .map(|span| integral(swept, span[0].parameter, span[1].parameter))
            .sum()
    }

    /// The farthest that it reaches from the axis, in millimetres.
    pub fn reach(&self) -> f64 {
        self.reach
    }

    /// The smallest radius of curvature in millimetres, and where it is, in radians from the zero line.
    pub fn tightest(&self) -> (f64, f64) {
        let bends = self.stops.iter().map(|stop| stop.spot);
        let tightest = bends.max_by(|a, b| a.curvature.total_cmp(&b.curvature));
        tightest.map_or((f64::INFINITY, 0.0), |spot| (1.0 / spot.curvature, angle(spot.point)))
    }

    /// The place at any parameter.
    pub(super) fn spot(&self, parameter: f64) -> Spot {
        self.curve.spot(parameter)
    }

    /// The parameter of the place at `round` radians about the axis; grows by a turn with it.
    pub(super) fn at_round(&self, round: f64) -> f64 {
        self.curve.at_round(round)
    }

    /// The angle about the axis in radians; grows by a turn with the parameter.
    pub(super) fn round_of(&self, parameter: f64) -> f64 {
        nearest_turn(angle(self.spot(parameter).point), parameter)
    }

    /// From the first stop along the curve, in millimetres; grows by the girth with every turn.
    pub(super) fn arc(&self, parameter: f64) -> f64 {
        let (within, turns) = self.within(parameter, |stop| stop.parameter, TAU);
        let before = &self.stops[self.before(within, |stop| stop.parameter)];
        turns * self.girth() + before.arc + self.curve.length(before.parameter, within)
    }

    /// The parameter at an arc from the first stop.
    pub(super) fn at_arc(&self, arc: f64) -> f64 {
        let (within, turns) = self.within(arc, |stop| stop.arc, self.girth());
        let at = self.before(within, |stop| stop.arc);
        let (before, after) = (self.stops[at], self.stops[at + 1]);
        let past = |parameter: f64| before.arc + self.curve.length(before.parameter, parameter) - within;
        turns * TAU + rising_root(past, before.parameter, after.parameter)
    }

    /// The parameter at which the normal points `turned` radians from the zero line; grows by a turn with it.
    pub(super) fn at_normal(&self, turned: f64) -> f64 {
        let (within, turns) = self.within(turned, |stop| stop.turned, TAU);
        let at = self.before(within, |stop| stop.turned);
        let way = DVec2::new(within.sin(), within.cos());
        // How far the normal has turned past it: to the right is from y towards x.
        let past = |parameter: f64| self.spot(parameter).normal.perp_dot(way);
        turns * TAU + rising_root(past, self.stops[at].parameter, self.stops[at + 1].parameter)
    }

    /// How far the normal has turned at a parameter, in radians; grows by a turn with it.
    pub(super) fn turned(&self, parameter: f64) -> f64 {
        nearest_turn(angle(self.spot(parameter).normal), parameter)
    }

    /// The parameter of the place on the curve that is nearest to `point`, square to the curve. On the way to the
    /// middle there are several; one of them is found.
    pub(super) fn nearest(&self, point: DVec2) -> f64 {
        let ahead = |spot: &Spot| (point - spot.point).dot(spot.tangent);
        let spans = self.stops.len() - 1;
        let (within, _) = self.within(self.at_round(angle(point)), |stop| stop.parameter, TAU);
        let mut at = self.before(within, |stop| stop.parameter);
        for _ in 0..spans {
            if ahead(&self.stops[at].spot) < 0.0 {
                at = (at + spans - 1) % spans;
            } else if ahead(&self.stops[at + 1].spot) > 0.0 {
                at = (at + 1) % spans;
            } else {
                break;
            }
        }
        let [low, high] = [at, at + 1].map(|at| (self.stops[at].parameter, -ahead(&self.stops[at].spot)));
        root_between(|parameter| -ahead(&self.spot(parameter)), low, high)
    }

    /// Where a line along `heading` first meets a skin that lies `inset` inside the curve: `past` tells how far a place of the
    /// skin is past the line, and goes through 0 once on the side that faces it. A place that is past by `graze` where the skin runs along
    /// with the line still counts. The table only leads to the place, which is solved on the curve itself.
    pub(super) fn crossing(&self, (origin, heading): (DVec2, DVec2), inset: f64, graze: f64) -> Option<Spot> {
        let past = |spot: &Spot| heading.perp_dot(spot.point - inset * spot.normal - origin);
        let after = match self.guessed((origin, heading), &past) {
            Some(after) => after,
            None => match self.halved(heading, &past, graze)? {
                Crossing::After(after) => after,
                Crossing::At(parameter) => return Some(self.spot(parameter)),
            },
        };
        // The skin moves along with the curve, the slower the more the curve bends.
        let growing = |spot: &Spot, fast: f64| heading.perp_dot(spot.tangent) * fast * (1.0 - inset * spot.curvature);
        let ends = [after, after + 1].map(|number| self.stop(number));
        let known = ends.map(|(parameter, stop)| (parameter, past(&stop.spot)));
        let start = root_of_cubic(known, ends.map(|(_, stop)| growing(&stop.spot, stop.fast)));
        let last = Cell::new(None);
        let with_slope = |parameter: f64| {
            let (spot, fast) = self.curve.moving(parameter);
            last.set(Some((parameter, spot, fast)));
            (past(&spot), growing(&spot, fast))
        };
        let root = root_by_slope(with_slope, known, start);
        match last.get() {
            Some((parameter, spot, fast)) if (root - parameter).abs() <= LAST_STEP => {
                Some(spot.moved(fast * (root - parameter)))
            }
            _ => Some(self.spot(root)),
        }
    }

    /// The stop after which the skin crosses the line, looked for from where a circle would; none where it is likely to run along
    /// with the line.
    fn guessed(&self, (origin, heading): (DVec2, DVec2), past: &impl Fn(&Spot) -> f64) -> Option<i64> {
        let spans = self.stops.len() - 1;
        let middle = self.stops[0].spot.point.length();
        let aside = heading.perp_dot(origin) / middle;
        if aside.abs() > MOST_ASIDE {
            return None;
        }
        let place = aside * heading.perp() - (1.0 - aside * aside).sqrt() * heading;
        let turns = (angle(place) - self.stops[0].parameter) / TAU;
        let mut at = (turns * spans as f64).floor() as i64;
        for _ in 0..MOST_GUESSES {
            let [low, high] = [at, at + 1].map(|number| {
                let spot = &self.stop(number).1.spot;
                (past(spot), heading.dot(spot.normal))
            });
            if low.1.max(high.1) > -FACING {
                return None;
            }
            if low.0 <= 0.0 && high.0 > 0.0 {
                return Some(at);
            }
            at += (-low.0 / (high.0 - low.0)).clamp(-1e3, 1e3).floor() as i64;
        }
        None
    }

    /// The same by halving what lies between the places where the skin runs along with the line.
    fn halved(&self, heading: DVec2, past: &impl Fn(&Spot) -> f64, graze: f64) -> Option<Crossing> {
        let (first, last) = (angle(heading) + 0.5 * PI, angle(heading) + 1.5 * PI);
        let at = |parameter: f64| past(&self.spot(parameter));
        let (mut low, mut high) = (self.stop_from(first), self.stop_from(last) - 1);
        if past(&self.stop(low).1.spot) > 0.0 {
            let start = self.at_normal(first);
            return (at(start) <= graze).then(|| Crossing::At(rising_root(at, start, self.stop(low).0)));
        }
        if past(&self.stop(high).1.spot) < 0.0 {
            let end = self.at_normal(last);
            return (at(end) >= -graze).then(|| Crossing::At(rising_root(at, self.stop(high).0, end)));
        }
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if past(&self.stop(middle).1.spot) > 0.0 {
                high = middle;
            } else {
                low = middle;
            }
        }
        Some(Crossing::After(low))
    }

    /// Where a straight line first meets the curve, well away from where it would only graze it: how far along it from its
    /// origin, in millimetres, and the normal there. None where the line doesn't, or the curve is no ellipse.
    pub(super) fn first_of_line(&self, origin: DVec2, heading: DVec2) -> Option<(f64, DVec2)> {
        self.curve.first_of_line(origin, heading)
    }

    /// The number of the first stop whose normal has turned as far, counted on over several turns.
    fn stop_from(&self, turned: f64) -> i64 {
        let (within, turns) = self.within(turned, |stop| stop.turned, TAU);
        let spans = self.stops.len() - 1;
        let at = self.stops[..spans].partition_point(|stop| stop.turned < within);
        at as i64 + turns as i64 * spans as i64
    }

    /// A stop by such a number, and its parameter, on as many turns.
    fn stop(&self, number: i64) -> (f64, &Stop) {
        let spans = self.stops.len() as i64 - 1;
        let stop = &self.stops[number.rem_euclid(spans) as usize];
        (stop.parameter + number.div_euclid(spans) as f64 * TAU, stop)
    }

    /// `value` brought into the table by whole turns of `period`, and how many they were.
    fn within(&self, value: f64, of: impl Fn(&Stop) -> f64, period: f64) -> (f64, f64) {
        let first = of(&self.stops[0]);
        let turns = ((value - first) / period).floor();
        (
            (value - turns * period).clamp(first, of(&self.stops[self.stops.len() - 1])),
            turns,
        )
    }

    /// The last stop that does not lie behind `value`, but for the very last.
    fn before(&self, value: f64, of: impl Fn(&Stop) -> f64) -> usize {
        self.stops
            .partition_point(|stop| of(stop) <= value)
            .clamp(1, self.stops.len() - 1)
            - 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_good_guess_leads_where_halving_does() {
        let knocked = [(0.1, 285.0), (1.3, 290.0), (2.9, 284.0), (4.0, 288.0), (5.5, 282.0)];
        let contour = Contour::through(&knocked).expect("convex");
        let mut guessed = 0;
        for step in 0..3000 {
            let turn = f64::from(step) * 0.317;
            let heading = DVec2::new(turn.sin(), turn.cos());
            let origin = 275.0 * (f64::from(step) * 0.713).sin() * heading.perp() - 400.0 * heading;
            let inset = f64::from(step % 3) * 2.0;
            let past = |spot: &Spot| heading.perp_dot(spot.point - inset * spot.normal - origin);
            let found = contour.crossing((origin, heading), inset, 1e-6).expect("it is met");
            guessed += usize::from(contour.guessed((origin, heading), &past).is_some());
            let at = |parameter: f64| past(&contour.spot(parameter));
            let known = match contour.halved(heading, &past, 1e-6).expect("it is met") {
                Crossing::After(after) => {
                    let [low, high] = [after, after + 1].map(|number| contour.stop(number).0);
                    contour.spot(rising_root(at, low, high))
                }
                Crossing::At(parameter) => contour.spot(parameter),
            };
            assert!(found.point.distance(known.point) < 1e-9, "{step}: {found:?}, {known:?}");
            assert!(
                found.normal.distance(known.normal) < 1e-11,
                "{step}: {found:?}, {known:?}"
            );
        }
        assert!((2000..3000).contains(&guessed), "{guessed}");
    }
}
