//! A rectangle of drawing that is placed on a sheet as a whole.

use std::sync::Arc;

use kurbo::Rect;

use super::drawing::{Drawing, Move, Text};

/// What a panel is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A 1:1 pattern: may be turned to save paper, and is tiled where it doesn't fit; goes to the cutter's files.
    Pattern,
    /// Words, a table or a picture: never turned.
    Table,
}

/// Where a panel tells which sheets some patterns are on; known only when all are placed.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetNumbers {
    /// The patterns' names.
    pub of: Vec<String>,
    /// Where the numbers go; its words are replaced.
    pub text: Text,
}

/// A drawing and its size; its lower left corner is the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Names it in the report and on tiles.
    pub name: String,
    /// What it is for.
    pub role: Role,
    /// In millimetres, from (0, 0) to (`width`, `height`).
    pub drawing: Arc<Drawing>,
    /// In millimetres.
    pub width: f64,
    /// In millimetres.
    pub height: f64,
    /// Written over the drawing.
    pub sheet_numbers: Vec<SheetNumbers>,
}

impl Panel {
    /// The part of `drawing` within `frame`, which holds all of it.
    pub fn framed(name: impl Into<String>, role: Role, drawing: Drawing, frame: Rect) -> Self {
        Self {
            name: name.into(),
            role,
            drawing: Arc::new(drawing.moved(Move::by((-frame.x0, -frame.y0)))),
            width: frame.width(),
            height: frame.height(),
            sheet_numbers: Vec::new(),
        }
    }

    /// The same, telling sheet numbers at places in the coordinates of the framed drawing, whose frame was `frame`.
    pub(super) fn telling(self, frame: Rect, sheet_numbers: Vec<SheetNumbers>) -> Self {
        let to_corner = Move::by((-frame.x0, -frame.y0));
        let sheet_numbers = sheet_numbers
            .into_iter()
            .map(|numbers| numbers.moved(to_corner))
            .collect();
        Self { sheet_numbers, ..self }
    }
}

impl SheetNumbers {
    pub(super) fn moved(self, how: Move) -> Self {
        Self {
            text: how.apply_to_text(&self.text),
            ..self
        }
    }
}
