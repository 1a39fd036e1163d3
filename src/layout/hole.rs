//! The pattern of a hole, with the lines by which it is set on the body.

use kurbo::{Affine, Point, Rect, Shape};

use super::drawing::{Align, Drawing, Layer, Pen, Text};
use super::hatch::hatch;
use super::label::{Paragraph, SMALL_PT, write_column};
use super::panel::{Panel, Role};
use crate::solver::HoleOutline;

/// How far the lines reach past the hole, in millimetres.
const REACH: f64 = 12.0;
/// The paper round the hole is at least this wide, in millimetres, so that the words fit.
const NARROWEST: f64 = 70.0;

/// Draws a hole, front up. `girth_scale` is the printed girth over the body's own, as its paper lies
/// half a sheet above the skin.
pub(super) fn hole_panel(name: &str, title: &str, notes: &[String], outline: &HoleOutline, girth_scale: f64) -> Panel {
    let path = Affine::scale_non_uniform(girth_scale, 1.0) * outline.path.clone();
    let hole = path.bounding_box();
    let mut drawing = Drawing::default();
    drawing.stroke(Layer::Notes, Pen::HATCH, hatch(&path, 5.0));

    let reach = hole.union(Rect::ZERO).inflate(REACH, REACH);
    let side = ((NARROWEST - reach.width()) / 2.0).max(0.0);
    let paper = reach.inflate(side, 0.0);
    drawing.line(Layer::CrownLines, Pen::CROWN, (0.0, reach.y0), (0.0, reach.y1));
    drawing.line(Layer::CrownLines, Pen::CROWN, (reach.x0, 0.0), (reach.x1, 0.0));
    label_lines(&mut drawing, reach, paper);
    waste_label(&mut drawing, hole.center());

    let mut paragraphs = vec![Paragraph::strong(title, 10.0)];
    paragraphs.extend(notes.iter().map(Paragraph::plain));
    let height = write_column(&mut drawing, Point::new(paper.x0 + 2.0, paper.y0 - 4.0), paper.width() - 4.0, &paragraphs);
    let frame = Rect::new(paper.x0, paper.y0 - height - 6.0, paper.x1, paper.y1 + 5.0);
    drawing.stroke(Layer::Notes, Pen::PLAIN, frame);
    drawing.stroke(Layer::CutLine, Pen::CUT, &path);
    Panel::framed(name, Role::Pattern, &drawing, frame.inflate(0.5, 0.5))
}

fn label_lines(drawing: &mut Drawing, reach: Rect, paper: Rect) {
    let crown = Layer::CrownLines;
    drawing.words(crown, Text::new((0.0, reach.y1 + 1.2), 9.0, "FRONT").bold().align(Align::Middle));
    drawing.words(crown, Text::new((0.0, reach.y0 - 3.4), SMALL_PT, "BACK").bold().align(Align::Middle));
    drawing.words(crown, Text::new((1.2, reach.y1 - 3.0), SMALL_PT, "line along the header"));
    let girth = Text::new((paper.x1 - 1.5, 1.2), SMALL_PT, "girth line").align(Align::Right);
    drawing.words(crown, girth);
}

/// The inside falls out.
fn waste_label(drawing: &mut Drawing, middle: Point) {
    let text = Text::new((middle.x, middle.y + 2.0), 9.0, "WASTE").bold().align(Align::Middle);
    drawing.fill(Layer::CrownLines, 1.0, text.bounds().inflate(1.0, 0.6));
    drawing.words(Layer::CrownLines, text);
}
