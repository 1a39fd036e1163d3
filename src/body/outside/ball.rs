//! A ball about the origin.

use glam::DVec3;

use super::{Core, Outside};

/// A solid ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolidBall {
    /// In millimetres.
    pub radius_mm: f64,
}

impl Outside for SolidBall {
    fn core(&self) -> Option<Core> {
        Some(Core {
            length_mm: 0.0,
            reach_mm: self.radius_mm,
        })
    }

    fn farthest(&self, _way: DVec3) -> DVec3 {
        DVec3::ZERO
    }

    fn rounding_mm(&self) -> f64 {
        self.radius_mm
    }

    fn depth_mm(&self, place: DVec3) -> f64 {
        self.radius_mm - place.length()
    }
}
