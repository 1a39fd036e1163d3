//! Tables: the ordinates for marking by hand, and facts by name.

use kurbo::Rect;

use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::{READ_PT, TITLE_PT};
use crate::layout::panel::{Panel, Role, SheetNumbers};
use crate::layout::text;
use crate::wording::{HoleOrdinates, Ordinates};

const ROW: f64 = 3.8;
/// Between the lines of a cell, in millimetres.
const LEADING: f64 = 3.7;
/// Between the lines under a table, in millimetres.
const UNDER: f64 = 3.5;
/// Of the column for sheet numbers, in millimetres.
const SHEETS: f64 = 16.0;
/// A table is no wider than this, in millimetres: it fits every paper.
const WIDEST: f64 = 164.0;
/// Nor are columns made narrower, in millimetres.
const NARROWEST: f64 = 8.0;
const ROWS_A_PANEL: usize = 36;
/// Between columns, in millimetres.
const GUTTER: f64 = 2.2;

/// The ordinates of an end, in panels of at most [`ROWS_A_PANEL`] rows.
pub(super) fn ordinates_panels(of: &Ordinates) -> Vec<Panel> {
    let parts = of.rows.chunks(ROWS_A_PANEL);
    parts
        .map(|rows| rows_panel(&of.title, &of.heads, rows, of.under))
        .collect()
}

/// The ordinates of a hole, which take the place of its pattern. Of no more than `MOST_PLACES` holes it says where their lines
/// are; of more the mark-out sheet does.
pub(super) fn hole_ordinates_panel(of: &HoleOrdinates) -> Panel {
    const MOST_PLACES: usize = 3;
    let places = match of.places.len() {
        few if few <= MOST_PLACES => of.places.join(" "),
        all => format!("Lines A and B of all {all}: see the mark-out sheet; {}.", of.up),
    };
    let under = format!("{} {places}", of.under);
    rows_panel(&of.title, &of.heads, &of.rows, under.trim_end())
}

/// Facts by name, a row each.
pub(super) fn facts_panel(title: &str, rows: &[[String; 2]], under: &str) -> Panel {
    Table {
        title,
        heads: None,
        rows,
        under,
        told_of: None,
    }
    .panel()
}

/// A table with heads.
pub(super) fn rows_panel<const N: usize>(title: &str, heads: &[String; N], rows: &[[String; N]], under: &str) -> Panel {
    Table {
        title,
        heads: Some(heads),
        rows,
        under,
        told_of: None,
    }
    .panel()
}

/// A table of `N` columns, the first flush left and the rest flush right, with words under it.
pub(super) struct Table<'a, const N: usize> {
    pub(super) title: &'a str,
    pub(super) heads: Option<&'a [String; N]>,
    pub(super) rows: &'a [[String; N]],
    pub(super) under: &'a str,
    /// For a last column that tells on which sheets the panels of these names are, of each row.
    pub(super) told_of: Option<&'a [Vec<String>]>,
}

impl<const N: usize> Table<'_, N> {
    pub(super) fn panel(&self) -> Panel {
        let widths = self.widths();
        let cells = widths.iter().sum::<f64>() + GUTTER * (N - 1) as f64;
        let inner = cells + self.told_of.map_or(0.0, |_| GUTTER + SHEETS);
        let width = inner.max(text::width_mm(self.title, TITLE_PT, true)).max(44.0) + 2.0;
        let (mut drawing, mut sheet_numbers) = (Drawing::default(), Vec::new());
        let mut y = -4.0;
        drawing.note(Text::new((1.0, y), TITLE_PT, self.title).bold());
        let last = |y: f64, words: &str| Text::new((1.0 + inner, y), READ_PT, words).align(Align::Right);
        if let Some(heads) = self.heads {
            if self.told_of.is_some() {
                drawing.note(last(y - ROW, "sheet"));
            }
            y = write_row(&mut drawing, heads, &widths, y);
            drawing.line(Layer::Notes, Pen::FINE, (0.0, y - 0.8), (width, y - 0.8));
        }
        for (index, row) in self.rows.iter().enumerate() {
            let of = self.told_of.and_then(|told_of| told_of.get(index)).cloned();
            sheet_numbers.extend(of.map(|of| SheetNumbers {
                of,
                text: last(y - ROW, ""),
            }));
            y = write_row(&mut drawing, row, &widths, y);
        }
        y -= 1.2;
        for line in text::lines(self.under, READ_PT, false, width - 2.0) {
            y -= UNDER;
            drawing.note(Text::new((1.0, y), READ_PT, line));
        }
        let frame = Rect::new(0.0, y - 2.0, width, 0.0);
        drawing.stroke(Layer::Notes, Pen::FINE, frame);
        Panel::framed(self.title, Role::Table, drawing, frame).telling(frame, sheet_numbers)
    }

    /// As wide as the words need; where all of them together are wider than a sheet, the widest ones less.
    fn widths(&self) -> [f64; N] {
        let mut widths = [0.0_f64; N];
        for row in self.heads.into_iter().chain(self.rows) {
            for (width, words) in widths.iter_mut().zip(row) {
                *width = width.max(text::width_mm(words, READ_PT, false));
            }
        }
        let room = WIDEST - GUTTER * N as f64 - self.told_of.map_or(0.0, |_| GUTTER + SHEETS);
        let mut cap = widths.iter().copied().fold(0.0, f64::max);
        while widths.iter().map(|width| width.min(cap)).sum::<f64>() > room && cap > NARROWEST {
            cap -= 1.0;
        }
        // A hair more, so that what fits exactly is not broken by rounding.
        widths.map(|width| width.min(cap) + 1e-6)
    }
}

/// Writes a row under `y`, long cells in several lines; the y of its foot.
fn write_row<const N: usize>(drawing: &mut Drawing, row: &[String; N], widths: &[f64; N], y: f64) -> f64 {
    let (mut x, mut foot) = (1.0, y - ROW);
    for (index, (words, width)) in row.iter().zip(widths).enumerate() {
        for (line, words) in text::lines_of_phrases(words, READ_PT, false, *width)
            .into_iter()
            .enumerate()
        {
            let y = y - ROW - LEADING * line as f64;
            foot = foot.min(y);
            let text = if index == 0 {
                Text::new((x, y), READ_PT, words)
            } else {
                Text::new((x + width, y), READ_PT, words).align(Align::Right)
            };
            drawing.note(text);
        }
        x += width + GUTTER;
    }
    foot
}
