//! Where a tube lies in space.

use glam::{DAffine3, DVec2, DVec3};

/// A tube's place: its work point, axis and the azimuth zero of its girth. Unit vectors, square to
/// each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// The work point: t = 0.
    pub origin: DVec3,
    /// Along the tube, away from what it lands on: t grows this way.
    pub axis: DVec3,
    /// Azimuth 0.
    pub front: DVec3,
    /// Azimuth 90.
    pub right: DVec3,
}

impl Frame {
    /// `axis` and `front` must be unit vectors square to each other. Right is to the right on the
    /// printed face with the cut end up.
    pub fn new(origin: DVec3, axis: DVec3, front: DVec3) -> Self {
        Self {
            origin,
            axis,
            front,
            right: front.cross(axis),
        }
    }

    /// A branch on a header along +y: `angle` between the axes in radians, moved by `offset` mm along +x.
    pub fn branch(angle: f64, offset: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self::new(
            DVec3::new(offset, 0.0, 0.0),
            DVec3::new(0.0, cos, sin),
            DVec3::new(0.0, sin, -cos),
        )
    }

    /// A tube over the plane z = 0 that is cut `off_square` radians off square, its long side in front.
    pub fn miter(off_square: f64) -> Self {
        let (sin, cos) = off_square.sin_cos();
        Self::new(DVec3::ZERO, DVec3::new(0.0, sin, cos), DVec3::new(0.0, -cos, sin))
    }

    /// The same place, the tube turned about its own axis by `turn` radians, its front towards growing azimuths.
    pub fn turned(&self, turn: f64) -> Self {
        let (front, right) = self.outward_and_girthwise(turn);
        Self { front, right, ..*self }
    }

    /// The same tube in other coordinates; `way` goes into them by a turn and a move, no scaling.
    pub fn brought(&self, way: &DAffine3) -> Self {
        Self::new(
            way.transform_point3(self.origin),
            way.transform_vector3(self.axis),
            way.transform_vector3(self.front),
        )
    }

    /// A place of the section's plane as seen from the work point: x towards the front, y to the right.
    pub fn across(&self, place: DVec2) -> DVec3 {
        place.x * self.front + place.y * self.right
    }

    /// Out of the tube in the direction `facing`, in radians from the front to the right, and round the girth there,
    /// towards growing azimuths.
    pub fn outward_and_girthwise(&self, facing: f64) -> (DVec3, DVec3) {
        let (sin, cos) = facing.sin_cos();
        (cos * self.front + sin * self.right, cos * self.right - sin * self.front)
    }

    /// Out of the tube in the direction `facing`.
    pub fn outward(&self, facing: f64) -> DVec3 {
        self.outward_and_girthwise(facing).0
    }

    /// Round the girth where the skin faces `facing`.
    pub fn girthwise(&self, facing: f64) -> DVec3 {
        self.outward_and_girthwise(facing).1
    }
}

/// Where azimuths and places round a girth are counted from when nobody says: up, or towards +x on what stands upright.
pub fn usual_zero(axis: DVec3) -> DVec3 {
    let across = |way: DVec3| way - way.dot(axis) * axis;
    let up = across(DVec3::Z);
    if up.length() > 0.1 {
        up.normalize()
    } else {
        across(DVec3::X).normalize()
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

    use super::*;

    #[test]
    fn the_right_of_a_branch_is_plus_x_whatever_its_angle() {
        for angle in [0.2, FRAC_PI_4, FRAC_PI_2] {
            assert!((Frame::branch(angle, 3.0).right - DVec3::X).length() < 1e-15);
        }
    }
}
