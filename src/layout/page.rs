//! A page: its drawing, and how much of the paper can be drawn on.

use std::sync::Arc;

use super::drawing::{Drawing, Layer, Move};
use crate::job::{MARGIN_MM, Paper};

/// What is drawn on a page; (0, 0) is the lower left corner within the margins, and 1 is a true millimetre: the output
/// corrects what the printer does. Sheets share the drawings that they are made of.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sheet {
    parts: Vec<(Arc<Drawing>, Move)>,
}

impl Sheet {
    /// Adds a drawing, turned and moved.
    pub fn add(&mut self, drawing: Arc<Drawing>, how: Move) {
        self.parts.push((drawing, how));
    }

    /// All of it as one.
    pub fn drawing(&self) -> Drawing {
        let mut whole = Drawing::default();
        for (drawing, how) in &self.parts {
            whole.add_moved(drawing, *how);
        }
        whole
    }

    /// Whether there is anything on a layer.
    pub fn uses(&self, layer: Layer) -> bool {
        self.parts.iter().any(|(drawing, _)| drawing.on(layer).next().is_some())
    }

    /// The parts, each with how it is turned and moved.
    pub fn placed(&self) -> impl Iterator<Item = (&Drawing, Move)> {
        self.parts.iter().map(|(drawing, how)| (drawing.as_ref(), *how))
    }

    /// The parts as they are by themselves.
    pub fn parts(&self) -> impl Iterator<Item = &Drawing> {
        self.parts.iter().map(|(drawing, _)| drawing.as_ref())
    }
}

impl From<Drawing> for Sheet {
    fn from(drawing: Drawing) -> Self {
        let mut sheet = Self::default();
        sheet.add(Arc::new(drawing), Move::by((0.0, 0.0)));
        sheet
    }
}

/// Width and height in true millimetres of what can be drawn on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub(super) width: f64,
    pub(super) height: f64,
}

pub(super) fn drawable(paper: &Paper) -> Area {
    Area {
        width: (paper.width_mm - 2.0 * MARGIN_MM) / paper.across,
        height: (paper.height_mm - 2.0 * MARGIN_MM) / paper.down,
    }
}
