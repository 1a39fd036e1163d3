//! The lines of a tube's wall, and how its cut slopes where one of them meets a body.

use glam::DVec3;

use crate::body::{Body, Hit, Line};
use crate::job::Frame;
use crate::section::WallLine;

/// Where a line along the tube through the wall meets a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct WallHit {
    /// Along the tube from the work point, in millimetres, positive away from the body.
    pub(super) t: f64,
    /// By how much t grows per millimetre of girth.
    pub(super) slope: f64,
    /// By how much t grows per millimetre of radius, times `facing`: finite where the line only grazes the skin.
    pub(super) radial_lean: f64,
    /// The (never negative) cosine between the line and the normal.
    pub(super) facing: f64,
    /// Out of the body.
    pub(super) normal: DVec3,
    /// In space.
    pub(super) point: DVec3,
}

/// The lines along the tube through one line of its wall.
pub(super) struct WallRays {
    foot: DVec3,
    outward: DVec3,
    girthwise: DVec3,
    axis: DVec3,
}

impl WallRays {
    pub(super) fn new(frame: &Frame, wall: &WallLine) -> Self {
        let (outward, girthwise) = frame.outward_and_girthwise(wall.facing);
        Self {
            foot: frame.origin + frame.across(wall.origin),
            outward,
            girthwise,
            axis: frame.axis,
        }
    }

    /// Follows the line through the place at `radius` towards the body. `None` where it misses.
    pub(super) fn meet(&self, body: &(impl Body + ?Sized), radius: f64) -> Option<WallHit> {
        let line = Line {
            origin: self.foot + radius * self.outward,
            direction: -self.axis,
        };
        let Hit { distance, normal } = body.first_hit(&line)?;
        let facing = normal.dot(self.axis);
        Some(WallHit {
            t: -distance,
            slope: -normal.dot(self.girthwise) / facing,
            radial_lean: -normal.dot(self.outward),
            facing,
            normal,
            point: line.at(distance),
        })
    }
}

/// The same for a single place of the wall.
pub(super) fn meet(frame: &Frame, body: &(impl Body + ?Sized), wall: &WallLine, radius: f64) -> Option<WallHit> {
    WallRays::new(frame, wall).meet(body, radius)
}
