//! Blocks of words, and the heading of a job's first sheet.

use kurbo::{Point, Rect};

use super::drawing::{Drawing, Layer, Pen, Text};
use super::page::drawable;
use super::panel::{Panel, Role};
use super::text;
use crate::job::SheetOptions;

/// The smallest letters on any sheet, in points.
pub(super) const SMALL_PT: f64 = 7.5;

/// Words in a column.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Paragraph {
    pub(super) words: String,
    pub(super) size_pt: f64,
    pub(super) bold: bool,
}

impl Paragraph {
    pub(super) fn plain(words: impl Into<String>) -> Self {
        Self {
            words: words.into(),
            size_pt: SMALL_PT,
            bold: false,
        }
    }

    pub(super) fn strong(words: impl Into<String>, size_pt: f64) -> Self {
        Self {
            words: words.into(),
            size_pt,
            bold: true,
        }
    }
}

/// How wide a column of words may be on a pattern of `width` millimetres: one that may be tiled has its
/// words on one tile.
pub(super) fn widest_column(width: f64) -> f64 {
    const MAY_BE_TILED: f64 = 165.0;
    if width > MAY_BE_TILED { 76.0 } else { width }
}

/// Writes paragraphs from `top_left` down in a column of `width` millimetres; the height they take.
pub(super) fn write_column(drawing: &mut Drawing, top_left: Point, width: f64, paragraphs: &[Paragraph]) -> f64 {
    let mut y = top_left.y;
    for Paragraph { words, size_pt, bold } in paragraphs {
        let leading = size_pt * text::MM_PER_POINT * 1.22;
        for line in text::lines(words, *size_pt, *bold, width) {
            y -= leading;
            let line = Text::new((top_left.x, y + 0.22 * leading), *size_pt, line);
            drawing.note(if *bold { line.bold() } else { line });
        }
        y -= 0.25 * leading;
    }
    top_left.y - y
}

/// What to do with the sheets, in the order in which it is done.
const STEPS: &str = "1 Print at 100 % (\"actual size\"), never fitted to the page. 2 Measure both rulers of this sheet; \
    if one is off, print again with --ruler-reads. 3 Cut the wrap's box out, then the paper along the bold line. \
    4 Tape it round the tube, printed side out, arrow towards the end to be cut; its edges must meet exactly at the \
    seam. 5 Mark along the bold edge and cut; the hatched side was the waste.";

/// Short, in our own words; the README has them at length.
const CAUTIONS: &str = "CAUTION. Never cut or weld a used drum or tank that is not known to be clean and vented: vapour \
    in one that looks clean explodes, and people have died of it. Grind zinc back from the joint, ventilate, stay out \
    of the plume. Fuel gas and its condensate hold carbon monoxide, which has no smell: work outdoors, with an alarm, \
    and test for leaks. Clamp the tube; guard eyes, ears and hands. Pressure, fuel gas and structures come under codes \
    and inspection: local rules and licensed people have the last word.";

/// The top of the first sheet: what is made, what must be known, the picture, the steps and the cautions.
pub(super) fn heading_panel(title: &str, warnings: &[String], picture: &Drawing, sheet: &SheetOptions) -> Panel {
    let width = drawable(&sheet.paper).width;
    let picture_box = picture.bounds();
    let column = width - picture_box.width() - 4.0;
    let mut paragraphs = vec![Paragraph::strong(title, 13.0)];
    paragraphs.extend(sheet.label.as_ref().map(|label| Paragraph::strong(label, 10.0)));
    paragraphs.extend(
        warnings
            .iter()
            .map(|warning| Paragraph::strong(format!("Note: {warning}."), 8.0)),
    );
    paragraphs.push(Paragraph::plain(STEPS));
    paragraphs.push(Paragraph::plain(CAUTIONS));

    let mut drawing = Drawing::default();
    let words = write_column(&mut drawing, Point::new(0.0, 0.0), column, &paragraphs);
    drawing.add(picture, (width - picture_box.x1, -1.0 - picture_box.y1));
    let height = words.max(picture_box.height() + 2.0) + 1.0;
    drawing.line(Layer::Notes, Pen::FINE, (0.0, -height), (width, -height));
    Panel::framed("heading", Role::Table, drawing, Rect::new(0.0, -height, width, 0.0))
}
