//! What dished heads have in common: each turns about the y axis, its apex up, over a straight flange. A head says what its
//! curve over the flange is; where places lie on its skin follows.

use std::f64::consts::{PI, TAU};

use glam::{DVec2, DVec3};

use super::{Locate, Same, Site};

/// A dished head. The rim of its flange is at y = 0; below the rim the flange goes on without end.
pub(super) trait Dished: Same {
    /// The outside radius of its flange, in millimetres.
    fn rim_radius(&self) -> f64;

    /// How high its flange is, in millimetres.
    fn flange(&self) -> f64;

    /// Where its apex is over the rim of its flange, in millimetres.
    fn top(&self) -> f64;

    /// The place over the flange where the skin's normal is `way`, which leads up or level; else where the flange begins to bend.
    fn under(&self, way: DVec3) -> DVec3;

    /// How far a place is outside the skin, in millimetres, below 0 inside.
    fn outside_mm(&self, place: DVec3) -> f64;

    /// Over the skin from the apex to where the flange begins, in millimetres.
    fn arc_to_flange(&self) -> f64;

    /// Off the axis and y of a place `along` over the skin from the apex, and the normal there, off the axis and up; `along` is
    /// no more than to the flange.
    fn over_flange(&self, along: f64) -> (DVec2, DVec2);

    /// Over the skin from the apex to the place under one over the flange, in millimetres.
    fn arc_to(&self, place: DVec3) -> f64;

    /// As [`Dished::over_flange`], on the flange too.
    fn profile(&self, along: f64) -> (DVec2, DVec2) {
        let down = along - self.arc_to_flange();
        if down < 0.0 {
            return self.over_flange(along);
        }
        (DVec2::new(self.rim_radius(), self.flange() - down), DVec2::X)
    }
}

impl<H: Dished> Locate for H {
    /// `along`: over the skin from the apex; `round`: from the side of +z towards +x.
    fn site(&self, along: f64, round: f64) -> Site {
        let round = if along < 0.0 { round + PI } else { round };
        let (sin, cos) = round.sin_cos();
        let (point, normal) = self.profile(along.abs());
        let turned = |flat: DVec2| DVec3::new(flat.x * sin, flat.y, flat.x * cos);
        Site {
            point: turned(point),
            normal: turned(normal),
        }
    }

    fn angle_of(&self, along: f64, arc: f64) -> f64 {
        arc / self.profile(along.abs()).0.x.max(f64::MIN_POSITIVE)
    }

    fn arc_of(&self, along: f64, round: f64) -> f64 {
        round * self.profile(along.abs()).0.x
    }

    fn girth(&self, along: f64) -> Option<f64> {
        Some(TAU * self.profile(along.abs()).0.x)
    }

    fn place_of(&self, point: DVec3) -> (f64, f64) {
        let down = self.flange() - point.y;
        let along = if down < 0.0 {
            self.arc_to(point)
        } else {
            self.arc_to_flange() + down
        };
        (along, point.x.atan2(point.z))
    }
}
