//! What is drawn on a page, as a content stream of a PDF (ISO 32000-1, 8 and 9).

use kurbo::{BezPath, PathEl, Point};
use pdf_writer::types::{LineCapStyle, LineJoinStyle};
use pdf_writer::{Content, Name, Str};
use printpdf::{LayerInternalId, Op};

use crate::job::{MARGIN_MM, Paper};
use crate::layout::{Item, Layer, Move, Pen, Sheet, Text};
use crate::letters::Face;

pub(super) const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Places are written to a ten-thousandth of a point, 0.00004 mm: more digits show nothing.
const ROUNDED: f64 = 10_000.0;

/// The layers that something drawn uses.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Uses {
    /// In the order of [`Layer::ALL`].
    layers: [bool; 4],
}

impl Uses {
    pub(super) fn of(sheet: &Sheet) -> Self {
        let mut uses = Self::default();
        for (layer, _) in sheet.parts().flat_map(|part| &part.items) {
            uses.layers[*layer as usize] = true;
        }
        uses
    }

    /// What either uses.
    pub(super) fn and(mut self, other: Self) -> Self {
        self.layers.iter_mut().zip(other.layers).for_each(|(a, b)| *a |= b);
        self
    }

    /// Operations that use the same and draw nothing: of these a page's resources are made.
    pub(super) fn ops(self) -> Vec<Op> {
        let mut ops = Vec::new();
        for layer in Layer::ALL {
            if self.layers[layer as usize] {
                let layer_id = layer_id(layer);
                ops.extend([Op::BeginLayer { layer_id }, Op::EndLayer]);
            }
        }
        ops
    }
}

pub(super) fn layer_id(layer: Layer) -> LayerInternalId {
    LayerInternalId(layer.name().replace(' ', "-"))
}

/// From a drawing, turned and moved, in true millimetres within the margins, to points on the page with the printer's
/// correction.
#[derive(Clone, Copy)]
struct ToPage<'a> {
    how: Move,
    paper: &'a Paper,
}

impl ToPage<'_> {
    fn point(self, point: Point) -> [f32; 2] {
        let x = (MARGIN_MM + point.x * self.paper.across) * POINTS_PER_MM;
        let y = (MARGIN_MM + point.y * self.paper.down) * POINTS_PER_MM;
        [x, y].map(|points| ((points * ROUNDED).round() / ROUNDED) as f32)
    }
}

/// Everything on a sheet, a layer after the other, with its pen, shade and letters.
pub(super) fn page_content(sheet: &Sheet, paper: &Paper) -> Vec<u8> {
    let mut page = Page {
        content: Content::new(),
        ready: Ready::default(),
    };
    for layer in Layer::ALL {
        if !sheet.uses(layer) {
            continue;
        }
        let content = page.content.begin_marked_content_with_properties(Name(b"OC"));
        content.properties_named(Name(layer_id(layer).0.as_bytes()));
        page.content
            .save_state()
            .set_line_cap(LineCapStyle::ButtCap)
            .set_line_join(LineJoinStyle::RoundJoin);
        for (drawing, how) in sheet.placed() {
            let to_page = ToPage { how, paper };
            drawing.on(layer).for_each(|item| page.draw(item, to_page));
        }
        page.lines_next();
        page.content.restore_state().end_marked_content();
        page.ready = Ready::default();
    }
    page.content.finish().to_vec()
}

/// What was set for drawing, and need not be set again.
#[derive(Default)]
struct Ready {
    pen: Option<Pen>,
    /// Of fills and words.
    shade: Option<f64>,
    /// Whether words are being written: lines and fills must not stand between them.
    is_writing: bool,
    /// Bold or not, and the size in points.
    letters: Option<(bool, f64)>,
}

/// A stream while it is written.
struct Page {
    content: Content,
    ready: Ready,
}

impl Page {
    fn draw(&mut self, item: &Item, to_page: ToPage<'_>) {
        match item {
            Item::Stroke(path, _) | Item::Fill(path, _) if path.elements().is_empty() => {}
            Item::Stroke(path, with) => {
                self.lines_next();
                self.take(*with);
                self.path(path, to_page);
                self.content.stroke();
            }
            Item::Fill(path, shade) => {
                self.lines_next();
                self.shade(*shade);
                self.path(path, to_page);
                self.content.fill_nonzero();
            }
            Item::Words(text) => {
                self.words_next(text.bold, text.size_pt);
                self.shade(0.0);
                self.write(text, to_page);
            }
        }
    }

    fn lines_next(&mut self) {
        if std::mem::take(&mut self.ready.is_writing) {
            self.content.end_text();
        }
    }

    fn words_next(&mut self, bold: bool, size_pt: f64) {
        if !std::mem::replace(&mut self.ready.is_writing, true) {
            self.content.begin_text();
        }
        if self.ready.letters.replace((bold, size_pt)) != Some((bold, size_pt)) {
            let face = Name(Face::of(bold).name().as_bytes());
            self.content.set_font(face, size_pt as f32);
        }
    }

    fn take(&mut self, pen: Pen) {
        if self.ready.pen.replace(pen) == Some(pen) {
            return;
        }
        let points = |mm: f64| (mm * POINTS_PER_MM) as f32;
        let dash = pen.dash_mm.map(|(dash, gap)| [dash, gap].map(points));
        self.content
            .set_stroke_gray(pen.grey as f32)
            .set_line_width(points(pen.width_mm))
            .set_dash_pattern(dash.into_iter().flatten(), 0.0);
    }

    fn shade(&mut self, shade: f64) {
        if self.ready.shade.replace(shade) != Some(shade) {
            self.content.set_fill_gray(shade as f32);
        }
    }

    /// Which letters the PDF has is known only when all sheets are drawn: a letter is its code point in two bytes.
    fn write(&mut self, text: &Text, to_page: ToPage<'_>) {
        let text = to_page.how.apply_to_text(text);
        let [cos, sin, ..] = text.placement().as_coeffs();
        let [x, y] = to_page.point(text.placement() * Point::ZERO);
        let words: Vec<u8> = text.words.encode_utf16().flat_map(u16::to_be_bytes).collect();
        self.content
            .set_text_matrix([cos as f32, sin as f32, -sin as f32, cos as f32, x, y])
            .show(Str(&words));
    }

    fn path(&mut self, path: &BezPath, to_page: ToPage<'_>) {
        let (mut here, affine) = (Point::ZERO, to_page.how.affine());
        for element in path.elements().iter().map(|element| affine * *element) {
            let cubic = |first: Point, second: Point, end: Point| {
                let [[ax, ay], [bx, by], [x, y]] = [first, second, end].map(|point| to_page.point(point));
                [ax, ay, bx, by, x, y]
            };
            match element {
                PathEl::MoveTo(end) => {
                    let [x, y] = to_page.point(end);
                    self.content.move_to(x, y);
                }
                PathEl::LineTo(end) => {
                    let [x, y] = to_page.point(end);
                    self.content.line_to(x, y);
                }
                PathEl::CurveTo(first, second, end) => self.cubic(cubic(first, second, end)),
                PathEl::QuadTo(control, end) => {
                    self.cubic(cubic(here.lerp(control, 2.0 / 3.0), end.lerp(control, 2.0 / 3.0), end));
                }
                PathEl::ClosePath => {
                    self.content.close_path();
                }
            }
            here = element.end_point().unwrap_or(here);
        }
    }

    fn cubic(&mut self, [ax, ay, bx, by, x, y]: [f32; 6]) {
        self.content.cubic_to(ax, ay, bx, by, x, y);
    }
}
