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

/// Follows the line along the tube through the place of `wall` at `radius` towards the body. `None` where it misses.
pub(super) fn meet(frame: &Frame, body: &(impl Body + ?Sized), wall: &WallLine, radius: f64) -> Option<WallHit> {
    let outward = frame.outward(wall.facing);
    let line = Line {
        origin: frame.origin + frame.across(wall.origin) + radius * outward,
        direction: -frame.axis,
    };
    let Hit { distance, normal } = body.first_hit(&line)?;
    let facing = normal.dot(frame.axis);
    Some(WallHit {
        t: -distance,
        slope: -normal.dot(frame.girthwise(wall.facing)) / facing,
        radial_lean: -normal.dot(outward),
        facing,
        normal,
        point: line.at(distance),
    })
}
