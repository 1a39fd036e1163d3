//! A plate below z = 0.

use glam::DVec3;

use super::{Core, Outside};

/// A plate about the origin, its face at z = 0, its thickness below.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolidPlate {
    /// How wide (x) and how high (y) it is, in millimetres; `None` where its edges aren't known: then it is endless, and all
    /// below its face is taken for solid.
    pub edges_mm: Option<[f64; 2]>,
    /// In millimetres; 0 where it isn't known.
    pub thickness_mm: f64,
}

impl SolidPlate {
    /// Its lowest and its highest corner.
    fn corners(&self) -> Option<[DVec3; 2]> {
        let [wide, high] = self.edges_mm?;
        let half = DVec3::new(wide, high, 0.0) / 2.0;
        Some([-half - self.thickness_mm * DVec3::Z, half])
    }
}

impl Outside for SolidPlate {
    fn edges_mm(&self) -> Option<[f64; 2]> {
        self.edges_mm
    }

    fn is_flat(&self) -> bool {
        true
    }

    fn core(&self) -> Option<Core> {
        let [wide, high] = self.edges_mm?;
        Some(Core {
            length_mm: 0.0,
            reach_mm: DVec3::new(wide / 2.0, high / 2.0, self.thickness_mm).length(),
        })
    }

    fn farthest(&self, way: DVec3) -> DVec3 {
        let corners = self.corners();
        corners.map_or(DVec3::ZERO, |[low, high]| {
            DVec3::select(way.cmpgt(DVec3::ZERO), high, low)
        })
    }

    fn depth_mm(&self, place: DVec3) -> f64 {
        match self.corners() {
            Some([low, high]) => (place - low).min(high - place).min_element(),
            None => -place.z,
        }
    }
}
