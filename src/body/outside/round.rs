//! What is round about its axis: a drum, a tube, a cone.

use glam::{DVec2, DVec3};

use super::{Core, Ends, Outside};

/// A frustum about the y axis between two round ends; of equal ends, a cylinder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frustum {
    /// From its end at y = 0, in millimetres.
    pub length_mm: f64,
    /// At its end and at the far one, in millimetres.
    pub radii_mm: [f64; 2],
}

impl Frustum {
    /// By how much the radius grows per millimetre of y.
    pub fn taper(&self) -> f64 {
        (self.radii_mm[1] - self.radii_mm[0]) / self.length_mm
    }
}

impl Outside for Frustum {
    fn ends(&self) -> Option<Ends> {
        Some(Ends {
            length_mm: self.length_mm,
            reach_mm: self.radii_mm,
        })
    }

    fn core(&self) -> Option<Core> {
        Some(Core {
            length_mm: self.length_mm,
            reach_mm: self.radii_mm[0].max(self.radii_mm[1]),
        })
    }

    fn farthest(&self, way: DVec3) -> DVec3 {
        let out = DVec2::new(way.x, way.z).normalize_or_zero();
        let at = |radius: f64, y: f64| DVec3::new(radius * out.x, y, radius * out.y);
        let [near, far] = [at(self.radii_mm[0], 0.0), at(self.radii_mm[1], self.length_mm)];
        if near.dot(way) >= far.dot(way) { near } else { far }
    }

    fn depth_mm(&self, place: DVec3) -> f64 {
        let taper = self.taper();
        let below = (self.radii_mm[0] + taper * place.y - place.x.hypot(place.z)) / taper.hypot(1.0);
        below.min(place.y).min(self.length_mm - place.y)
    }
}
