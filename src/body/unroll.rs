//! The ability to be laid flat. A body without it has no flat hole pattern.

use glam::DVec3;
use kurbo::{Point, Vec2};

/// A skin that can be laid flat without stretching.
pub trait Unroll {
    /// `point` carried square to the skin onto it, and the skin laid flat: u round the girth, v along
    /// the body, in millimetres.
    fn lay_flat(&self, point: DVec3) -> Point;

    /// What becomes of a small step `vector` from `point`.
    fn lay_flat_vector(&self, point: DVec3, vector: DVec3) -> Vec2;

    /// `point` carried square to the skin by `lift` millimetres, outwards where positive.
    fn carry(&self, point: DVec3, lift: f64) -> DVec3;
}
