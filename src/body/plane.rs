//! The half-space below the plane z = 0: a plate, a box side, a flat saw cut.

use glam::DVec3;

use super::{Body, Hit, Line};

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
