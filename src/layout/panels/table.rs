//! Tables: the ordinates for marking by hand, and facts by name.

use kurbo::Rect;

use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::{READ_PT, TITLE_PT};
use crate::layout::panel::{Panel, Role, SheetNumbers};
use crate::layout::text;
use crate::wording::{HoleOrdinates, Ordinates};

/// How far apart the lines of a table are, in millimetres.
#[derive(Clone, Copy)]
struct Spacing {
    /// From row to row.
    row: f64,
    /// Between the lines of a cell.
    leading: f64,
    /// Between columns.
    gutter: f64,
    /// Over the words under the table, besides what a line takes.
    over_words: f64,
    /// Under them.
    margin: f64,
}

/// Of tables that are read at the tube.
const WIDE: Spacing = Spacing {
    row: 3.8,
    leading: 3.7,
    gutter: GUTTER,
    over_words: 1.2,
    margin: 2.0,
};

/// Of all others, and of those that are made low.
const CLOSE: Spacing = Spacing {
    row: 3.7,
    leading: 3.5,
    gutter: GUTTER,
    over_words: 0.8,
    margin: 1.4,
};

/// Of a table by hand that would else take a sheet more.
const TIGHT: Spacing = Spacing {
    row: 3.5,
    leading: 3.4,
    gutter: 1.5,
    over_words: 0.6,
    margin: 1.2,
};

/// Between the lines under a table, in millimetres.
const UNDER: f64 = 3.5;
/// Of the column for sheet numbers, in millimetres.
const SHEETS: f64 = 16.0;
/// A table is no wider than this, in millimetres: it fits every paper.
const WIDEST: f64 = 164.0;
/// Nor are columns made narrower, in millimetres.
const NARROWEST: f64 = 8.0;
const ROWS_A_PANEL: usize = 36;
/// Between columns, at most, in millimetres.
const GUTTER: f64 = 2.2;
/// Blocks of rows beside each other.
const MOST_BLOCKS: usize = 3;
/// Between them, in millimetres.
const BETWEEN: f64 = 6.0;
/// A table in blocks is no wider than this, in millimetres: beside a ruler it fits on every paper.
const WIDEST_SHAPE: f64 = 180.0;

/// The ordinates of an end, in panels of at most [`ROWS_A_PANEL`] rows.
pub(super) fn ordinates_panels(of: &Ordinates) -> Vec<Panel> {
    let parts = of.rows.chunks(ROWS_A_PANEL);
    parts
        .map(|rows| panel_by_hand(&of.title, &of.heads, rows, &of.under))
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
    panel_by_hand(&of.title, &of.heads, &of.rows, under.trim_end())
}

/// A table for marking by hand, in several shapes.
fn panel_by_hand<const N: usize>(title: &str, heads: &[String; N], rows: &[[String; N]], under: &str) -> Panel {
    Table::new(title, Some(heads), rows, under).panel_in_shapes(WIDE)
}

/// Facts by name, in several shapes.
pub(super) fn facts_panel_in_shapes(title: &str, rows: &[[String; 2]], under: &str) -> Panel {
    Table::new(title, None, rows, under).panel_in_shapes(CLOSE)
}

/// Facts by name, a row each.
pub(super) fn facts_panel(title: &str, rows: &[[String; 2]], under: &str) -> Panel {
    Table::new(title, None, rows, under).panel()
}

/// A table with heads.
pub(super) fn rows_panel<const N: usize>(title: &str, heads: &[String; N], rows: &[[String; N]], under: &str) -> Panel {
    Table::new(title, Some(heads), rows, under).panel()
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

impl<'a, const N: usize> Table<'a, N> {
    /// Without a column for sheets.
    fn new(title: &'a str, heads: Option<&'a [String; N]>, rows: &'a [[String; N]], under: &'a str) -> Self {
        Self {
            title,
            heads,
            rows,
            under,
            told_of: None,
        }
    }

    pub(super) fn panel(&self) -> Panel {
        self.in_blocks(1, &self.widths(), CLOSE)
    }

    /// With its rows as they are `given`, and closer, in one block or in two or three beside each other: it goes where there is room.
    fn panel_in_shapes(&self, given: Spacing) -> Panel {
        let widths = self.widths();
        let close = (1..=MOST_BLOCKS).map(|blocks| (blocks, CLOSE));
        let tight = (1..MOST_BLOCKS).map(|blocks| (blocks, TIGHT));
        let lower = close.chain(tight);
        let lower = lower.map(|(blocks, spacing)| self.in_blocks(blocks, &widths, spacing));
        Panel {
            shapes: lower.filter(|panel| panel.width <= WIDEST_SHAPE).collect(),
            ..self.in_blocks(1, &widths, given)
        }
    }

    /// Its rows in so many blocks, the first ones in the left one, with columns of these widths.
    fn in_blocks(&self, blocks: usize, widths: &[f64; N], spacing: Spacing) -> Panel {
        let cells = widths.iter().sum::<f64>() + spacing.gutter * (N - 1) as f64;
        let step = cells + BETWEEN;
        let inner = step * (blocks - 1) as f64 + cells + self.told_of.map_or(0.0, |_| GUTTER + SHEETS);
        let width = inner.max(text::width_mm(self.title, TITLE_PT, true)).max(44.0) + 2.0;
        let (mut drawing, mut sheet_numbers) = (Drawing::default(), Vec::new());
        let top = -4.0;
        drawing.note(Text::new((1.0, top), TITLE_PT, self.title).bold());
        let last = |y: f64, words: &str| Text::new((1.0 + inner, y), READ_PT, words).align(Align::Right);
        let rows_a_block = self.rows.len().div_ceil(blocks).max(1);
        let (mut foot, mut under_heads) = (top, None);
        for block in 0..blocks {
            let (left, mut y) = (1.0 + step * block as f64, top);
            if let Some(heads) = self.heads {
                if self.told_of.is_some() {
                    drawing.note(last(y - spacing.row, "sheet"));
                }
                y = write_row(&mut drawing, heads, widths, (left, y), spacing);
                under_heads = Some(y - 0.8);
            }
            let rows = self
                .rows
                .iter()
                .enumerate()
                .skip(block * rows_a_block)
                .take(rows_a_block);
            for (index, row) in rows {
                let of = self.told_of.and_then(|told_of| told_of.get(index)).cloned();
                sheet_numbers.extend(of.map(|of| SheetNumbers {
                    of,
                    text: last(y - spacing.row, ""),
                }));
                y = write_row(&mut drawing, row, widths, (left, y), spacing);
            }
            foot = foot.min(y);
        }
        if let Some(y) = under_heads {
            drawing.line(Layer::Notes, Pen::FINE, (0.0, y), (width, y));
        }
        for block in 1..blocks {
            let x = 1.0 + step * block as f64 - BETWEEN / 2.0;
            drawing.line(Layer::Notes, Pen::FINE, (x, top - 1.0), (x, foot - 1.0));
        }
        let mut y = foot - spacing.over_words;
        for line in text::lines(self.under, READ_PT, false, width - 2.0) {
            y -= UNDER;
            drawing.note(Text::new((1.0, y), READ_PT, line));
        }
        let frame = Rect::new(0.0, y - spacing.margin, width, 0.0);
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

/// Writes a row under `y` from `left` on, long cells in several lines; the y of its foot.
fn write_row<const N: usize>(
    drawing: &mut Drawing,
    row: &[String; N],
    widths: &[f64; N],
    (left, y): (f64, f64),
    spacing: Spacing,
) -> f64 {
    let (mut x, mut foot) = (left, y - spacing.row);
    for (index, (words, width)) in row.iter().zip(widths).enumerate() {
        for (line, words) in text::lines_of_phrases(words, READ_PT, false, *width)
            .into_iter()
            .enumerate()
        {
            let y = y - spacing.row - spacing.leading * line as f64;
            foot = foot.min(y);
            let text = if index == 0 {
                Text::new((x, y), READ_PT, words)
            } else {
                Text::new((x + width, y), READ_PT, words).align(Align::Right)
            };
            drawing.note(text);
        }
        x += width + spacing.gutter;
    }
    foot
}
