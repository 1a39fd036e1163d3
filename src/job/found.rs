//! Holes that are in a body as it was found.

use std::sync::Arc;

use super::{BodyInSpace, Drilling, Frame, Skin, usual_zero};
use crate::problem::Place;
use crate::section::{Round, Section};

/// A round hole that is there already and that no tube of the job goes into.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundHole {
    /// What it is: "old bung".
    pub name: String,
    /// From the body's end to its middle, in millimetres; on a plane from its point up.
    pub along_mm: f64,
    /// Round from the zero line to its middle, in radians; across a plane, in millimetres.
    pub round: f64,
    /// Straight across it, in millimetres.
    pub across_mm: f64,
    /// Where that was said.
    pub place: Place,
}

impl FoundHole {
    /// As it would be drilled: straight through its middle, square to the skin, which is laid flat from the line through
    /// the middle. None where the body can't be laid flat.
    pub(crate) fn drilling(&self, body: &BodyInSpace) -> Option<Drilling> {
        let site = body.surface.site(self.along_mm, self.round);
        let outer: Arc<dyn Skin> = (body.flat.as_ref()?.outer)(self.round);
        Some(Drilling {
            frame: Frame::new(site.point, site.normal, usual_zero(site.normal)),
            section: Section::Round(Round {
                radius: self.across_mm / 2.0,
            }),
            outer,
            inner: None,
            others: Vec::new(),
        })
    }
}
