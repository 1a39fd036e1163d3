//! A rectangle of drawing that is placed on a sheet as a whole.

use kurbo::Rect;

use super::drawing::Drawing;

/// What a panel is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// The top of the first sheet: placed first, never turned.
    Heading,
    /// A 1:1 pattern: may be turned to save paper, and is tiled where it doesn't fit; goes to the cutter's files.
    Pattern,
    /// A table or picture: never turned or tiled.
    Table,
}

/// A drawing and its size; its lower left corner is the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Names it in the report and on tiles.
    pub name: String,
    /// What it is for.
    pub role: Role,
    /// In millimetres, from (0, 0) to (`width`, `height`).
    pub drawing: Drawing,
    /// In millimetres.
    pub width: f64,
    /// In millimetres.
    pub height: f64,
}

impl Panel {
    /// The part of `drawing` within `frame`, which holds all of it.
    pub fn framed(name: impl Into<String>, role: Role, drawing: &Drawing, frame: Rect) -> Self {
        let mut moved = Drawing::default();
        moved.add(drawing, (-frame.x0, -frame.y0));
        Self {
            name: name.into(),
            role,
            drawing: moved,
            width: frame.width(),
            height: frame.height(),
        }
    }
}
