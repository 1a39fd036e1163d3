//! The ability to say where a place is that was measured on the skin.

use glam::DVec3;

/// A place on a skin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// In space.
    pub point: DVec3,
    /// Straight out of the body.
    pub normal: DVec3,
}

/// A skin on which people measure along the body from its end, and round it from a zero line.
pub trait Locate {
    /// The place `along` millimetres from the end and `round` radians from the zero line, to the right as
    /// seen from outside with the far end up.
    fn site(&self, along: f64, round: f64) -> Site;

    /// The angle in radians of an arc in millimetres round the body, measured from the zero line.
    fn angle_of(&self, along: f64, arc: f64) -> f64;

    /// The arc in millimetres of such an angle: `angle_of` the other way about.
    fn arc_of(&self, along: f64, round: f64) -> f64;

    /// Once round the body at `along`, in millimetres; `None` where there is no girth, as on a plane.
    fn girth(&self, along: f64) -> Option<f64>;

    /// Along in millimetres and round in radians of the place under `point`.
    fn place_of(&self, point: DVec3) -> (f64, f64);
}
