//! A picture as SVG for a screen: as large as the room that it is given, in the page's own colour of ink, each part a group
//! that can be found by what it shows.
//!
//! ```text
//! <g class="body" data-body="lower drum">
//! <g class="piece" data-tube="riser 2" data-number="1">      likewise "balloon", its number with the leader line
//! <g class="handle" data-point="...">                        by which a landing is taken hold of
//! <g class="words">                                          frame and caption
//! ```
//!
//! What is white on paper (under words) has the class `ground`, what is grey the class `shade`.

use std::fmt::{self, Write};

use kurbo::{Affine, Rect};

use super::svg_parts::{FONTS, MM_PER_POINT, anchor, data, escaped, number};
use crate::layout::{Drawing, Item, Part, Seen, Text};

/// White round the frame, in millimetres.
const BORDER: f64 = 0.5;

/// The picture; `title` is read out in its place.
pub fn picture_svg(title: &str, seen: &Seen) -> String {
    let mut svg = String::new();
    // Nothing fails that is written to a string.
    let _ = write_picture(&mut svg, title, seen);
    svg
}

/// Any drawing for a screen, in the page's own colour of ink; `title` is read out in its place.
pub fn drawing_svg(title: &str, drawing: &Drawing) -> String {
    let mut svg = String::new();
    let bounds = drawing.bounds().inflate(BORDER, BORDER);
    // Nothing fails that is written to a string.
    let _ = write_head(&mut svg, title, bounds)
        .and_then(|()| write_drawing(&mut svg, drawing, flipped(bounds)))
        .and_then(|()| writeln!(svg, "</svg>"));
    svg
}

/// Down instead of up, from the corner of what is shown.
fn flipped(bounds: Rect) -> Affine {
    Affine::new([1.0, 0.0, 0.0, -1.0, -bounds.x0, bounds.y1])
}

fn write_head(svg: &mut String, title: &str, bounds: Rect) -> fmt::Result {
    let (width, height) = (number(bounds.width()), number(bounds.height()));
    let title = escaped(title);
    writeln!(
        svg,
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" aria-label="{title}" fill="none" stroke-linecap="round" stroke-linejoin="round">"#
    )?;
    writeln!(svg, "<title>{title}</title>")
}

fn write_picture(svg: &mut String, title: &str, seen: &Seen) -> fmt::Result {
    let bounds = seen.parts.iter().map(|(_, drawing)| drawing.bounds());
    let bounds = bounds
        .fold(seen.size.to_rect(), |all, part| all.union(part))
        .inflate(BORDER, BORDER);
    let flip = flipped(bounds);
    write_head(svg, title, bounds)?;
    for (part, drawing) in &seen.parts {
        writeln!(svg, "<g {}>", attributes(part))?;
        write_drawing(svg, drawing, flip)?;
        svg.push_str("</g>\n");
    }
    svg.push_str("</svg>\n");
    Ok(())
}

/// By which a page finds the part.
fn attributes(part: &Part) -> String {
    let of_piece = |class: &str, tube: &str, number: &usize| {
        format!(
            r#"class="{class}" data-tube="{}" data-number="{number}""#,
            escaped(tube)
        )
    };
    match part {
        Part::Body { name } => format!(r#"class="body" data-body="{}""#, escaped(name)),
        Part::Piece { tube, number } => of_piece("piece", tube, number),
        Part::Balloon { tube, number } => of_piece("balloon", tube, number),
        Part::Handle { point } => format!(r#"class="handle" data-point="{}""#, escaped(point)),
        Part::Words => r#"class="words""#.to_owned(),
    }
}

pub(super) fn write_drawing(svg: &mut String, drawing: &Drawing, flip: Affine) -> fmt::Result {
    for (_, item) in &drawing.items {
        match item {
            Item::Stroke(path, pen) => {
                let (path, width) = (data(path, flip), number(pen.width_mm));
                write!(svg, r#"<path d="{path}" stroke="currentColor" stroke-width="{width}""#)?;
                if let Some((dash, gap)) = pen.dash_mm {
                    write!(svg, r#" stroke-dasharray="{} {}""#, number(dash), number(gap))?;
                }
                svg.push_str("/>\n");
            }
            Item::Fill(path, grey) => {
                let ink = match *grey {
                    dark if dark < 0.5 => r#"fill="currentColor""#,
                    white if white >= 1.0 => r##"class="ground" fill="#fff""##,
                    _ => r#"class="shade" fill="currentColor" fill-opacity="0.15""#,
                };
                writeln!(svg, r#"<path d="{}" {ink}/>"#, data(path, flip))?;
            }
            Item::Words(text) => write_words(svg, text, flip)?,
        }
    }
    Ok(())
}

fn write_words(svg: &mut String, text: &Text, flip: Affine) -> fmt::Result {
    let at = flip * text.at;
    let (x, y) = (number(at.x), number(at.y));
    let (size, length) = (number(text.size_pt * MM_PER_POINT), number(text.width()));
    write!(
        svg,
        r#"<text x="{x}" y="{y}" fill="currentColor" font-family="{FONTS}" font-size="{size}" text-anchor="{}""#,
        anchor(text.align)
    )?;
    // Whatever letters the viewer has, they fill the same room.
    write!(svg, r#" textLength="{length}" lengthAdjust="spacingAndGlyphs""#)?;
    if text.bold {
        svg.push_str(r#" font-weight="bold""#);
    }
    let quarters = i32::from(text.quarter_turns % 4);
    if quarters != 0 {
        write!(svg, r#" transform="rotate({} {x} {y})""#, -90 * quarters)?;
    }
    writeln!(svg, ">{}</text>", escaped(&text.words))
}
