//! A ball: a dished head. It can't be laid flat.

use std::f64::consts::TAU;
use std::sync::Arc;

use glam::DVec3;

use super::{Body, Grow, Hit, Line, Locate, Site};
use crate::measure::SAME_MM;

/// A sphere about the origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sphere {
    radius: f64,
}

impl Sphere {
    /// `radius` in millimetres, finite and above 0.
    pub fn new(radius: f64) -> Self {
        debug_assert!(radius.is_finite() && radius > 0.0, "radius {radius}");
        Self { radius }
    }
}

impl Body for Sphere {
    fn first_hit(&self, line: &Line) -> Option<Hit> {
        let along = line.origin.dot(line.direction);
        let past = (line.origin - along * line.direction).length();
        let half_chord_squared = (self.radius - past) * (self.radius + past);
        if past > self.radius + SAME_MM {
            return None;
        }
        let distance = -along - half_chord_squared.max(0.0).sqrt();
        Some(Hit {
            distance,
            normal: line.at(distance).normalize_or_zero(),
        })
    }

    fn passes_by(&self, line: &Line) -> Option<f64> {
        let along = line.origin.dot(line.direction);
        Some((line.origin - along * line.direction).length() - self.radius)
    }
}

impl Grow for Sphere {
    fn grown(&self, by: f64) -> Arc<dyn Body + Send + Sync> {
        Arc::new(Self::new(self.radius + by))
    }

    fn deepest_mm(&self) -> f64 {
        self.radius
    }
}

impl Locate for Sphere {
    /// `along`: on the skin from the pole at +y; `round`: from the side of +z towards +x.
    fn site(&self, along: f64, round: f64) -> Site {
        let (sin, cos) = (along / self.radius).sin_cos();
        let normal = DVec3::new(sin * round.sin(), cos, sin * round.cos());
        Site {
            point: self.radius * normal,
            normal,
        }
    }

    fn angle_of(&self, along: f64, arc: f64) -> f64 {
        arc / (self.radius * (along / self.radius).sin()).abs().max(f64::MIN_POSITIVE)
    }

    fn arc_of(&self, along: f64, round: f64) -> f64 {
        round * self.radius * (along / self.radius).sin()
    }

    fn girth(&self, along: f64) -> Option<f64> {
        Some(TAU * self.radius * (along / self.radius).sin())
    }

    fn place_of(&self, point: DVec3) -> (f64, f64) {
        (
            self.radius * (point.y / point.length()).clamp(-1.0, 1.0).acos(),
            point.x.atan2(point.z),
        )
    }
}
