//! From a place on a picture back into space.

use glam::DVec3;
use kurbo::Point;

use super::eye::View;
use super::{Look, Projection, RIM};
use crate::body::Line;

/// The lines of sight of a picture whose frame is known.
#[derive(Debug, Clone, Copy)]
pub struct Sights(Projection);

impl Sights {
    /// Of a picture that is looked at so; `frame` is the ball that it shows, as [`super::Seen::frame`] gives it.
    pub fn new(look: &Look, frame: (DVec3, f64)) -> Self {
        Self(Projection::of_ball(look, View::from(look.eye), frame, RIM))
    }

    /// Where a place of the scene is on the picture, in millimetres from its lower left corner.
    pub fn flat(&self, place: DVec3) -> Point {
        self.0.flat(place)
    }

    /// To the eye, as a unit vector.
    pub fn eye(&self) -> DVec3 {
        self.0.view.eye
    }

    /// What one sees at a place of the picture: the line from the eye into the scene.
    pub fn line(&self, place: Point) -> Line {
        let Projection { view, origin, scale } = self.0;
        let at = origin + place.to_vec2() / scale;
        Line {
            origin: at.x * view.right + at.y * view.up,
            direction: -view.eye,
        }
    }
}
