//! A tapering body about its axis +y: a hopper, a reducer. One nappe, endless away from its tip.

use std::f64::consts::TAU;
use std::sync::Arc;

use glam::DVec3;
use kurbo::{Point, Vec2};

use super::{Body, Development, Grow, Hit, Line, Locate, Site, Unroll};
use crate::measure::SAME_MM;

/// A cone about the y axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cone {
    radius: f64,
    taper: f64,
}

impl Cone {
    /// `radius` in millimetres at y = 0, finite and above 0; `taper` is by how much it grows per millimetre of y, not 0.
    pub fn new(radius: f64, taper: f64) -> Self {
        debug_assert!(radius.is_finite() && radius > 0.0 && taper.is_finite() && taper != 0.0);
        Self { radius, taper }
    }

    /// In millimetres; 0 or less beyond the tip.
    fn radius_at(&self, y: f64) -> f64 {
        self.radius + self.taper * y
    }

    /// Whether a line meets a cone whose skin lies farther out by what counts as equal; it misses this one.
    fn is_grazed(&self, line: &Line) -> bool {
        let (o, d) = (line.origin, line.direction);
        let reach = self.radius_at(o.y) + SAME_MM * self.taper.hypot(1.0);
        let growth = self.taper * d.y;
        let a = d.x * d.x + d.z * d.z - growth * growth;
        let b = o.x * d.x + o.z * d.z - reach * growth;
        let c = o.x * o.x + o.z * o.z - reach * reach;
        b * b - a * c >= 0.0
    }

    fn normal(&self, point: DVec3) -> DVec3 {
        DVec3::new(point.x, -self.taper * self.radius_at(point.y), point.z).normalize_or_zero()
    }

    /// Distance from the tip along the skin, per millimetre of radius.
    fn slant(&self) -> f64 {
        (1.0 + self.taper.powi(-2)).sqrt()
    }

    /// How far from the tip along the skin the place is that lies square under `point`, in millimetres.
    fn tip_distance(&self, point: DVec3) -> f64 {
        let up_from_tip = point.y + self.radius / self.taper;
        let along = up_from_tip + self.taper * point.x.hypot(point.z);
        self.taper.signum() * along / self.taper.hypot(1.0)
    }

    /// By how much that grows with a small step `vector` from `point`.
    fn tip_distance_by(&self, point: DVec3, vector: DVec3) -> f64 {
        let outwards = (point.x * vector.x + point.z * vector.z) / point.x.hypot(point.z);
        self.taper.signum() * (vector.y + self.taper * outwards) / self.taper.hypot(1.0)
    }
}

impl Body for Cone {
    /// The roots of x^2 + z^2 = (radius at y)^2 along the line, in order; the first that enters the real nappe.
    fn first_hit(&self, line: &Line) -> Option<Hit> {
        let (o, d) = (line.origin, line.direction);
        let (reach, growth) = (self.radius_at(o.y), self.taper * d.y);
        let a = d.x * d.x + d.z * d.z - growth * growth;
        let b = o.x * d.x + o.z * d.z - reach * growth;
        let c = o.x * o.x + o.z * o.z - reach * reach;
        let roots = if a.abs() < 1e-14 {
            [-c / (2.0 * b), f64::NAN]
        } else {
            let square = b * b - a * c;
            let root = if square < 0.0 && self.is_grazed(line) {
                0.0
            } else {
                square.sqrt()
            };
            let (first, second) = ((-b - root) / a, (-b + root) / a);
            [first.min(second), first.max(second)]
        };
        roots
            .into_iter()
            .filter(|distance| distance.is_finite() && self.radius_at(line.at(*distance).y) >= 0.0)
            .map(|distance| Hit {
                distance,
                normal: self.normal(line.at(distance)),
            })
            .find(|hit| hit.normal.dot(d) <= 1e-9)
    }
}

impl Grow for Cone {
    fn grown(&self, by: f64) -> Arc<dyn Body + Send + Sync> {
        Arc::new(Self::new(self.radius + by * self.taper.hypot(1.0), self.taper))
    }

    /// Of its end: what is farther along may be wider.
    fn deepest_mm(&self) -> f64 {
        self.radius / self.taper.hypot(1.0)
    }
}

impl Unroll for Cone {
    /// A sector: (0, 0) is where the line through +z has the radius of y = 0; v grows with y.
    fn lay_flat(&self, point: DVec3) -> Point {
        let (slant, sign) = (self.slant(), self.taper.signum());
        let distance = self.tip_distance(point);
        let turn = point.x.atan2(point.z) / slant;
        Point::new(
            distance * turn.sin(),
            sign * (distance * turn.cos() - self.radius * slant),
        )
    }

    fn lay_flat_vector(&self, point: DVec3, vector: DVec3) -> Vec2 {
        let (slant, sign) = (self.slant(), self.taper.signum());
        let distance = self.tip_distance(point);
        let square = point.x * point.x + point.z * point.z;
        let turn = point.x.atan2(point.z) / slant;
        let turning = (vector.x * point.z - vector.z * point.x) / square / slant;
        let growing = self.tip_distance_by(point, vector);
        let (sin, cos) = turn.sin_cos();
        Vec2::new(
            growing * sin + distance * cos * turning,
            sign * (growing * cos - distance * sin * turning),
        )
    }

    fn carry(&self, point: DVec3, lift: f64) -> DVec3 {
        point + lift * self.normal(point)
    }

    fn development(&self) -> Development {
        let sign = self.taper.signum();
        Development::Sector {
            tip: Point::new(0.0, -sign * self.radius * self.slant()),
            turn: -sign * TAU / self.slant(),
        }
    }
}

impl Locate for Cone {
    fn site(&self, along: f64, round: f64) -> Site {
        let (sin, cos) = round.sin_cos();
        let radius = self.radius_at(along);
        let point = DVec3::new(radius * sin, along, radius * cos);
        Site {
            point,
            normal: self.normal(point),
        }
    }

    fn angle_of(&self, along: f64, arc: f64) -> f64 {
        arc / self.radius_at(along)
    }

    fn arc_of(&self, along: f64, round: f64) -> f64 {
        self.radius_at(along) * round
    }

    fn girth(&self, along: f64) -> Option<f64> {
        Some(TAU * self.radius_at(along))
    }

    fn place_of(&self, point: DVec3) -> (f64, f64) {
        (point.y, point.x.atan2(point.z))
    }
}
