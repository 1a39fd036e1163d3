//! The words of a wrap, and which way is up.

use kurbo::{BezPath, Point, Shape};

use crate::layout::base_line::BASE_LINE;
use crate::layout::drawing::{Align, Drawing, Layer, Text};
use crate::layout::label::{Paragraph, READ_PT, TITLE_PT, write_column};
use crate::plan::CROWN_LINES;

use super::lines::{Told, upside_down};
use super::{NAME_UNDER_NUMBERS, Wrap, tab_width};

/// A wrap narrower than this has its words beside it, in millimetres.
const NARROW: f64 = 75.0;
/// Width of words beside a wrap, in millimetres.
const BESIDE: f64 = 60.0;

impl Wrap {
    /// The arrow and the notes: under the wrap in a column of at most `widest` millimetres, or beside a narrow one. Gives the y of
    /// the wrap's foot.
    pub(super) fn write_notes(
        &self,
        drawing: &mut Drawing,
        (bottom, top): (f64, f64),
        (widest, told): (f64, Told),
    ) -> f64 {
        let mut paragraphs = vec![Paragraph::strong(self.title.clone(), TITLE_PT)];
        paragraphs.extend(self.clash.iter().map(|clash| Paragraph::strong(clash, READ_PT)));
        paragraphs.extend(self.notes.iter().map(Paragraph::plain));
        paragraphs.extend(self.untold(told).map(Paragraph::plain));
        if self.girth_mm < NARROW {
            let x = self.girth_mm + tab_width(self.tab_lines(top - bottom).len()) + 4.0;
            if let Some(up) = self.up {
                arrow(drawing, Point::new(x + 5.0, top - ARROW), up);
            }
            write_column(drawing, Point::new(x + 14.5, top), BESIDE, &paragraphs);
            return bottom;
        }
        let indent = if self.up.is_some() { 17.0 } else { 2.0 };
        let column = widest.min(self.girth_mm - indent - 2.0);
        if let Some(foot) = self.write_within(drawing, (indent, column), &paragraphs) {
            return foot.min(bottom);
        }
        let height = write_column(drawing, Point::new(indent, bottom - 0.5), column, &paragraphs);
        let Some(up) = self.up else {
            return bottom - height - 1.0;
        };
        arrow(drawing, Point::new(7.5, bottom - ARROW), up);
        bottom - height.max(ARROW) - 1.0
    }

    /// What isn't told beside the base line.
    fn untold(&self, told: Told) -> Option<String> {
        let line = (!told.is_line).then(|| format!("The thin line square round the tube is the {BASE_LINE}."));
        let is_untold = self.is_numbered_below() && !told.is_other_end;
        let other = self.other_end.filter(|_| is_untold);
        let other = other.map(|other| format!("At the {BASE_LINE}, {}.", upside_down(other)));
        let words: Vec<String> = line.into_iter().chain(other).collect();
        (!words.is_empty()).then(|| words.join(" "))
    }

    /// The arrow and the notes on the piece itself, where it is wide and long enough between its cuts that they stand on
    /// no line; gives the y of their foot.
    fn write_within(
        &self,
        drawing: &mut Drawing,
        (indent, column): (f64, f64),
        paragraphs: &[Paragraph],
    ) -> Option<f64> {
        let lower = self.lower.as_ref()?;
        let right = indent + column + 2.0;
        let crown = CROWN_LINES.into_iter().map(|(_, azimuth)| azimuth);
        let mut lines = crown
            .chain(self.folds_deg.iter().copied())
            .map(|azimuth| self.x(azimuth));
        let is_clear = lines.all(|x| x < 1e-9 || x > right);
        let mut words = Drawing::default();
        let top = NAME_UNDER_NUMBERS - 2.0;
        let foot = top - write_column(&mut words, Point::new(indent, top), column, paragraphs).max(ARROW);
        if !is_clear || foot - 2.0 < lower.high {
            return None;
        }
        drawing.add(&words, (0.0, 0.0));
        if let Some(up) = self.up {
            arrow(drawing, Point::new(7.5, top - ARROW), up);
        }
        Some(foot)
    }
}

/// Height of the arrow with its words, in millimetres.
const ARROW: f64 = 20.0;

/// A broad arrow, tip up, 16 mm high, its foot's middle at `foot`, with its words.
fn arrow(drawing: &mut Drawing, foot: Point, what: &str) {
    let outline = [
        (-1.6, 0.0),
        (-1.6, 7.0),
        (-4.0, 7.0),
        (0.0, 12.5),
        (4.0, 7.0),
        (1.6, 7.0),
        (1.6, 0.0),
    ];
    let mut path = BezPath::new();
    for (index, corner) in outline.into_iter().enumerate() {
        let point = foot + kurbo::Vec2::from(corner);
        if index == 0 {
            path.move_to(point)
        } else {
            path.line_to(point)
        }
    }
    path.close_path();
    drawing.fill(Layer::Notes, 0.15, path.into_path(0.1));
    for (words, above) in [(what, 16.6), ("UP", 13.2)] {
        let text = Text::new(foot + kurbo::Vec2::new(0.0, above), READ_PT, words)
            .bold()
            .align(Align::Middle);
        drawing.note(text);
    }
}
