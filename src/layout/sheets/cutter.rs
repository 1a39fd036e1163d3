//! The patterns for a cutter that knows no pages.

use kurbo::Point;

use super::frame::GAP;
use super::ruler::{self, Way};
use crate::layout::drawing::Drawing;
use crate::layout::panel::{Panel, Role};

/// The patterns alone, one over the other, with a ruler.
pub fn cutter_drawing(panels: impl IntoIterator<Item = Panel>) -> Drawing {
    let mut drawing = Drawing::default();
    ruler::draw(
        &mut drawing,
        Point::new(0.0, ruler::BREADTH / 2.0),
        Way::Across,
        ruler::METRIC,
        ruler::INCH,
    );
    let mut y = ruler::BREADTH + GAP;
    for panel in panels.into_iter().filter(|panel| panel.role == Role::Pattern) {
        drawing.add(&panel.drawing, (0.0, y));
        y += panel.height + 2.0 * GAP;
    }
    drawing
}
