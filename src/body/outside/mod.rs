//! The ability to be in the way: what of a body is solid, with the ends and edges that it has.
//!
//! Skins are endless where that makes lines easy to hit; how far the thing itself goes is asked here, in its own
//! coordinates: axis +y from its end, a plane's outside towards +z.

mod ball;
mod head;
mod plate;
mod prism;
mod round;

pub use ball::SolidBall;
pub use plate::SolidPlate;
pub use prism::Prism;
pub use round::Frustum;

use glam::DVec3;

use super::Same;

/// Something solid without a hollow.
pub trait Outside: Same {
    /// Its two ends, where it has an axis and is cut off square at both; none of a ball or a plate.
    fn ends(&self) -> Option<Ends> {
        None
    }

    /// Of a plate with edges how wide it is, and how high towards its zero, in millimetres; its origin is the middle.
    fn edges_mm(&self) -> Option<[f64; 2]> {
        None
    }

    /// Of what is open at its end and closed at the other, the radius of its rim there, in millimetres.
    fn rim_mm(&self) -> Option<f64> {
        None
    }

    /// Whether its skin is flat.
    fn is_flat(&self) -> bool {
        false
    }

    /// All of it lies near a stretch of its axis; `None` where it is endless: then it is all that lies below z = 0.
    fn core(&self) -> Option<Core>;

    /// The place of it that lies farthest along `way`, less [`Self::rounding_mm`]; of something endless, its origin.
    fn farthest(&self, way: DVec3) -> DVec3;

    /// By how much what [`Self::farthest`] tells is to be grown on all sides, in millimetres.
    fn rounding_mm(&self) -> f64 {
        0.0
    }

    /// How far inside it a place is, in millimetres; 0 or less outside.
    fn depth_mm(&self, place: DVec3) -> f64;
}

impl PartialEq for dyn Outside + Send + Sync {
    fn eq(&self, other: &Self) -> bool {
        self.is_same(other.as_any())
    }
}

/// The two ends of what has an axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// From the one to the other, in millimetres.
    pub length_mm: f64,
    /// How far it reaches from the axis at its end and at the far one, in millimetres.
    pub reach_mm: [f64; 2],
}

impl Ends {
    /// The farthest that it reaches from the axis, in millimetres.
    pub fn most_reach_mm(&self) -> f64 {
        self.reach_mm[0].max(self.reach_mm[1])
    }
}

/// A stretch of the axis from the origin, and how far from it something lies at most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Core {
    /// Along the axis, in millimetres.
    pub length_mm: f64,
    /// From there, in millimetres.
    pub reach_mm: f64,
}
