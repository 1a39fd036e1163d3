//! A dished head of two radii: a crown that is a part of a ball, a knuckle that is a part of a torus, a straight flange.

use std::f64::consts::FRAC_PI_2;
use std::sync::Arc;

use glam::{DVec2, DVec3};

use super::dished::Dished;
use super::{Body, Grow, Hit, Line};
use crate::measure::SAME_MM;

/// Steps after which a root is as near as it gets: each at least halves what is left where the skin is only grazed.
const MOST_STEPS: usize = 200;

/// How near to the skin a hit is, in millimetres.
const CLOSE: f64 = 1e-11;

/// About the y axis: the rim of its flange at y = 0, its apex up; below the rim the flange goes on without end.
///
/// Crown radius R, knuckle radius k, both of this skin; outside radius D/2. The knuckle's circle has its middle D/2 - k off
/// the axis where the flange begins to bend; crown and knuckle meet phi off the axis, sin phi = (D/2 - k) / (R - k).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Torisphere {
    radius: f64,
    crown: f64,
    knuckle: f64,
    flange: f64,
    /// Where crown and knuckle meet, in radians off the axis.
    meet: f64,
    /// Of the crown's middle.
    crown_y: f64,
}

impl Torisphere {
    /// All in millimetres: the outside radius, the crown's (no less than it), the knuckle's (above 0, no more than it), and
    /// how high the flange is, 0 or more.
    pub fn new(radius: f64, crown: f64, knuckle: f64, flange: f64) -> Self {
        debug_assert!(knuckle > 0.0 && knuckle <= radius && crown >= radius && flange >= 0.0);
        let (across, between) = (radius - knuckle, crown - knuckle);
        // A hemisphere's crown and knuckle are one ball.
        let meet = if between > 0.0 {
            (across / between).min(1.0).asin()
        } else {
            0.0
        };
        Self {
            radius,
            crown,
            knuckle,
            flange,
            meet,
            crown_y: flange - between * meet.cos(),
        }
    }

    /// From where the flange begins to bend to the apex, in millimetres: R - (R - k) cos phi.
    pub fn depth(&self) -> f64 {
        self.crown_y + self.crown - self.flange
    }

    /// Where its apex is over the rim of its flange, in millimetres.
    pub fn apex(&self) -> f64 {
        self.flange + self.depth()
    }

    /// The crown radius with which a head of these figures is so deep over its flange; `None` where none is.
    pub fn crown_for(radius: f64, knuckle: f64, depth: f64) -> Option<f64> {
        let (across, above) = (radius - knuckle, depth - knuckle);
        if above <= 0.0 || above > across {
            return (above == 0.0 && across == 0.0).then_some(radius);
        }
        Some(knuckle + (across * across + above * above) / (2.0 * above))
    }

    /// How far a place is outside the skin, in millimetres, below 0 inside; and the skin's normal under it.
    pub fn outside_by(&self, place: DVec3) -> (f64, DVec3) {
        let (from_crown, y) = (place - self.crown_y * DVec3::Y, place.y - self.flange);
        let across = DVec2::new(place.x, place.z);
        let out = across.normalize_or_zero();
        if y <= 0.0 {
            return (across.length() - self.radius, DVec3::new(out.x, 0.0, out.y));
        }
        if across.length() * self.meet.cos() <= from_crown.y * self.meet.sin() {
            return (from_crown.length() - self.crown, from_crown.normalize_or_zero());
        }
        let ring = (self.radius - self.knuckle) * out;
        let from_knuckle = DVec3::new(place.x - ring.x, y, place.z - ring.y);
        (from_knuckle.length() - self.knuckle, from_knuckle.normalize_or_zero())
    }

    /// Where a line is that comes from outside, before it meets the skin: on the cylinder about all of it, or over the apex.
    /// `None` where it stays outside of that, or comes from within.
    fn start(&self, line: &Line) -> Option<f64> {
        let (o, d) = (
            DVec2::new(line.origin.x, line.origin.z),
            DVec2::new(line.direction.x, line.direction.z),
        );
        let speed = d.length();
        if speed < f64::EPSILON {
            let is_over = line.direction.y < 0.0 && o.length() <= self.radius + SAME_MM;
            return is_over.then(|| (line.origin.y - (self.flange + self.depth() + 1.0)) / -line.direction.y);
        }
        let past = d.perp_dot(o) / speed;
        if past.abs() > self.radius + SAME_MM {
            return None;
        }
        let half = ((self.radius - past.abs()) * (self.radius + past.abs()))
            .max(0.0)
            .sqrt();
        Some((-d.dot(o) / speed - half) / speed)
    }

    /// Where a line meets the crown's ball, if that is on the crown.
    fn on_crown(&self, line: &Line) -> Option<Hit> {
        let from = line.origin - self.crown_y * DVec3::Y;
        let along = from.dot(line.direction);
        let past = (from - along * line.direction).length();
        let square = (self.crown - past) * (self.crown + past);
        let distance = -along - Some(square).filter(|square| *square > 0.0)?.sqrt();
        let normal = (from + distance * line.direction) / self.crown;
        let is_on_it = normal.y > 0.0 && normal.y >= self.meet.cos() && line.at(distance).y > self.flange;
        is_on_it.then_some(Hit { distance, normal })
    }

    /// The first place from `start` on that is no farther outside the skin than [`CLOSE`]. The distance from a convex body is
    /// a convex function along a line, so Newton's steps from outside never go past it.
    fn close_in(&self, line: &Line, start: f64) -> Option<Hit> {
        let mut distance = start;
        for _ in 0..MOST_STEPS {
            let (outside, normal) = self.outside_by(line.at(distance));
            if outside <= CLOSE {
                return Some(Hit { distance, normal });
            }
            let approach = -normal.dot(line.direction);
            let next = distance + outside / approach;
            if approach <= 0.0 || next <= distance || !next.is_finite() || next > start + self.crosses() {
                return self
                    .nearest(line, start)
                    .filter(|(by, _)| *by <= SAME_MM)
                    .map(|near| near.1);
            }
            distance = next;
        }
        self.nearest(line, start)
            .filter(|(by, _)| *by <= SAME_MM)
            .map(|near| near.1)
    }

    /// A line from outside is past the head after no more than this where it isn't along its flange, in millimetres.
    fn crosses(&self) -> f64 {
        1e3 * (self.radius + self.crown)
    }

    /// How near a line comes to the skin from `start` on, and where: where the distance ceases to fall.
    fn nearest(&self, line: &Line, start: f64) -> Option<(f64, Hit)> {
        let at = |distance: f64| self.outside_by(line.at(distance));
        let rises = |distance: f64| at(distance).1.dot(line.direction) >= 0.0;
        let (mut low, mut high) = (start, start + 4.0 * (self.radius + self.depth()));
        if rises(low) {
            high = low;
        }
        while high - low > 1e-13 * high.abs().max(1.0) {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if rises(middle) { high = middle } else { low = middle }
        }
        let (by, normal) = at(high);
        Some((by, Hit { distance: high, normal }))
    }

    /// Off the axis and y of the place where the normal is so far off the axis, in radians, and that normal.
    fn at(&self, angle: f64) -> (DVec2, DVec2) {
        let normal = DVec2::new(angle.sin(), angle.cos());
        let place = if angle <= self.meet {
            self.crown * normal + DVec2::new(0.0, self.crown_y)
        } else {
            self.knuckle * normal + DVec2::new(self.radius - self.knuckle, self.flange)
        };
        (place, normal)
    }

    fn arcs(&self) -> [f64; 2] {
        [self.crown * self.meet, self.knuckle * (FRAC_PI_2 - self.meet)]
    }
}

impl Body for Torisphere {
    fn first_hit(&self, line: &Line) -> Option<Hit> {
        let start = self.start(line)?;
        let (outside, normal) = self.outside_by(line.at(start));
        if line.at(start).y <= self.flange && normal.y == 0.0 && outside.abs() <= 2.0 * SAME_MM {
            return Some(Hit {
                distance: start,
                normal,
            });
        }
        self.on_crown(line).or_else(|| self.close_in(line, start))
    }

    fn passes_by(&self, line: &Line) -> Option<f64> {
        let foot = -line.origin.dot(line.direction);
        let start = foot - 4.0 * (self.radius + self.crown + self.flange);
        let (by, _) = self.nearest(line, start)?;
        Some(by)
    }
}

impl Grow for Torisphere {
    /// Exact: every radius grows by as much.
    fn grown(&self, by: f64) -> Arc<dyn Body + Send + Sync> {
        Arc::new(Self::new(
            self.radius + by,
            self.crown + by,
            self.knuckle + by,
            self.flange,
        ))
    }

    fn deepest_mm(&self) -> f64 {
        self.knuckle
    }
}

impl Dished for Torisphere {
    fn rim_radius(&self) -> f64 {
        self.radius
    }

    fn flange(&self) -> f64 {
        self.flange
    }

    fn top(&self) -> f64 {
        self.apex()
    }

    fn under(&self, way: DVec3) -> DVec3 {
        let across = DVec2::new(way.x, way.z);
        let out = across.normalize_or_zero();
        let (place, _) = self.at(across.length().atan2(way.y.max(0.0)));
        DVec3::new(place.x * out.x, place.y, place.x * out.y)
    }

    fn outside_mm(&self, place: DVec3) -> f64 {
        self.outside_by(place).0
    }

    fn arc_to_flange(&self) -> f64 {
        self.arcs().iter().sum()
    }

    fn over_flange(&self, along: f64) -> (DVec2, DVec2) {
        let [crown, _] = self.arcs();
        let angle = if along <= crown {
            along / self.crown
        } else {
            self.meet + (along - crown) / self.knuckle
        };
        self.at(angle)
    }

    fn arc_to(&self, place: DVec3) -> f64 {
        let [crown, _] = self.arcs();
        let normal = self.outside_by(place).1;
        let angle = normal.x.hypot(normal.z).atan2(normal.y);
        if angle <= self.meet {
            self.crown * angle
        } else {
            crown + self.knuckle * (angle - self.meet)
        }
    }
}
