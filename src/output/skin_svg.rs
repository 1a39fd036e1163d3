//! A skin laid flat as SVG for a screen, each part a group that can be found by what it shows.
//!
//! ```text
//! <svg data-zero="38.2 50.4" data-mm="23.7 23.7">     where (0, 0) of the skin is, and how many of its millimetres one unit
//!                                                     of the picture is, to the right and up
//! <g class="hole" data-tube="riser 2">                likewise "skin", "strips", "found", "along", "round", "here", "words"
//! ```

use std::fmt::{self, Write};

use kurbo::{Affine, Point};

use super::picture_svg::write_drawing;
use super::svg_parts::{escaped, number};
use crate::layout::{SkinMap, SkinPart};

/// White round it, in millimetres.
const BORDER: f64 = 1.0;

/// The skin; `title` is read out in its place.
pub fn skin_svg(title: &str, map: &SkinMap) -> String {
    let mut svg = String::new();
    // Nothing fails that is written to a string.
    let _ = write_map(&mut svg, title, map);
    svg
}

fn write_map(svg: &mut String, title: &str, map: &SkinMap) -> fmt::Result {
    let bounds = map
        .parts
        .iter()
        .map(|(_, drawing)| drawing)
        .filter(|drawing| !drawing.items.is_empty());
    let bounds = bounds
        .map(crate::layout::Drawing::bounds)
        .reduce(|all, part| all.union(part))
        .unwrap_or_default();
    let bounds = bounds.inflate(BORDER, BORDER);
    let flip = Affine::new([1.0, 0.0, 0.0, -1.0, -bounds.x0, bounds.y1]);
    let onto = flip * map.onto;
    let (zero, [wide, _, _, high, ..]) = (onto * Point::ORIGIN, map.onto.as_coeffs());
    let [x, y, wide, high] = [zero.x, zero.y, 1.0 / wide, 1.0 / high].map(number);
    let (width, height) = (number(bounds.width()), number(bounds.height()));
    let title = escaped(title);
    writeln!(
        svg,
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" aria-label="{title}" data-zero="{x} {y}" data-mm="{wide} {high}" fill="none" stroke-linecap="round" stroke-linejoin="round">"#
    )?;
    for (part, drawing) in &map.parts {
        match part {
            SkinPart::Hole { tube } => writeln!(svg, r#"<g class="hole" data-tube="{}">"#, escaped(tube))?,
            other => writeln!(svg, r#"<g class="{}">"#, class(other))?,
        }
        write_drawing(svg, drawing, flip)?;
        svg.push_str("</g>\n");
    }
    svg.push_str("</svg>\n");
    Ok(())
}

fn class(part: &SkinPart) -> &'static str {
    match part {
        SkinPart::Skin => "skin",
        SkinPart::Strips => "strips",
        SkinPart::Hole { .. } => "hole",
        SkinPart::Found => "found",
        SkinPart::Along => "along",
        SkinPart::Round => "round",
        SkinPart::Here => "here",
        SkinPart::Words => "words",
    }
}
