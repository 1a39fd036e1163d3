//! SVG in millimetres, 1:1: `width` and `height` in mm with a matching `viewBox` (W3C SVG 1.1, 7.10).

use std::borrow::Borrow;
use std::io::{self, Write};
use std::iter::once;

use kurbo::{Affine, Rect};

use super::contents::Contents;
use super::svg_parts::{FONTS, MM_PER_POINT, anchor, data, escaped, number};
use crate::layout::{Drawing, Item, Layer, Text};

/// White round the patterns, in millimetres.
const BORDER: f64 = 5.0;

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
        writeln!(file, "<title>{}</title>", escaped(self.title))?;
        for layer in Layer::ALL {
            writeln!(file, r#"<g id="{}">"#, layer.name().replace(' ', "-"))?;
            writeln!(file, "<title>{}</title>", layer.name())?;
            for part in (self.parts)() {
                for item in part.borrow().on(layer) {
                    write_item(file, item, flip)?;
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

fn write_item(file: &mut dyn Write, item: &Item, flip: Affine) -> io::Result<()> {
    match item {
        Item::Stroke(path, pen) => {
            let (path, ink, width) = (data(path, flip), grey(pen.grey), number(pen.width_mm));
            let dashes = pen
                .dash_mm
                .map(|(dash, gap)| format!(r#" stroke-dasharray="{} {}""#, number(dash), number(gap)));
            let dashes = dashes.unwrap_or_default();
            writeln!(
                file,
                r#"<path d="{path}" fill="none" stroke="{ink}"{dashes} stroke-width="{width}"/>"#
            )
        }
        Item::Fill(path, shade) => writeln!(file, r#"<path d="{}" fill="{}"/>"#, data(path, flip), grey(*shade)),
        Item::Words(text) => write_words(file, text, flip),
    }
}

fn write_words(file: &mut dyn Write, text: &Text, flip: Affine) -> io::Result<()> {
    let at = flip * text.at;
    let (x, y) = (number(at.x), number(at.y));
    let (size, length) = (number(text.size_pt * MM_PER_POINT), number(text.width()));
    let weight = if text.bold { r#" font-weight="bold""# } else { "" };
    write!(file, r#"<text font-family="{FONTS}" font-size="{size}"{weight}"#)?;
    // Whatever letters the viewer has, they fill the same room.
    write!(
        file,
        r#" lengthAdjust="spacingAndGlyphs" text-anchor="{}" textLength="{length}""#,
        anchor(text.align)
    )?;
    if !text.quarter_turns.is_multiple_of(4) {
        let turn = -90 * i32::from(text.quarter_turns % 4);
        write!(file, r#" transform="rotate({turn} {x} {y})""#)?;
    }
    writeln!(file, " x=\"{x}\" y=\"{y}\">\n{}\n</text>", escaped(&text.words))
}

fn grey(shade: f64) -> String {
    let level = (shade * 255.0).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}
