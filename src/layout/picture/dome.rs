//! A dished head: open at its rim, drawn as solid.

use std::f64::consts::TAU;
use std::sync::Arc;

use glam::{DAffine3, DVec3};

use super::Solid;
use super::line::LineInSpace;
use super::sight::{CLEAR, Sight, in_cylinder, shared};
use crate::job::{SolidThing, Surface};

/// Convex, with one flat side at y = 0 of its own coordinates.
pub(in crate::layout) struct Dome {
    /// Its skin in space, without an end.
    pub surface: Arc<dyn Surface>,
    /// What of it is solid.
    pub outside: SolidThing,
    /// From its own coordinates to space.
    pub placement: DAffine3,
    /// From the rim to the apex, in millimetres.
    pub height: f64,
    /// Of its rim, in millimetres; nothing of it lies farther from the axis.
    pub rim: f64,
}

impl Dome {
    fn axis(&self) -> DVec3 {
        self.placement.transform_vector3(DVec3::Y)
    }
}

impl Solid for Dome {
    /// Its outline is where it reaches farthest, seen square to each way about the line of sight.
    fn lines(&self, eye: DVec3) -> Vec<LineInSpace<'_>> {
        let to_body = self.placement.inverse();
        let (a, b) = to_body.transform_vector3(eye).any_orthonormal_pair();
        let outline = LineInSpace::curve(move |share| {
            let (sin, cos) = (TAU * share).sin_cos();
            self.placement
                .transform_point3(self.outside.farthest(cos * a + sin * b))
        });
        let rim = LineInSpace::curve(move |share| {
            let (sin, cos) = (TAU * share).sin_cos();
            self.placement
                .transform_point3(DVec3::new(self.rim * sin, 0.0, self.rim * cos))
        });
        vec![outline, rim]
    }

    fn hides(&self, sight: &Sight) -> bool {
        let from_rim = Sight {
            from: sight.from - self.placement.translation,
            ..*sight
        };
        let between = from_rim.between(self.axis(), CLEAR, self.height - CLEAR);
        let about = shared(between, in_cylinder(&from_rim, self.axis(), self.rim));
        if about.is_none_or(|about| about.1 <= 0.0) {
            return false;
        }
        let within = shared(between, sight.in_body(self.surface.as_ref(), -CLEAR));
        within.is_some_and(|within| within.1 > 0.0)
    }

    fn ball(&self) -> (DVec3, f64) {
        let middle = self.placement.transform_point3(0.5 * self.height * DVec3::Y);
        (middle, self.rim.hypot(0.5 * self.height))
    }
}
