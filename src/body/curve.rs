//! The curve of a section: an ellipse, or the radius as a spline over the angle.

use std::f64::consts::{PI, TAU};

use glam::DVec2;
use kurbo::common::GAUSS_LEGENDRE_COEFFS_8;

use super::spline::PeriodicSpline;

/// Stops in a table of a whole turn, at least: between two of them everything is nearly straight.
const STOPS: usize = 720;

/// Lines that pass the middle of a circle of radius 1 no nearer to its edge than this are looked at more closely, squared.
const WELL_INSIDE: f64 = 1e-4;

/// A curve over a parameter that is near to the angle about the axis, and the same after a turn.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Curve {
    /// Half diameters, and the angle about the axis at which the first one lies, with its direction.
    Ellipse { half: [f64; 2], turned: f64, first: DVec2 },
    /// The radius over the angle about the axis.
    Radius(PeriodicSpline),
}

/// A place on the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    pub(super) point: DVec2,
    /// Along the curve, a unit vector.
    pub(super) tangent: DVec2,
    /// Out of the body, a unit vector.
    pub(super) normal: DVec2,
    /// One over the radius of curvature, in 1/mm; above 0 on a convex curve.
    pub(super) curvature: f64,
}

impl Spot {
    /// So little farther along the curve, in millimetres, that what is left out is lost in rounding.
    pub(super) fn moved(&self, by: f64) -> Self {
        let turned = by * self.curvature;
        Self {
            point: self.point + by * self.tangent,
            tangent: self.tangent - turned * self.normal,
            normal: self.normal + turned * self.tangent,
            ..*self
        }
    }
}

/// A section that bends inwards somewhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hollow {
    /// Where, in radians from the zero line.
    pub round: f64,
    /// How deep the hollow is there under a straight edge laid over it, in millimetres.
    pub deep_mm: f64,
}

impl Curve {
    pub(super) fn ellipse(diameters: [f64; 2], turned: f64) -> Self {
        Self::Ellipse {
            half: diameters.map(|diameter| diameter / 2.0),
            turned,
            first: way(turned),
        }
    }

    pub(super) fn through(places: &[(f64, f64)]) -> Self {
        Self::Radius(PeriodicSpline::new(places))
    }

    /// Place, and its first and second derivative by the parameter.
    pub(super) fn motion(&self, parameter: f64) -> (DVec2, DVec2, DVec2) {
        match self {
            Self::Ellipse {
                half: [a, b],
                turned,
                first,
            } => {
                let (sin, cos) = (parameter - turned).sin_cos();
                let (along, across) = (*a * *first, *b * onward(*first));
                let point = cos * along + sin * across;
                (point, cos * across - sin * along, -point)
            }
            Self::Radius(radius) => {
                let [r, grows, bends] = radius.at(parameter);
                let out = way(parameter);
                let round = onward(out);
                (
                    r * out,
                    grows * out + r * round,
                    (bends - r) * out + 2.0 * grows * round,
                )
            }
        }
    }

    pub(super) fn spot(&self, parameter: f64) -> Spot {
        self.moving(parameter).0
    }

    /// The place, and how fast it moves with the parameter, in millimetres per radian.
    pub(super) fn moving(&self, parameter: f64) -> (Spot, f64) {
        let (point, speed, bend) = self.motion(parameter);
        let fast = speed.length();
        let tangent = speed / fast;
        let spot = Spot {
            point,
            tangent,
            normal: DVec2::new(-tangent.y, tangent.x),
            // To the right is clockwise in these axes.
            curvature: -speed.perp_dot(bend) / (fast * fast * fast),
        };
        (spot, fast)
    }

    /// Where a straight line first meets an ellipse, well inside of where it would graze it: how far along it from its origin,
    /// in millimetres, and the normal there.
    pub(super) fn first_of_line(&self, origin: DVec2, heading: DVec2) -> Option<(f64, DVec2)> {
        let Self::Ellipse {
            half: [a, b], first, ..
        } = self
        else {
            return None;
        };
        let second = onward(*first);
        // Along its two axes, in its half diameters, it is a circle of radius 1.
        let scaled = |vector: DVec2| DVec2::new(vector.dot(*first) / a, vector.dot(second) / b);
        let (from, way) = (scaled(origin), scaled(heading));
        let speed = way.length_squared();
        let nearest = -from.dot(way) / speed;
        let inside = 1.0 - (from + nearest * way).length_squared();
        if inside < WELL_INSIDE {
            return None;
        }
        let distance = nearest - (inside / speed).sqrt();
        let place = from + distance * way;
        let normal = place.x / a * *first + place.y / b * second;
        Some((distance, normal.normalize()))
    }

    pub(super) fn at_round(&self, round: f64) -> f64 {
        match self {
            Self::Ellipse {
                half: [a, b], turned, ..
            } => {
                let (sin, cos) = (round - turned).sin_cos();
                turned + nearest_turn((sin / b).atan2(cos / a), round - turned)
            }
            Self::Radius(_) => round,
        }
    }

    /// Where the table's stops are: a turn, in the finest steps that the knots allow.
    pub(super) fn parameters(&self) -> Vec<f64> {
        let knots = match self {
            Self::Ellipse { turned, .. } => vec![*turned],
            Self::Radius(radius) => radius.knots().to_vec(),
        };
        let ends = knots.iter().skip(1).copied().chain([knots[0] + TAU]);
        let spans = knots.iter().zip(ends).flat_map(|(&from, to)| {
            let steps = ((to - from) / TAU * STOPS as f64).ceil().max(1.0);
            (0..steps as usize).map(move |step| from + (to - from) * step as f64 / steps)
        });
        spans.chain([knots[0] + TAU]).collect()
    }

    pub(super) fn length(&self, from: f64, to: f64) -> f64 {
        integral(|parameter| self.motion(parameter).1.length(), from, to)
    }

    /// Where the curve bends inwards most, if it does.
    pub(super) fn hollow(&self) -> Option<Hollow> {
        let parameters = self.parameters();
        let radius = |parameter: f64| self.motion(parameter).0.length();
        let bends = parameters
            .iter()
            .map(|&parameter| (parameter, self.spot(parameter).curvature));
        let (round, curvature) = bends.min_by(|a, b| a.1.total_cmp(&b.1))?;
        // Flat for good is hollow too: a straight edge would lie on it.
        (!curvature.is_finite() || curvature * radius(round) < 1e-4).then(|| Hollow {
            round: nearest_turn(round, 0.0),
            deep_mm: self.depth_under_edge(round),
        })
    }

    /// The deepest that the place lies under straight edges laid over it, in millimetres.
    fn depth_under_edge(&self, parameter: f64) -> f64 {
        let Spot { point, normal, .. } = self.spot(parameter);
        let deep = |reach: u32| {
            let aside = |side: f64| self.motion(parameter + side * 0.01 * f64::from(reach)).0;
            (0.5 * (aside(-1.0) + aside(1.0)) - point).dot(normal)
        };
        (1..120).map(deep).fold(0.0, f64::max)
    }
}

/// The direction at an angle from the zero line, to the right.
fn way(angle: f64) -> DVec2 {
    let (sin, cos) = angle.sin_cos();
    DVec2::new(sin, cos)
}

/// A direction a quarter turn on.
fn onward(way: DVec2) -> DVec2 {
    DVec2::new(way.y, -way.x)
}

/// The angle of a direction, from minus half a turn to half a turn.
pub(super) fn angle(way: DVec2) -> f64 {
    way.x.atan2(way.y)
}

/// `angle` and as many turns as bring it nearest to `to`.
pub(super) fn nearest_turn(angle: f64, to: f64) -> f64 {
    to + (angle - to + PI).rem_euclid(TAU) - PI
}

pub(super) fn integral(value: impl Fn(f64) -> f64, from: f64, to: f64) -> f64 {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    let weighed = GAUSS_LEGENDRE_COEFFS_8
        .iter()
        .map(|(weight, at)| weight * value(middle + half * at));
    half * weighed.sum::<f64>()
}
