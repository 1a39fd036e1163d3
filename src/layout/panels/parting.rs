//! The girth line along which a part of a stack is parted: on its mark-out sheet, and how to strike it.

use kurbo::{Line, Point, Rect};

use crate::job::{BodyInSpace, PartingLine, Stays};
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::{Paragraph, READ_PT, TITLE_PT, write_column};
use crate::layout::{Panel, Role};
use crate::measure::Units;

/// So far out of square a parting may be and still close under a ring, in degrees: 1 mm across a drum of 570 mm (ours;
/// no standard says how true a hand-cut drum must be).
const OFF_SQUARE_DEG: f64 = 0.1;
const COLUMN: f64 = 110.0;

/// How far the line is from the end that stays, where the body is parted.
fn line_of(body: &BodyInSpace) -> Option<(&PartingLine, f64)> {
    Some((body.parting.as_ref()?, body.length_mm()?))
}

/// How a parted body is shown.
pub(super) fn view(parting: &PartingLine) -> &'static str {
    match parting.stays {
        Stays::Bottom => {
            "The skin from outside before it is parted, its bottom, which stays, at the bottom. Zero line dashed."
        }
        Stays::Top => {
            "The skin from outside before it is parted, TURNED OVER: its top, which stays, at the bottom. Zero line dashed."
        }
    }
}

/// Draws the girth line on the skin and gives it back; `at` takes places on it to the sheet.
pub(super) fn draw(
    drawing: &mut Drawing,
    body: &BodyInSpace,
    at: impl Fn(f64, f64) -> Point,
    skin: Rect,
    units: Units,
) -> Option<Line> {
    let (parting, height) = line_of(body)?;
    let (left, right) = (at(skin.x0, height), at(skin.x1, height));
    drawing.line(
        Layer::Notes,
        Pen {
            width_mm: 0.7,
            ..Pen::PLAIN
        },
        left,
        right,
    );
    let above = at(skin.x1, skin.y1).y - right.y;
    // Where what goes is too narrow for words they stand on the part that stays, whose holes keep off its edge.
    let y = if above > 4.5 { left.y + 1.0 } else { left.y - 3.2 };
    let words = [
        (
            left.x + 1.0,
            Align::Left,
            format!("PARTING, {} from the {} end", units.show(height), parting.stays.word()),
        ),
        (
            right.x - 1.0,
            Align::Right,
            if above > 4.5 { "WASTE" } else { "" }.to_owned(),
        ),
    ];
    for (x, align, text) in words.into_iter().filter(|(_, _, text)| !text.is_empty()) {
        let text = Text::new((x, y), READ_PT, text).bold().align(align);
        drawing.fill(Layer::Notes, 1.0, text.bounds().inflate(0.3, 0.2));
        drawing.note(text);
    }
    Some(Line::new(left, right))
}

/// How to strike the line with a strip of banding, and how true its ends tell it to be.
pub(super) fn panel(body: &BodyInSpace, units: Units) -> Option<Panel> {
    let (parting, height) = line_of(body)?;
    let girth = body.surface.girth(0.0)?;
    let may_miss = girth * OFF_SQUARE_DEG.to_radians().tan();
    let end = parting.stays.word();
    let title = format!("PARTING {} ({})", body.name, parting.stack);
    let paragraphs = [
        Paragraph::strong(&title, TITLE_PT),
        Paragraph::strong(
            format!(
                "The line runs round {} from the {end} end, which stays. {} tall: cut off {}.",
                units.show(height),
                units.show(parting.whole_mm),
                units.show(parting.whole_mm - height)
            ),
            READ_PT,
        ),
        Paragraph::plain(format!(
            "Mark {} from the {end} rim at four places. Lay steel banding round with one edge on the marks, to lap by a hand's breadth (once round is {}). Pull it tight, flat on the skin everywhere, and scribe along its edge.",
            units.show(height),
            units.show(girth)
        )),
        Paragraph::plain(format!(
            "If the ends don't meet edge to edge where they lap, the line isn't square. They may miss by {}: {OFF_SQUARE_DEG}° out of square, {} across the drum.",
            units.show(may_miss),
            units.show(may_miss / std::f64::consts::PI)
        )),
        Paragraph::plain(
            "Mark the holes and the zero line before the drum is parted: they are measured from the end that stays.",
        ),
    ];
    let mut drawing = Drawing::default();
    let height = write_column(&mut drawing, Point::new(2.0, -4.0), COLUMN, &paragraphs);
    let frame = Rect::new(0.0, -height - 6.0, COLUMN + 4.0, 0.0);
    drawing.stroke(Layer::Notes, Pen::FINE, frame);
    Some(Panel::framed(title.as_str(), Role::Table, drawing, frame))
}
