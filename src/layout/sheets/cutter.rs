//! The patterns for a cutter that knows no pages.

use std::iter::once;
use std::sync::Arc;

use kurbo::Point;

use super::frame::GAP;
use super::ruler::{self, Way};
use crate::layout::drawing::{Drawing, Move};
use crate::layout::panel::{Panel, Role};

/// A ruler, then the patterns alone, one over the other: each a drawing in its place, made when it is asked for.
pub fn cutter_drawings(panels: impl IntoIterator<Item = Panel>) -> impl Iterator<Item = Drawing> {
    let mut drawn = Drawing::default();
    ruler::draw(
        &mut drawn,
        Point::new(0.0, ruler::BREADTH / 2.0),
        Way::Across,
        ruler::METRIC,
        ruler::INCH,
    );
    let mut y = ruler::BREADTH + GAP;
    let patterns = panels.into_iter().filter(|panel| panel.role == Role::Pattern);
    once(drawn).chain(patterns.map(move |panel| {
        let place = Move::by((0.0, y));
        y += panel.height + 2.0 * GAP;
        Arc::unwrap_or_clone(panel.drawing).moved(place)
    }))
}
