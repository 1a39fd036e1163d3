//! A page: its drawing, and how much of the paper can be drawn on.

use super::drawing::Drawing;
use crate::job::{MARGIN_MM, Paper};

/// A page's drawing; (0, 0) is the lower left corner within the margins, and 1 is a true millimetre.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// In true millimetres; the output corrects what the printer does.
    pub drawing: Drawing,
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
