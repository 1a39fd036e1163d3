//! The lines of a tube's wall, and how its cut slopes where one of them meets a body.

use glam::DVec3;

use crate::body::{Body, Hit, Line};
use crate::job::Frame;
use crate::section::WallLine;

/// Below this cosine between the normal and the tube's lines rounding decides how the skin slopes: such a line meets its
/// body at the root of a difference of two as good as equal numbers.
const ROUNDING: f64 = 3e-8;

/// Where a line along the tube through the wall meets a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct WallHit {
    /// Along the tube from the work point, in millimetres, positive away from the body.
    pub(super) t: f64,
    /// By how much t grows per millimetre of radius, times `facing`: finite where the line only grazes the skin.
    pub(super) radial_lean: f64,
    /// The (never negative) cosine between the line and the normal.
    pub(super) facing: f64,
    /// Out of the body, in the coordinates of the [`Lines`].
    pub(super) normal: DVec3,
}

impl WallHit {
    /// By how much t grows per millimetre of radius.
    pub(super) fn per_radius(&self) -> f64 {
        self.radial_lean / self.facing
    }
}

/// A tube and what it lands on.
pub(super) struct Lines<'a> {
    frame: Frame,
    body: &'a dyn Body,
}

impl<'a> Lines<'a> {
    /// Hits are in the frame's coordinates.
    pub(super) fn new(frame: &Frame, body: &'a dyn Body) -> Self {
        Self { frame: *frame, body }
    }

    /// Hits are in the body's own coordinates, which is faster.
    pub(super) fn at_the_body(frame: &Frame, body: &'a dyn Body) -> Self {
        match body.by_itself() {
            Some((body, way)) => Self::new(&frame.brought(&way), body),
            None => Self::new(frame, body),
        }
    }

    /// The lines along the tube through one line of its wall.
    #[inline]
    pub(super) fn through(&self, wall: &WallLine) -> WallRays<'a> {
        let (outward, girthwise) = self.frame.outward_and_girthwise(wall.facing);
        WallRays {
            body: self.body,
            foot: self.frame.origin + self.frame.across(wall.origin),
            outward,
            girthwise,
            axis: self.frame.axis,
        }
    }
}

/// The lines along the tube through one line of its wall.
pub(super) struct WallRays<'a> {
    body: &'a dyn Body,
    foot: DVec3,
    outward: DVec3,
    girthwise: DVec3,
    axis: DVec3,
}

impl WallRays<'_> {
    /// Follows the line through the place at `radius` towards the body. `None` where it misses.
    #[inline]
    pub(super) fn meet(&self, radius: f64) -> Option<WallHit> {
        let Hit { distance, normal } = self.body.first_hit(&self.line(radius))?;
        let facing = normal.dot(self.axis);
        Some(WallHit {
            t: -distance,
            radial_lean: -normal.dot(self.outward),
            facing,
            normal,
        })
    }

    /// The place at `radius` and t.
    pub(super) fn place(&self, t: f64, radius: f64) -> DVec3 {
        self.foot + radius * self.outward + t * self.axis
    }

    /// How far outside the body the line through the place at `radius` passes, in millimetres, where that is known.
    pub(super) fn passes_by(&self, radius: f64) -> Option<f64> {
        self.body.passes_by(&self.line(radius))
    }

    fn line(&self, radius: f64) -> Line {
        Line {
            origin: self.foot + radius * self.outward,
            direction: -self.axis,
        }
    }

    /// By how much t grows at a hit per millimetre of girth; not a number where rounding would decide it.
    pub(super) fn per_girth(&self, hit: &WallHit) -> f64 {
        if hit.facing < ROUNDING {
            return f64::NAN;
        }
        -hit.normal.dot(self.girthwise) / hit.facing
    }

    /// Which way the cut goes on at a hit, per millimetre of girth, in the coordinates of the [`Lines`].
    pub(super) fn along_the_cut(&self, hit: &WallHit) -> DVec3 {
        self.girthwise + self.per_girth(hit) * self.axis
    }

    /// Where a hit at `radius` is, in the coordinates of the [`Lines`].
    pub(super) fn point(&self, hit: &WallHit, radius: f64) -> DVec3 {
        self.place(hit.t, radius)
    }
}
