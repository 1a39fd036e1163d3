//! A rectangle of drawing that is placed on a sheet as a whole.

use std::sync::Arc;

use kurbo::{PathEl, Point, Rect};

use super::drawing::{Drawing, Item, Move, Text};
use crate::problem::{Place, Problem};

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

/// An end of a piece that has two.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OfEnd {
    /// The name of its pattern, which is that of both where they are on one.
    pub pattern: Arc<str>,
    /// 0 the start, 1 the end.
    pub side: usize,
}

/// A drawing and its size; its lower left corner is the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Names it in the report and on tiles.
    pub name: Arc<str>,
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
    /// The same in other shapes, one of which may take its place where that saves a sheet.
    pub shapes: Vec<Panel>,
    /// The panels of one group, a body's or a piece's, stand on sheets that follow each other, those of a lower one first.
    pub group: usize,
    /// The end that this is of, where a piece has two: its wrap, or its table by hand.
    pub of_end: Option<OfEnd>,
    /// y of its base line in millimetres, which is named wherever it is seen.
    pub base_line: Option<f64>,
}

impl Panel {
    /// The part of `drawing` within `frame`, which holds all of it.
    pub fn framed(name: impl Into<Arc<str>>, role: Role, drawing: Drawing, frame: Rect) -> Self {
        Self {
            name: name.into(),
            role,
            drawing: Arc::new(drawing.moved(Move::by((-frame.x0, -frame.y0)))),
            width: frame.width(),
            height: frame.height(),
            sheet_numbers: Vec::new(),
            shapes: Vec::new(),
            group: 0,
            of_end: None,
            base_line: None,
        }
    }

    /// The same, its shapes too, in another group.
    #[must_use]
    pub fn in_group(self, group: usize) -> Self {
        let shapes = self.shapes.into_iter().map(|shape| shape.in_group(group)).collect();
        Self { shapes, group, ..self }
    }

    /// The same, its shapes too, of an end, 0 the start, 1 the end, whose pattern has this name.
    #[must_use]
    pub fn of_end(self, pattern: &str, side: usize) -> Self {
        let of_end = OfEnd {
            pattern: pattern.into(),
            side,
        };
        self.with_end(&of_end)
    }

    fn with_end(self, of_end: &OfEnd) -> Self {
        let shapes = self.shapes.into_iter().map(|shape| shape.with_end(of_end)).collect();
        Self {
            shapes,
            of_end: Some(of_end.clone()),
            ..self
        }
    }

    /// Makes sure that it can be put on paper.
    ///
    /// # Errors
    /// A size or place that isn't finite, or is larger than any stack of paper.
    pub(super) fn require_numbers(&self) -> Result<(), Problem> {
        let of_item = |item: &Item| match item {
            Item::Stroke(path, _) | Item::Fill(path, _) => path.elements().iter().all(|element| is_on_paper(*element)),
            Item::Words(text) => is_told(text.at),
        };
        let size = Point::new(self.width, self.height);
        if is_told(size) && self.drawing.items.iter().all(|(_, item)| of_item(item)) {
            return Ok(());
        }
        Err(Problem::new("this can't be drawn: a place in it is not a number")
            .at(Place::found(format!("pattern \"{}\"", self.name), None))
            .help("change its angle, offset or place a little: something there all but grazes something else"))
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

/// Nothing is drawn farther off than this, in millimetres: 1000 km.
const FARTHEST: f64 = 1e9;

fn is_told(point: Point) -> bool {
    point.is_finite() && point.x.abs().max(point.y.abs()) < FARTHEST
}

fn is_on_paper(element: PathEl) -> bool {
    match element {
        PathEl::MoveTo(to) | PathEl::LineTo(to) => is_told(to),
        PathEl::QuadTo(by, to) => is_told(by) && is_told(to),
        PathEl::CurveTo(first, second, to) => is_told(first) && is_told(second) && is_told(to),
        PathEl::ClosePath => true,
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
