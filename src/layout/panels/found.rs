//! Holes as they were found, on their body's mark-out sheet: thin, by name, and in a table of their own.

use kurbo::{Affine, Point, Shape};

use super::dimensions::{self, Taken};
use super::table::rows_panel;
use crate::job::BodyInSpace;
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::READ_PT;
use crate::layout::polyline::polyline;
use crate::layout::{Panel, text};
use crate::measure::{Units, show_angle};
use crate::plan::FlatSkin;

/// Their outlines, as the skin is slit.
pub(super) fn outlines(flat: &FlatSkin<'_>) -> Vec<(String, Vec<Vec<Point>>)> {
    let found = flat.found();
    found
        .map(|found| (found.hole.name.clone(), flat.slit(&found.outline, found.middle)))
        .collect()
}

/// Draws them, closed, each with its name beside it where there is room.
pub(super) fn draw(drawing: &mut Drawing, taken: &mut Taken, found: &[(String, Vec<Vec<Point>>)], to_sheet: Affine) {
    let height = READ_PT * text::MM_PER_POINT;
    for (name, parts) in found {
        for part in parts {
            let part: Vec<Point> = part.iter().map(|place| to_sheet * *place).collect();
            let mut outline = polyline(&part);
            outline.close_path();
            let around = outline.bounding_box();
            drawing.stroke(Layer::Notes, Pen::DASHED, outline);
            taken.boxes.push(dimensions::around(&part));
            taken.no_lines.push(dimensions::around(&part));
            let middle = around.center().y - 0.38 * height;
            let places = [
                ((around.x1 + 1.2, middle), Align::Left),
                ((around.x0 - 1.2, middle), Align::Right),
                ((around.center().x, around.y1 + 1.2), Align::Middle),
                ((around.center().x, around.y0 - height), Align::Middle),
            ];
            let texts = places.map(|(at, align)| Text::new(at, READ_PT, format!("{name}, as found")).align(align));
            taken.write_first_free(drawing, texts.into_iter());
        }
    }
}

/// Where they are.
pub(super) fn panel(body: &BodyInSpace, units: Units) -> Option<Panel> {
    let is_flat = body.outside.is_flat();
    let rows: Vec<[String; 4]> = body
        .found
        .iter()
        .map(|hole| {
            let arc = body.surface.arc_of(hole.along_mm, hole.round);
            let side = if arc < 0.0 { "left" } else { "right" };
            let round = match arc.abs() {
                none if none < 5e-3 => "on the line".to_owned(),
                arc if is_flat => format!("{side} {}", units.show(arc)),
                arc => format!(
                    "{side} {} ({})",
                    units.show(arc),
                    show_angle(hole.round.to_degrees().abs())
                ),
            };
            [
                hole.name.clone(),
                units.show(hole.along_mm),
                round,
                units.show(hole.across_mm),
            ]
        })
        .collect();
    let heads = ["", "along to its middle", "round to its middle", "straight across"].map(str::to_owned);
    let title = format!("Holes in {} as found", body.name);
    let under = "Made already: measured, not asked for. Dashed in the drawing.";
    (!rows.is_empty()).then(|| rows_panel(&title, &heads, &rows, under))
}
