//! What a drawing is made of: lines, fills and words on named layers. Millimetres, y up.

use kurbo::{Affine, BezPath, Point, Rect, Shape};

use super::text;

/// The layers of every file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Layer {
    /// The lines along the tube by which a wrap is set.
    CrownLines,
    /// Words and everything that is neither of the others.
    Notes,
    /// What to measure before cutting.
    Rulers,
    /// The lines to be cut, and nothing else.
    CutLine,
}

impl Layer {
    /// All of them, from the lowest to the topmost.
    pub const ALL: [Self; 4] = [Self::CrownLines, Self::Notes, Self::Rulers, Self::CutLine];

    /// Its name in every file.
    pub fn name(self) -> &'static str {
        match self {
            Self::Notes => "notes",
            Self::CrownLines => "crown lines",
            Self::Rulers => "rulers",
            Self::CutLine => "cut line",
        }
    }
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// In millimetres.
    pub width_mm: f64,
    /// Dash and gap in millimetres, where it is dashed.
    pub dash_mm: Option<(f64, f64)>,
    /// 0 is black, 1 is white.
    pub grey: f64,
}

impl Pen {
    /// The cut: bold, so that it reads at arm's length.
    pub const CUT: Self = Self::solid(0.7);
    /// Outlines and rulers.
    pub const PLAIN: Self = Self::solid(0.25);
    /// Small marks.
    pub const FINE: Self = Self::solid(0.15);
    /// Crown lines.
    pub const CROWN: Self = Self {
        width_mm: 0.3,
        dash_mm: Some((6.0, 1.5)),
        grey: 0.0,
    };
    /// Folds, trims and joins.
    pub const DASHED: Self = Self {
        width_mm: 0.2,
        dash_mm: Some((1.5, 1.2)),
        grey: 0.0,
    };
    /// Waste.
    pub const HATCH: Self = Self {
        width_mm: 0.18,
        dash_mm: None,
        grey: 0.55,
    };

    const fn solid(width_mm: f64) -> Self {
        Self {
            width_mm,
            dash_mm: None,
            grey: 0.0,
        }
    }
}

/// Which part of the words stands at their place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Their start.
    Left,
    /// Their middle.
    Middle,
    /// Their end.
    Right,
}

/// A line of words.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// On the base line of the letters.
    pub at: Point,
    /// Size in points, 8 or more.
    pub size_pt: f64,
    /// Heavier letters.
    pub bold: bool,
    /// Which part stands at `at`.
    pub align: Align,
    /// Quarter turns to the left.
    pub quarter_turns: u8,
    /// The words.
    pub words: String,
}

impl Text {
    /// Level words that start at `at`.
    pub fn new(at: impl Into<Point>, size_pt: f64, words: impl Into<String>) -> Self {
        Self {
            at: at.into(),
            size_pt,
            bold: false,
            align: Align::Left,
            quarter_turns: 0,
            words: words.into(),
        }
    }

    /// The same, heavier.
    #[must_use]
    pub fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    /// The same with another part at its place.
    #[must_use]
    pub fn align(self, align: Align) -> Self {
        Self { align, ..self }
    }

    /// The same, reading upwards.
    #[must_use]
    pub fn upwards(self) -> Self {
        Self {
            quarter_turns: 1,
            ..self
        }
    }

    /// The same, reading downwards: on a sheet that is turned to the left they come to stand level.
    #[must_use]
    pub fn downwards(self) -> Self {
        Self {
            quarter_turns: 3,
            ..self
        }
    }

    /// Width of the words in millimetres.
    pub fn width(&self) -> f64 {
        text::width_mm(&self.words, self.size_pt, self.bold)
    }

    /// Where the words start, and the matrix that takes level letters at the origin there.
    pub fn placement(&self) -> Affine {
        let back = match self.align {
            Align::Left => 0.0,
            Align::Middle => self.width() / 2.0,
            Align::Right => self.width(),
        };
        let quarter = std::f64::consts::FRAC_PI_2 * f64::from(self.quarter_turns);
        Affine::translate(self.at.to_vec2()) * Affine::rotate(quarter) * Affine::translate((-back, 0.0))
    }

    /// The box round the words.
    pub fn bounds(&self) -> Rect {
        let size = self.size_pt * text::MM_PER_POINT;
        self.placement()
            .transform_rect_bbox(Rect::new(0.0, -0.22 * size, self.width(), 0.76 * size))
    }
}

/// A thing drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A line.
    Stroke(BezPath, Pen),
    /// A filled shape and its grey; 1 is white.
    Fill(BezPath, f64),
    /// Words.
    Words(Text),
}

impl Item {
    /// The box round it, with the line's width.
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Stroke(path, pen) => path.bounding_box().inflate(pen.width_mm / 2.0, pen.width_mm / 2.0),
            Self::Fill(path, _) => path.bounding_box(),
            Self::Words(text) => text.bounds(),
        }
    }
}

/// Things on layers, in the order in which they are drawn.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Drawing {
    /// Each with its layer.
    pub items: Vec<(Layer, Item)>,
}

impl Drawing {
    /// Draws a line.
    pub fn stroke(&mut self, layer: Layer, pen: Pen, path: impl Shape) {
        self.items.push((layer, Item::Stroke(path.into_path(1e-3), pen)));
    }

    /// Draws a straight line.
    pub fn line(&mut self, layer: Layer, pen: Pen, from: impl Into<Point>, to: impl Into<Point>) {
        // Most of a drawing is such lines: no more room for each than it takes.
        let mut path = BezPath::with_capacity(2);
        path.move_to(from);
        path.line_to(to);
        self.stroke(layer, pen, path);
    }

    /// Fills a shape; 0 is black, 1 is white.
    pub fn fill(&mut self, layer: Layer, grey: f64, path: impl Shape) {
        self.items.push((layer, Item::Fill(path.into_path(1e-3), grey)));
    }

    /// Writes words.
    pub fn words(&mut self, layer: Layer, text: Text) {
        self.items.push((layer, Item::Words(text)));
    }

    /// Writes notes.
    pub fn note(&mut self, text: Text) {
        self.words(Layer::Notes, text);
    }

    /// Adds another drawing, moved by `by`.
    pub fn add(&mut self, other: &Self, by: impl Into<kurbo::Vec2>) {
        self.add_moved(other, Move::by(by));
    }

    /// Adds another drawing, turned and moved.
    pub fn add_moved(&mut self, other: &Self, how: Move) {
        self.items.extend(other.items.iter().map(|(layer, item)| {
            let mut item = item.clone();
            how.apply(&mut item);
            (*layer, item)
        }));
    }

    /// The same, turned and moved.
    #[must_use]
    pub fn moved(mut self, how: Move) -> Self {
        self.items.iter_mut().for_each(|(_, item)| how.apply(item));
        self.items.shrink_to_fit();
        self
    }

    /// The box round everything; empty at the origin where there is nothing.
    pub fn bounds(&self) -> Rect {
        self.items
            .iter()
            .map(|(_, item)| item.bounds())
            .reduce(|a, b| a.union(b))
            .unwrap_or(Rect::ZERO)
    }

    /// The items of one layer.
    pub fn on(&self, layer: Layer) -> impl Iterator<Item = &Item> {
        self.items
            .iter()
            .filter(move |(on, _)| *on == layer)
            .map(|(_, item)| item)
    }
}

/// A turn by quarters to the left about the origin, then a move. Nothing is ever scaled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    /// To the left.
    pub quarter_turns: u8,
    /// In millimetres.
    pub by: kurbo::Vec2,
}

impl Move {
    /// Without a turn.
    pub fn by(by: impl Into<kurbo::Vec2>) -> Self {
        Self {
            quarter_turns: 0,
            by: by.into(),
        }
    }

    /// The words turned and moved.
    pub fn apply_to_text(self, text: &Text) -> Text {
        Text {
            at: self.affine() * text.at,
            quarter_turns: (text.quarter_turns + self.quarter_turns) % 4,
            ..text.clone()
        }
    }

    /// The same as a matrix.
    pub fn affine(self) -> Affine {
        let (cos, sin) = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)][usize::from(self.quarter_turns % 4)];
        Affine::new([cos, sin, -sin, cos, self.by.x, self.by.y])
    }

    fn apply(self, item: &mut Item) {
        match item {
            Item::Stroke(path, _) | Item::Fill(path, _) => path.apply_affine(self.affine()),
            Item::Words(text) => *text = self.apply_to_text(text),
        }
    }
}
