//! SVG in millimetres, 1:1: `width` and `height` in mm with a matching `viewBox` (W3C SVG 1.1, 7.10).

use std::borrow::Borrow;
use std::io::{self, Write};
use std::iter::once;

use kurbo::{Affine, BezPath, PathEl, Point, Rect};
use svg::Node;
use svg::node::element::{Path, Text as SvgText, Title};

use super::contents::Contents;
use crate::layout::{Align, Drawing, Item, Layer, Text};

/// White round the patterns, in millimetres.
const BORDER: f64 = 5.0;
/// Letters as wide as those by which words are measured, then others.
pub(super) const FONTS: &str = "Liberation Sans, Arimo, Helvetica, Arial, sans-serif";
pub(super) const MM_PER_POINT: f64 = 25.4 / 72.0;

/// A drawing in parts as an SVG with one group a layer. The parts are made anew for each layer, so that they need not all
/// be there at once.
pub(super) struct Svg<'a, F> {
    pub(super) title: &'a str,
    pub(super) parts: F,
}

impl<F, I> Contents for Svg<'_, F>
where
    F: Fn() -> I,
    I: Iterator<Item: Borrow<Drawing>>,
{
    fn write_to(&mut self, file: &mut dyn Write) -> io::Result<()> {
        let bounds = (self.parts)().map(|part| part.borrow().bounds());
        let bounds = bounds.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
        let bounds = bounds.inflate(BORDER, BORDER);
        let flip = Affine::new([1.0, 0.0, 0.0, -1.0, -bounds.x0, bounds.y1]);
        let [width, height] = [bounds.width(), bounds.height()].map(number);
        writeln!(
            file,
            r#"<svg height="{height}mm" viewBox="0 0 {width} {height}" width="{width}mm" xmlns="http://www.w3.org/2000/svg">"#
        )?;
        writeln!(file, "{}", Title::new(self.title))?;
        for layer in Layer::ALL {
            writeln!(file, r#"<g id="{}">"#, layer.name().replace(' ', "-"))?;
            writeln!(file, "{}", Title::new(layer.name()))?;
            for part in (self.parts)() {
                for item in part.borrow().on(layer) {
                    writeln!(file, "{}", node(item, flip))?;
                }
            }
            writeln!(file, "</g>")?;
        }
        writeln!(file, "</svg>")
    }
}

/// The drawing as an SVG with one group a layer.
pub fn svg_text(title: &str, drawing: &Drawing) -> String {
    let parts = || once(drawing);
    // Memory takes all that is written to it.
    let bytes = Svg { title, parts }.bytes().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
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
    let anchor = anchor(text.align);
    let mut node = SvgText::new(text.words.clone())
        .set("x", number(at.x))
        .set("y", number(at.y))
        .set("font-family", FONTS)
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

pub(super) fn anchor(align: Align) -> &'static str {
    match align {
        Align::Left => "start",
        Align::Middle => "middle",
        Align::Right => "end",
    }
}

pub(super) fn data(path: &BezPath, flip: Affine) -> String {
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
pub(super) fn number(value: f64) -> String {
    let rounded = (value * 1e4).round() / 1e4 + 0.0;
    rounded.to_string()
}

fn grey(shade: f64) -> String {
    let level = (shade * 255.0).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}
