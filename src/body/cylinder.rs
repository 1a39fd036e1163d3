//! A round body, endless along its axis +y: a drum, a header pipe, another tube.

use std::f64::consts::TAU;
use std::sync::Arc;

use glam::{DVec2, DVec3};
use kurbo::{Point, Vec2};

use super::{Body, Development, Grow, Hit, Line, Locate, Site, Unroll};
use crate::measure::SAME_MM;

/// A cylinder about the y axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cylinder {
    radius: f64,
    per_radius: f64,
    /// A line no farther from the axis than this meets it.
    grazed: f64,
}

impl Cylinder {
    /// `radius` in millimetres, finite and above 0.
    pub fn new(radius: f64) -> Self {
        debug_assert!(radius.is_finite() && radius > 0.0, "radius {radius}");
        Self {
            radius,
            per_radius: radius.recip(),
            grazed: radius + SAME_MM,
        }
    }

    /// In millimetres.
    pub fn radius(&self) -> f64 {
        self.radius
    }
}

/// What remains of a vector when one looks along the axis.
fn across(vector: DVec3) -> DVec2 {
    DVec2::new(vector.x, vector.z)
}

impl Body for Cylinder {
    /// Seen along the axis: the half chord is left of the foot of the perpendicular from the centre.
    fn first_hit(&self, line: &Line) -> Option<Hit> {
        let (origin, direction) = (across(line.origin), across(line.direction));
        let speed_squared = direction.length_squared();
        if speed_squared < f64::EPSILON * f64::EPSILON {
            return None;
        }
        // Both times the speed, which is kept a square: one root is enough.
        let past_centre = direction.perp_dot(origin);
        let reach_squared = self.radius * self.radius * speed_squared;
        let half_chord_squared = reach_squared - past_centre * past_centre;
        if past_centre * past_centre > self.grazed * self.grazed * speed_squared {
            return None;
        }
        let half_chord = half_chord_squared.max(0.0).sqrt();
        let distance = (-direction.dot(origin) - half_chord) / speed_squared;
        let place = across(line.at(distance));
        // A line that passes by a hair and counts as a graze ends beside the skin.
        let normal = if half_chord > 0.0 {
            place * self.per_radius
        } else {
            place.normalize_or_zero()
        };
        Some(Hit {
            distance,
            normal: DVec3::new(normal.x, 0.0, normal.y),
        })
    }

    fn passes_by(&self, line: &Line) -> Option<f64> {
        let (origin, direction) = (across(line.origin), across(line.direction));
        Some(direction.perp_dot(origin).abs() / direction.length() - self.radius).filter(|past| past.is_finite())
    }
}

impl Grow for Cylinder {
    fn grown(&self, by: f64) -> Arc<dyn Body + Send + Sync> {
        Arc::new(Self::new(self.radius + by))
    }

    fn deepest_mm(&self) -> f64 {
        self.radius
    }
}

impl Unroll for Cylinder {
    /// u: arc from the line through +z, growing towards +x; v: along the axis.
    fn lay_flat(&self, point: DVec3) -> Point {
        Point::new(self.radius * point.x.atan2(point.z), point.y)
    }

    fn lay_flat_vector(&self, point: DVec3, vector: DVec3) -> Vec2 {
        let at = across(point);
        // The turn about the axis is dx z - dz x over the distance from the axis squared.
        Vec2::new(
            self.radius * (vector.x * point.z - vector.z * point.x) / at.length_squared(),
            vector.y,
        )
    }

    fn carry(&self, point: DVec3, lift: f64) -> DVec3 {
        let outward = across(point).normalize_or_zero();
        point + lift * DVec3::new(outward.x, 0.0, outward.y)
    }

    fn development(&self) -> Development {
        Development::Strip {
            girth: TAU * self.radius,
        }
    }
}

impl Locate for Cylinder {
    fn site(&self, along: f64, round: f64) -> Site {
        let normal = DVec3::new(round.sin(), 0.0, round.cos());
        Site {
            point: self.radius * normal + along * DVec3::Y,
            normal,
        }
    }

    fn angle_of(&self, _along: f64, arc: f64) -> f64 {
        arc / self.radius
    }

    fn arc_of(&self, _along: f64, round: f64) -> f64 {
        self.radius * round
    }

    fn girth(&self, _along: f64) -> Option<f64> {
        Some(TAU * self.radius)
    }

    fn place_of(&self, point: DVec3) -> (f64, f64) {
        (point.y, point.x.atan2(point.z))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_past_the_skin_misses_and_one_along_it_grazes() {
        let drum = Cylinder::new(10.0);
        let down = |x: f64| Line {
            origin: DVec3::new(x, 0.0, 0.0),
            direction: DVec3::NEG_Z,
        };
        assert_eq!(drum.first_hit(&down(6.0)).map(|hit| hit.distance), Some(-8.0));
        assert_eq!(drum.first_hit(&down(10.0)).map(|hit| hit.distance), Some(0.0));
        assert_eq!(
            drum.first_hit(&down(10.0 + 0.9 * SAME_MM)).map(|hit| hit.distance),
            Some(0.0)
        );
        assert_eq!(drum.first_hit(&down(10.0 + 1.1 * SAME_MM)), None);
        assert_eq!(
            drum.passes_by(&down(10.001)).map(|past| (past * 1e6).round()),
            Some(1000.0)
        );
        assert_eq!(
            drum.first_hit(&Line {
                origin: DVec3::ZERO,
                direction: DVec3::Y
            }),
            None
        );
    }

    #[test]
    fn a_vector_laid_flat_is_the_difference_of_points_laid_flat() {
        let drum = Cylinder::new(10.0);
        let (point, vector) = (DVec3::new(3.0, 1.0, 8.0), DVec3::new(0.4, -0.7, 0.2));
        let step = 1e-6;
        let difference = (drum.lay_flat(point + step * vector) - drum.lay_flat(point - step * vector)) / (2.0 * step);
        assert!((difference - drum.lay_flat_vector(point, vector)).hypot() < 1e-8);
    }
}
