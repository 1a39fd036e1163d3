//! A flat curve that is known point by point: what the creases are looked for in, and what is fitted.

use kurbo::{Point, Vec2};

/// A place on a traced curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// In millimetres.
    pub point: Point,
    /// By how much the point moves per radian.
    pub speed: Vec2,
}

/// A flat curve over the azimuth.
pub trait Trace {
    /// The place at `azimuth` radians; `None` where there is none, since a line misses the body.
    fn at(&self, azimuth: f64) -> Option<Place>;

    /// Azimuths from 0 to a turn, in radians and rising, at which what is traced is known not to be smooth; it may have
    /// corners elsewhere too.
    fn joins(&self) -> Vec<f64> {
        Vec::new()
    }
}
