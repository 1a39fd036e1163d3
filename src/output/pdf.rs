//! PDF, 1:1: page boxes exactly the paper, no scaling by the reader, a layer for each kind of line.

use kurbo::{BezPath, PathEl, Point};
use lopdf::{Dictionary, Object, ObjectId, Stream, StringFormat};
use printpdf::{
    BuiltinFont, Color, Greyscale, Layer as PdfLayer, LayerIntent, LayerInternalId, LayerSubtype, Line, LineCapStyle,
    LineDashPattern, LineJoinStyle, LinePoint, Mm, Op, PageAnnotId, PageAnnotation, PaintMode, PdfDocument,
    PdfFontHandle, PdfPage, PdfSaveOptions, Polygon, PolygonRing, Pt, TextItem, TextMatrix, WindingOrder,
};

use super::pages::{compressed, cores};
use crate::job::{MARGIN_MM, Paper};
use crate::layout::{Item, Layer, Pen, Sheet, Text};
use crate::problem::Problem;

const PROGRAM: &str = "girthline";
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// The sheets as a PDF, the same bytes for the same sheets. `contents` are bookmarks: words, and the index of a sheet.
///
/// # Errors
/// Where the document can't be put into bytes.
pub fn pdf_bytes(
    title: &str,
    sheets: &[Sheet],
    contents: &[(String, usize)],
    paper: &Paper,
) -> Result<Vec<u8>, Problem> {
    let streams = compressed(sheets.len(), cores(), |pages| streams_of(&sheets[pages], paper))?;
    // All but what is drawn on the pages.
    let document = with_pages(title, contents, paper, sheets.iter().map(frame_ops));
    let mut file = printpdf::serialize::to_lopdf_doc(&document, &save_options(), &mut Vec::new());
    for (id, stream) in content_ids(&file)?.into_iter().zip(streams) {
        file.set_object(id, stream);
    }
    finish(&mut file, paper)?;
    let mut bytes = Vec::new();
    file.save_to(&mut bytes)
        .map_err(|error| Problem::output("the PDF can't be written").figures(error.to_string()))?;
    Ok(bytes)
}

/// How printpdf is asked to put a document into objects.
pub fn save_options() -> PdfSaveOptions {
    PdfSaveOptions {
        image_optimization: None,
        ..PdfSaveOptions::default()
    }
}

/// The sheets as printpdf's document, before it is put into objects.
pub fn pdf_document(title: &str, sheets: &[Sheet], contents: &[(String, usize)], paper: &Paper) -> PdfDocument {
    with_pages(
        title,
        contents,
        paper,
        sheets.iter().map(|sheet| page_ops(sheet, paper)),
    )
}

/// What is drawn on some sheets, a stream each.
fn streams_of(sheets: &[Sheet], paper: &Paper) -> Result<Vec<Stream>, Problem> {
    let document = pdf_document("", sheets, &[], paper);
    let mut file = printpdf::serialize::to_lopdf_doc(&document, &save_options(), &mut Vec::new());
    drop(document);
    let ids = content_ids(&file)?;
    let streams = ids.iter().filter_map(|id| match file.objects.remove(id) {
        Some(Object::Stream(stream)) => Some(stream),
        _ => None,
    });
    Ok(streams.collect())
}

/// Where the contents of each page are.
fn content_ids(file: &lopdf::Document) -> Result<Vec<ObjectId>, Problem> {
    let id = |page: ObjectId| file.get_dictionary(page)?.get(b"Contents")?.as_reference();
    let ids: Result<Vec<ObjectId>, lopdf::Error> = file.page_iter().map(id).collect();
    ids.map_err(broken)
}

fn broken(error: lopdf::Error) -> Problem {
    Problem::output("the PDF can't be put together").figures(error.to_string())
}

/// The layers and letters that a sheet uses, and nothing else: of these its resources are made.
fn frame_ops(sheet: &Sheet) -> Vec<Op> {
    let mut ops = Vec::new();
    for layer in Layer::ALL {
        if sheet.uses(layer) {
            let layer_id = layer_id(layer);
            ops.extend([Op::BeginLayer { layer_id }, Op::EndLayer]);
        }
    }
    for bold in [false, true] {
        let mut items = sheet.parts().flat_map(|part| &part.items);
        if items.any(|(_, item)| matches!(item, Item::Words(text) if text.bold == bold)) {
            let font = PdfFontHandle::Builtin(font(bold));
            ops.push(Op::SetFont { font, size: Pt(1.0) });
        }
    }
    ops
}

fn with_pages(
    title: &str,
    contents: &[(String, usize)],
    paper: &Paper,
    pages: impl Iterator<Item = Vec<Op>>,
) -> PdfDocument {
    let mut document = PdfDocument::new(title);
    document.metadata.info.creator = PROGRAM.to_owned();
    document.metadata.info.producer = PROGRAM.to_owned();
    for layer in Layer::ALL {
        let named = PdfLayer {
            name: layer.name().to_owned(),
            creator: PROGRAM.to_owned(),
            intent: LayerIntent::Design,
            usage: LayerSubtype::Artwork,
        };
        document.resources.layers.map.insert(layer_id(layer), named);
    }
    for (number, (name, sheet)) in contents.iter().enumerate() {
        let bookmark = PageAnnotation {
            name: name.clone(),
            page: sheet + 1,
        };
        document
            .bookmarks
            .map
            .insert(PageAnnotId(format!("{number:06}")), bookmark);
    }
    let (width, height) = (Mm(paper.width_mm as f32), Mm(paper.height_mm as f32));
    document.pages = pages.map(|ops| PdfPage::new(width, height, ops)).collect();
    document
}

/// Sets what printpdf leaves out, and replaces what it draws at random.
fn finish(file: &mut lopdf::Document, paper: &Paper) -> Result<(), Problem> {
    let name = |word: &str| Object::Name(word.as_bytes().to_vec());
    let preferences = Dictionary::from_iter([
        ("PrintScaling", name("None")),
        ("Enforce", Object::Array(vec![name("PrintScaling")])),
        ("PickTrayByPDFSize", Object::Boolean(true)),
    ]);
    file.catalog_mut()
        .map_err(broken)?
        .set("ViewerPreferences", preferences);
    let catalog = file.catalog_mut().map_err(broken)?;
    if catalog.has(b"Outlines") {
        catalog.set("PageMode", name("UseOutlines"));
    }
    // Exactly the paper, not rounded to whole points.
    let boxes: Vec<Object> = [
        0.0,
        0.0,
        paper.width_mm * POINTS_PER_MM,
        paper.height_mm * POINTS_PER_MM,
    ]
    .map(|side| Object::Real(side as f32))
    .to_vec();
    for page in file.page_iter().collect::<Vec<_>>() {
        let page = file.get_dictionary_mut(page).map_err(broken)?;
        for key in ["MediaBox", "TrimBox", "CropBox"] {
            page.set(key, boxes.clone());
        }
    }
    file.compress();
    let id = Object::String(content_id(file), StringFormat::Hexadecimal);
    file.trailer.set("ID", vec![id.clone(), id]);
    Ok(())
}

/// An identifier made of the contents: FNV-1a, twice over, as 16 bytes. It need not be secret.
fn content_id(file: &lopdf::Document) -> Vec<u8> {
    let mut sums = [0xcbf2_9ce4_8422_2325_u64, 0x8422_2325_cbf2_9ce4];
    for object in file.objects.values() {
        let Object::Stream(stream) = object else { continue };
        for sum in &mut sums {
            for byte in &stream.content {
                *sum = (*sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
            }
        }
    }
    sums.iter().flat_map(|sum| sum.to_be_bytes()).collect()
}

fn layer_id(layer: Layer) -> LayerInternalId {
    LayerInternalId(layer.name().replace(' ', "-"))
}

/// From true millimetres within the margins to points on the page, with the printer's correction.
#[derive(Clone, Copy)]
struct ToPage<'a>(&'a Paper);

impl ToPage<'_> {
    fn point(self, point: Point) -> printpdf::Point {
        let x = (MARGIN_MM + point.x * self.0.across) * POINTS_PER_MM;
        let y = (MARGIN_MM + point.y * self.0.down) * POINTS_PER_MM;
        printpdf::Point {
            x: Pt(x as f32),
            y: Pt(y as f32),
        }
    }
}

fn page_ops(sheet: &Sheet, paper: &Paper) -> Vec<Op> {
    let (to_page, drawing) = (ToPage(paper), sheet.drawing());
    let mut ops = Vec::new();
    for layer in Layer::ALL {
        if drawing.on(layer).next().is_none() {
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
        let mut pen = None;
        for item in drawing.on(layer) {
            draw(item, to_page, &mut pen, &mut ops);
        }
        ops.extend([Op::RestoreGraphicsState, Op::EndLayer]);
    }
    ops
}

fn draw(item: &Item, to_page: ToPage<'_>, pen: &mut Option<Pen>, ops: &mut Vec<Op>) {
    match item {
        Item::Stroke(path, with) => {
            if *pen != Some(*with) {
                take_pen(*with, ops);
                *pen = Some(*with);
            }
            let rings = rings(path, to_page).into_iter();
            ops.extend(rings.map(|(points, is_closed)| Op::DrawLine {
                line: Line { points, is_closed },
            }));
        }
        Item::Fill(path, shade) => {
            ops.push(Op::SetFillColor { col: grey(*shade) });
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
        Item::Words(text) => write(text, to_page, ops),
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

fn font(bold: bool) -> BuiltinFont {
    if bold {
        BuiltinFont::HelveticaBold
    } else {
        BuiltinFont::Helvetica
    }
}

fn write(text: &Text, to_page: ToPage<'_>, ops: &mut Vec<Op>) {
    let [cos, sin, ..] = text.placement().as_coeffs();
    let start = to_page.point(text.placement() * Point::ZERO);
    let matrix = [cos as f32, sin as f32, -sin as f32, cos as f32, start.x.0, start.y.0];
    ops.extend([
        Op::SetFillColor { col: grey(0.0) },
        Op::StartTextSection,
        Op::SetFont {
            font: PdfFontHandle::Builtin(font(text.bold)),
            size: Pt(text.size_pt as f32),
        },
        Op::SetTextMatrix {
            matrix: TextMatrix::Raw(matrix),
        },
        Op::ShowText {
            items: vec![TextItem::Text(text.words.clone())],
        },
        Op::EndTextSection,
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
    let mut here = Point::ZERO;
    for element in path.elements() {
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
        match *element {
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
