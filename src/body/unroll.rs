//! The ability to be laid flat. A body without it has no flat hole pattern.

use std::f64::consts::PI;

use glam::DVec3;
use kurbo::{Affine, Point, Vec2};

/// A skin that can be laid flat without stretching.
pub trait Unroll {
    /// `point` carried square to the skin onto it, and the skin laid flat: u round the girth, v along
    /// the body, in millimetres.
    fn lay_flat(&self, point: DVec3) -> Point;

    /// What becomes of a small step `vector` from `point`.
    fn lay_flat_vector(&self, point: DVec3, vector: DVec3) -> Vec2;

    /// `point` carried square to the skin by `lift` millimetres, outwards where positive.
    fn carry(&self, point: DVec3, lift: f64) -> DVec3;

    /// Which shape the skin has when it is laid flat.
    fn development(&self) -> Development;
}

/// The shape of a whole skin laid flat, (0, 0) being on the line that it is laid flat from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Development {
    /// Endless every way: there is no way round.
    Plane,
    /// A strip, as long along u as the body is round.
    Strip {
        /// Once round, in millimetres.
        girth: f64,
    },
    /// A sector about the place where the body's tip comes to lie, straight above or below (0, 0).
    Sector {
        /// Where that is.
        tip: Point,
        /// By how much going once round to the right turns about it, in radians, less than a turn; above 0 from +u to +v.
        turn: f64,
    },
}

impl Development {
    /// Takes a place of the flat skin to where it is met again so many whole turns on, to the right where positive.
    pub fn turned(&self, turns: f64) -> Affine {
        match *self {
            Self::Plane => Affine::IDENTITY,
            Self::Strip { girth } => Affine::translate((turns * girth, 0.0)),
            Self::Sector { tip, turn } => Affine::rotate_about(turns * turn, tip),
        }
    }

    /// So many turns on what is on the skin is met again by what goes round it either way: on a plane only where it is.
    pub fn turns_on(&self) -> &'static [f64] {
        match self {
            Self::Plane => &[0.0],
            Self::Strip { .. } | Self::Sector { .. } => &[-1.0, 0.0, 1.0],
        }
    }

    /// Whether the straight line between two places, one of them so many turns and parts of a turn on from the other,
    /// lies on the skin: in a sector one that leads half round the tip or more doesn't.
    pub fn spans(&self, turns: f64) -> bool {
        match *self {
            Self::Plane | Self::Strip { .. } => true,
            Self::Sector { turn, .. } => (turns * turn).abs() < PI,
        }
    }

    /// How far up the body a place of the flat skin is from (0, 0), measured along the skin, in millimetres.
    pub fn up(&self, place: Point) -> f64 {
        match *self {
            Self::Plane | Self::Strip { .. } => place.y,
            Self::Sector { tip, .. } => -tip.y.signum() * (place.distance(tip) - tip.y.abs()),
        }
    }

    /// How many turns and parts of a turn `to` is on from `from`, to the right where positive; the shorter way.
    pub fn turns(&self, from: Point, to: Point) -> f64 {
        match *self {
            Self::Plane => 0.0,
            Self::Strip { girth } => (to.x - from.x) / girth,
            Self::Sector { tip, turn } => {
                let (from, to) = (from - tip, to - tip);
                from.cross(to).atan2(from.dot(to)) / turn
            }
        }
    }

    /// Straight down the body from a place of the flat skin, or up, at the height of (0, 0).
    pub fn foot(&self, place: Point) -> Point {
        match *self {
            Self::Plane | Self::Strip { .. } => Point::new(place.x, 0.0),
            Self::Sector { tip, .. } => tip + (place - tip) * (tip.y.abs() / place.distance(tip)),
        }
    }
}
