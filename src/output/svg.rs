//! SVG in millimetres, 1:1: `width` and `height` in mm with a matching `viewBox` (W3C SVG 1.1, 7.10).

use kurbo::{Affine, BezPath, PathEl, Point};
use svg::node::element::{Group, Path, Text as SvgText, Title};
use svg::{Document, Node};

use crate::layout::{Align, Drawing, Item, Layer, Text};

/// White round the patterns, in millimetres.
const BORDER: f64 = 5.0;
const MM_PER_POINT: f64 = 25.4 / 72.0;

/// The drawing as an SVG with one group a layer.
pub fn svg_bytes(title: &str, drawing: &Drawing) -> Vec<u8> {
    let bounds = drawing.bounds().inflate(BORDER, BORDER);
    let flip = Affine::new([1.0, 0.0, 0.0, -1.0, -bounds.x0, bounds.y1]);
    let mut document = Document::new()
        .set("width", format!("{}mm", number(bounds.width())))
        .set("height", format!("{}mm", number(bounds.height())))
        .set(
            "viewBox",
            format!("0 0 {} {}", number(bounds.width()), number(bounds.height())),
        )
        .add(Title::new(title));
    for layer in Layer::ALL {
        let mut group = Group::new()
            .set("id", layer.name().replace(' ', "-"))
            .add(Title::new(layer.name()));
        for item in drawing.on(layer) {
            group.append(node(item, flip));
        }
        document.append(group);
    }
    let mut bytes = document.to_string().into_bytes();
    bytes.push(b'\n');
    bytes
}

fn node(item: &Item, flip: Affine) -> Box<dyn Node> {
    match item {
        Item::Stroke(path, pen) => {
            let mut node = Path::new()
                .set("d", data(path, flip))
                .set("fill", "none")
                .set("stroke", grey(pen.grey))
                .set("stroke-width", number(pen.width_mm));
            if let Some((dash, gap)) = pen.dash_mm {
                node = node.set("stroke-dasharray", format!("{} {}", number(dash), number(gap)));
            }
            Box::new(node)
        }
        Item::Fill(path, shade) => Box::new(Path::new().set("d", data(path, flip)).set("fill", grey(*shade))),
        Item::Words(text) => Box::new(words(text, flip)),
    }
}

fn words(text: &Text, flip: Affine) -> SvgText {
    let at = flip * text.at;
    let anchor = match text.align {
        Align::Left => "start",
        Align::Middle => "middle",
        Align::Right => "end",
    };
    let mut node = SvgText::new(text.words.clone())
        .set("x", number(at.x))
        .set("y", number(at.y))
        .set("font-family", "Liberation Sans, Arimo, Helvetica, Arial, sans-serif")
        .set("font-size", number(text.size_pt * MM_PER_POINT))
        .set("text-anchor", anchor)
        // Whatever letters the viewer has, they fill the same room.
        .set("textLength", number(text.width()))
        .set("lengthAdjust", "spacingAndGlyphs");
    if text.bold {
        node = node.set("font-weight", "bold");
    }
    if !text.quarter_turns.is_multiple_of(4) {
        let turn = -90 * i32::from(text.quarter_turns % 4);
        node = node.set("transform", format!("rotate({turn} {} {})", number(at.x), number(at.y)));
    }
    node
}

fn data(path: &BezPath, flip: Affine) -> String {
    let pair = |point: Point| format!("{} {}", number(point.x), number(point.y));
    let parts = path.elements().iter().map(|element| match flip * *element {
        PathEl::MoveTo(end) => format!("M{}", pair(end)),
        PathEl::LineTo(end) => format!("L{}", pair(end)),
        PathEl::QuadTo(control, end) => format!("Q{} {}", pair(control), pair(end)),
        PathEl::CurveTo(first, second, end) => format!("C{} {} {}", pair(first), pair(second), pair(end)),
        PathEl::ClosePath => "Z".to_owned(),
    });
    parts.collect()
}

/// To a ten-thousandth of a millimetre, no needless zeros.
fn number(value: f64) -> String {
    let rounded = (value * 1e4).round() / 1e4 + 0.0;
    rounded.to_string()
}

fn grey(shade: f64) -> String {
    let level = (shade * 255.0).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}
