//! The half-space below the plane z = 0: a plate, a box side, a flat saw cut.

use std::sync::Arc;

use glam::{DAffine3, DVec3};
use kurbo::{Point, Vec2};

use super::{Body, Development, Grow, Hit, Line, Locate, Placed, Site, Unroll};

/// The plane z = 0, its outside towards +z.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Plane;

impl Body for Plane {
    /// `None` for a line along the plane or one that comes from behind it.
    fn first_hit(&self, line: &Line) -> Option<Hit> {
        let approach = -line.direction.z;
        (approach > f64::EPSILON).then(|| Hit {
            distance: line.origin.z / approach,
            normal: DVec3::Z,
        })
    }
}

impl Grow for Plane {
    fn grown(&self, by: f64) -> Arc<dyn Body + Send + Sync> {
        Arc::new(Placed::new(*self, DAffine3::from_translation(by * DVec3::Z)))
    }

    fn deepest_mm(&self) -> f64 {
        f64::INFINITY
    }
}

impl Unroll for Plane {
    /// u is x, v is y.
    fn lay_flat(&self, point: DVec3) -> Point {
        Point::new(point.x, point.y)
    }

    fn lay_flat_vector(&self, _point: DVec3, vector: DVec3) -> Vec2 {
        Vec2::new(vector.x, vector.y)
    }

    fn carry(&self, point: DVec3, lift: f64) -> DVec3 {
        point + lift * DVec3::Z
    }

    fn development(&self) -> Development {
        Development::Plane
    }
}

impl Locate for Plane {
    /// A plane has no girth: `along` is y and `round` is x, in millimetres.
    fn site(&self, along: f64, round: f64) -> Site {
        Site {
            point: DVec3::new(round, along, 0.0),
            normal: DVec3::Z,
        }
    }

    fn angle_of(&self, _along: f64, arc: f64) -> f64 {
        arc
    }

    fn arc_of(&self, _along: f64, round: f64) -> f64 {
        round
    }

    fn girth(&self, _along: f64) -> Option<f64> {
        None
    }

    fn place_of(&self, point: DVec3) -> (f64, f64) {
        (point.y, point.x)
    }
}
