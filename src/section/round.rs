//! A circle.

use std::f64::consts::{PI, TAU};

use glam::{DVec2, DVec3};

use super::{Profile, Section, WallLine};

/// A circle about the axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Round {
    /// In millimetres, above 0.
    pub radius: f64,
}

impl Profile for Round {
    fn girth(&self) -> f64 {
        PI * (2.0 * self.radius)
    }

    fn wall_area(&self, wall: f64) -> f64 {
        PI * (self.radius.powi(2) - (self.radius - wall).powi(2))
    }

    fn wall_line(&self, azimuth: f64, wall: f64) -> WallLine {
        WallLine {
            origin: DVec2::ZERO,
            facing: azimuth,
            inner: self.radius - wall,
            outer: self.radius,
            gliding: 0.0,
            turning: 1.0,
            inner_rise: 0.0,
        }
    }

    fn joins(&self, _wall: f64) -> Vec<f64> {
        Vec::new()
    }

    fn folds(&self) -> Vec<f64> {
        Vec::new()
    }

    fn reach_towards(&self, way: DVec2) -> f64 {
        self.radius * way.length()
    }

    fn reach(&self) -> f64 {
        self.radius
    }

    fn grown(&self, by: f64) -> Section {
        Section::Round(Self {
            radius: self.radius + by,
        })
    }

    fn outside_by(&self, across: DVec3, _front: DVec3, _right: DVec3) -> f64 {
        across.length() - self.radius
    }

    fn crossings(&self, start: DVec2, way: DVec2) -> Option<[f64; 2]> {
        crossings(start, way, self.radius)
    }

    fn azimuth_of(&self, place: DVec2) -> f64 {
        place.y.atan2(place.x).rem_euclid(TAU)
    }

    /// Where the skin turns away from the eye.
    fn outlines(&self, eye: DVec2) -> Vec<f64> {
        let turning = (-eye.x).atan2(eye.y);
        vec![turning.rem_euclid(TAU), (turning + PI).rem_euclid(TAU)]
    }
}

/// Where a line meets a circle about 0.
#[inline]
pub(super) fn crossings(start: DVec2, way: DVec2, radius: f64) -> Option<[f64; 2]> {
    let (a, b, c) = (
        way.length_squared(),
        start.dot(way),
        start.length_squared() - radius * radius,
    );
    let root = b * b - a * c;
    if a < 1e-12 || root <= 0.0 {
        return None;
    }
    Some([(-b - root.sqrt()) / a, (-b + root.sqrt()) / a])
}
