//! Dished heads: solid from the rim of the flange to the apex.

use glam::{DVec2, DVec3};

use super::{Core, Outside};
use crate::body::dished::Dished;

/// The farther along `way` of a head's rim at y = 0, which is `radius` millimetres off the axis, and a place over it.
fn farther(way: DVec3, radius: f64, over_it: DVec3) -> DVec3 {
    let out = DVec2::new(way.x, way.z).normalize_or_zero();
    let rim = DVec3::new(radius * out.x, 0.0, radius * out.y);
    if rim.dot(way) >= over_it.dot(way) { rim } else { over_it }
}

impl<H: Dished> Outside for H {
    fn rim_mm(&self) -> Option<f64> {
        Some(self.rim_radius())
    }

    fn core(&self) -> Option<Core> {
        Some(Core {
            length_mm: self.top(),
            reach_mm: self.rim_radius(),
        })
    }

    fn farthest(&self, way: DVec3) -> DVec3 {
        farther(way, self.rim_radius(), self.under(way))
    }

    fn depth_mm(&self, place: DVec3) -> f64 {
        (-self.outside_mm(place)).min(place.y)
    }
}
