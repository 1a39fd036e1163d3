//! The edge of a hole as it was found.

use std::f64::consts::TAU;

use glam::DVec3;

use super::Solid;
use super::line::LineInSpace;
use super::sight::Sight;
use crate::body::Line;
use crate::job::{BodyInSpace, FoundHole};

/// Straight pieces of it.
const PIECES: usize = 60;

/// A closed line on a skin.
pub(in crate::layout) struct Ring {
    places: Vec<DVec3>,
    middle: DVec3,
    radius: f64,
}

impl Ring {
    /// None where the body can't be laid flat.
    pub(in crate::layout) fn new(body: &BodyInSpace, hole: &FoundHole) -> Option<Self> {
        let frame = hole.drilling(body)?.frame;
        let radius = hole.across_mm / 2.0;
        let place = |piece: usize| {
            let (sin, cos) = (TAU * piece as f64 / PIECES as f64).sin_cos();
            let line = Line {
                origin: frame.origin + 2.0 * radius * frame.axis + radius * (cos * frame.front + sin * frame.right),
                direction: -frame.axis,
            };
            body.surface.first_hit(&line).map(|hit| line.at(hit.distance))
        };
        Some(Self {
            places: (0..PIECES).filter_map(place).collect(),
            middle: frame.origin,
            radius,
        })
    }
}

impl Solid for Ring {
    fn lines(&self, _eye: DVec3) -> Vec<LineInSpace<'_>> {
        let next = self.places.iter().cycle().skip(1);
        let pieces = self.places.iter().zip(next);
        pieces.map(|(from, to)| LineInSpace::straight(*from, *to)).collect()
    }

    fn hides(&self, _sight: &Sight) -> bool {
        false
    }

    fn ball(&self) -> (DVec3, f64) {
        (self.middle, self.radius)
    }
}
