//! Where a tube lies in space.

use glam::{DAffine3, DMat3, DVec2, DVec3};

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

    /// The motion that takes what is fixed to this frame to where it is fixed to `other`.
    pub fn way_to(&self, other: &Self) -> DAffine3 {
        let placed = |frame: &Self| {
            let columns = DMat3::from_cols(frame.front, frame.right, frame.axis);
            DAffine3::from_mat3_translation(columns, frame.origin)
        };
        placed(other) * placed(self).inverse()
    }

    /// The same tube pushed along its axis by so many millimetres, away from what it lands on.
    pub fn pushed(&self, by: f64) -> Self {
        Self {
            origin: self.origin + by * self.axis,
            ..*self
        }
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

/// The sine below which a direction that was typed is as good as along an axis: a degree. Nobody means the little that is
/// left across it.
pub const TYPED: f64 = 0.0175;
/// The same of a direction that was computed: what is left is the rounding of the places it was made of.
pub const COMPUTED: f64 = 1e-6;

/// The part of a direction, of any length, that is square to `axis`, a unit vector, as a unit vector; `None` where the sine of
/// the angle between them is below `least_sine`.
///
/// Wherever one direction has a meaning only beside another (a zero line, a front) it is asked for here.
pub fn across(way: DVec3, axis: DVec3, least_sine: f64) -> Option<DVec3> {
    let square_to_axis = |way: DVec3| way - way.dot(axis) * axis;
    let across = square_to_axis(way.try_normalize()?);
    if across.length() < least_sine {
        return None;
    }
    // Once more, as the first subtraction may have left little but rounding along the axis.
    square_to_axis(across.normalize()).try_normalize()
}

/// Where azimuths and places round a girth are counted from when nobody says: up, or towards +x on what stands upright.
pub fn usual_zero(axis: DVec3) -> DVec3 {
    across(DVec3::Z, axis, 0.1)
        .or_else(|| across(DVec3::X, axis, 0.1))
        .unwrap_or_else(|| axis.any_orthonormal_vector())
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

    use super::*;

    #[test]
    fn what_is_left_across_an_axis_is_square_to_it_or_not_there() {
        let axis = DVec3::new(0.3, -0.5, 0.8).normalize();
        let aside = axis.any_orthonormal_vector();
        for sine in [
            1e-15,
            1e-9,
            0.9 * COMPUTED,
            1.1 * COMPUTED,
            0.9 * TYPED,
            1.1 * TYPED,
            0.5,
        ] {
            let way = 1e5 * (axis + sine * aside);
            for least in [COMPUTED, TYPED] {
                let across = across(way, axis, least);
                assert_eq!(across.is_some(), sine > least, "{sine} against {least}");
                let lies = across.is_none_or(|across| {
                    across.dot(axis).abs() < 1e-14 && (across - aside).length() < 1e-9 / sine.min(1e-3)
                });
                assert!(lies, "{sine}: {across:?}");
            }
        }
        assert_eq!(across(DVec3::ZERO, axis, COMPUTED), None);
    }

    #[test]
    fn the_right_of_a_branch_is_plus_x_whatever_its_angle() {
        for angle in [0.2, FRAC_PI_4, FRAC_PI_2] {
            assert!((Frame::branch(angle, 3.0).right - DVec3::X).length() < 1e-15);
        }
    }
}
