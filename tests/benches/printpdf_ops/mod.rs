//! What is drawn on sheets, as a document of printpdf's operations.

use kurbo::{BezPath, PathEl, Point};
use printpdf::{
    Color, DictItem, FontId, Greyscale, Layer as PdfLayer, LayerIntent, LayerInternalId, LayerSubtype, Line,
    LineCapStyle, LineDashPattern, LineJoinStyle, LinePoint, Mm, Op, PaintMode, PdfDocument, PdfFontHandle, PdfPage,
    Polygon, PolygonRing, Pt, TextMatrix, WindingOrder,
};

use girthline::job::{MARGIN_MM, Paper};
use girthline::layout::{Item, Layer, Move, Pen, Sheet, Text};
use girthline::letters::Face;

const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Places are written to a ten-thousandth of a point, 0.00004 mm: more digits show nothing.
const ROUNDED: f64 = 10_000.0;

fn layer_id(layer: Layer) -> LayerInternalId {
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
    fn point(self, point: Point) -> printpdf::Point {
        let x = (MARGIN_MM + point.x * self.paper.across) * POINTS_PER_MM;
        let y = (MARGIN_MM + point.y * self.paper.down) * POINTS_PER_MM;
        let digits = |points: f64| Pt(((points * ROUNDED).round() / ROUNDED) as f32);
        printpdf::Point {
            x: digits(x),
            y: digits(y),
        }
    }
}

/// Everything on a sheet, a layer after the other.
fn page_ops(sheet: &Sheet, paper: &Paper) -> Vec<Op> {
    let mut ops = Vec::new();
    for layer in Layer::ALL {
        if !sheet.uses(layer) {
            continue;
        }
        ops.extend([
            Op::BeginLayer {
                layer_id: layer_id(layer),
            },
            Op::SaveGraphicsState,
        ]);
        ops.extend([
            Op::SetLineCapStyle {
                cap: LineCapStyle::Butt,
            },
            Op::SetLineJoinStyle {
                join: LineJoinStyle::Round,
            },
        ]);
        let mut ready = Ready::default();
        for (drawing, how) in sheet.placed() {
            let to_page = ToPage { how, paper };
            drawing
                .on(layer)
                .for_each(|item| draw(item, to_page, &mut ready, &mut ops));
        }
        ready.lines_next(&mut ops);
        ops.extend([Op::RestoreGraphicsState, Op::EndLayer]);
    }
    ops
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

impl Ready {
    fn lines_next(&mut self, ops: &mut Vec<Op>) {
        if std::mem::take(&mut self.is_writing) {
            ops.push(Op::EndTextSection);
        }
    }

    fn words_next(&mut self, bold: bool, size_pt: f64, ops: &mut Vec<Op>) {
        if !std::mem::replace(&mut self.is_writing, true) {
            ops.push(Op::StartTextSection);
        }
        if self.letters.replace((bold, size_pt)) != Some((bold, size_pt)) {
            ops.push(Op::SetFont {
                font: PdfFontHandle::External(FontId(Face::of(bold).name().to_owned())),
                size: Pt(size_pt as f32),
            });
        }
    }

    fn take(&mut self, pen: Pen, ops: &mut Vec<Op>) {
        if self.pen.replace(pen) != Some(pen) {
            take_pen(pen, ops);
        }
    }

    fn shade(&mut self, shade: f64, ops: &mut Vec<Op>) {
        if self.shade.replace(shade) != Some(shade) {
            ops.push(Op::SetFillColor { col: grey(shade) });
        }
    }
}

fn draw(item: &Item, to_page: ToPage<'_>, ready: &mut Ready, ops: &mut Vec<Op>) {
    match item {
        Item::Stroke(path, with) => {
            ready.lines_next(ops);
            ready.take(*with, ops);
            let rings = rings(path, to_page).into_iter();
            ops.extend(rings.map(|(points, is_closed)| Op::DrawLine {
                line: Line { points, is_closed },
            }));
        }
        Item::Fill(path, shade) => {
            ready.lines_next(ops);
            ready.shade(*shade, ops);
            let rings = rings(path, to_page)
                .into_iter()
                .map(|(points, _)| PolygonRing { points })
                .collect();
            let polygon = Polygon {
                rings,
                mode: PaintMode::Fill,
                winding_order: WindingOrder::NonZero,
            };
            ops.push(Op::DrawPolygon { polygon });
        }
        Item::Words(text) => {
            ready.words_next(text.bold, text.size_pt, ops);
            ready.shade(0.0, ops);
            write(text, to_page, ops);
        }
    }
}

fn take_pen(pen: Pen, ops: &mut Vec<Op>) {
    let points = |mm: f64| (mm * POINTS_PER_MM) as f32;
    let dash = pen
        .dash_mm
        .map_or_else(Vec::new, |(dash, gap)| vec![points(dash), points(gap)]);
    ops.extend([
        Op::SetOutlineColor { col: grey(pen.grey) },
        Op::SetOutlineThickness {
            pt: Pt(points(pen.width_mm)),
        },
        Op::SetLineDashPattern {
            dash: LineDashPattern {
                offset: 0.0,
                pattern: dash.into_iter().collect(),
            },
        },
    ]);
}

fn write(text: &Text, to_page: ToPage<'_>, ops: &mut Vec<Op>) {
    let text = to_page.how.apply_to_text(text);
    let [cos, sin, ..] = text.placement().as_coeffs();
    let start = to_page.point(text.placement() * Point::ZERO);
    let matrix = [cos as f32, sin as f32, -sin as f32, cos as f32, start.x.0, start.y.0];
    ops.extend([
        Op::SetTextMatrix {
            matrix: TextMatrix::Raw(matrix),
        },
        // printpdf knows nothing of these letters: which of them the PDF has is known only when all sheets are drawn.
        Op::Unknown {
            key: "Tj".to_owned(),
            value: vec![DictItem::String {
                data: text.words.encode_utf16().flat_map(u16::to_be_bytes).collect(),
                literal: true,
            }],
        },
    ]);
}

fn grey(shade: f64) -> Color {
    Color::Greyscale(Greyscale {
        percent: shade as f32,
        icc_profile: None,
    })
}

/// The subpaths of a path as printpdf wants them, each with whether it is closed.
fn rings(path: &BezPath, to_page: ToPage<'_>) -> Vec<(Vec<LinePoint>, bool)> {
    let mut rings: Vec<(Vec<LinePoint>, bool)> = Vec::new();
    let (mut here, affine) = (Point::ZERO, to_page.how.affine());
    for element in path.elements().iter().map(|element| affine * *element) {
        if let PathEl::MoveTo(_) = element {
            rings.push((Vec::new(), false));
        }
        let Some((points, is_closed)) = rings.last_mut() else {
            continue;
        };
        let mut push = |point: Point, bezier: bool| {
            points.push(LinePoint {
                p: to_page.point(point),
                bezier,
            })
        };
        match element {
            PathEl::MoveTo(end) | PathEl::LineTo(end) => push(end, false),
            PathEl::CurveTo(first, second, end) => {
                push(first, true);
                push(second, true);
                push(end, false);
            }
            PathEl::QuadTo(control, end) => {
                push(here.lerp(control, 2.0 / 3.0), true);
                push(end.lerp(control, 2.0 / 3.0), true);
                push(end, false);
            }
            PathEl::ClosePath => *is_closed = true,
        }
        here = element.end_point().unwrap_or(here);
    }
    rings
}

/// The sheets as printpdf's document, before it is put into objects.
pub(crate) fn pdf_document(title: &str, sheets: &[Sheet], paper: &Paper) -> PdfDocument {
    let mut document = PdfDocument::new(title);
    for layer in Layer::ALL {
        let named = PdfLayer {
            name: layer.name().to_owned(),
            creator: "bench".to_owned(),
            intent: LayerIntent::Design,
            usage: LayerSubtype::Artwork,
        };
        document.resources.layers.map.insert(layer_id(layer), named);
    }
    let (width, height) = (Mm(paper.width_mm as f32), Mm(paper.height_mm as f32));
    let pages = sheets.iter().map(|sheet| page_ops(sheet, paper));
    document.pages = pages.map(|ops| PdfPage::new(width, height, ops)).collect();
    document
}
