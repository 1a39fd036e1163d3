//! Holes as they were found, on their body's mark-out sheet: thin, by name, and in a table of their own.

use kurbo::{Affine, Line, Point, Rect, Shape};

use super::table::rows_panel;
use super::taken::Taken;
use crate::job::BodyInSpace;
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::READ_PT;
use crate::layout::polyline::polyline;
use crate::layout::{Panel, text};
use crate::measure::{Units, show_angle};
use crate::plan::FlatSkin;
use crate::wording::measured_from;

/// Their outlines, as the skin is slit.
pub(super) fn outlines(flat: &FlatSkin<'_>) -> Vec<(String, Vec<Vec<Point>>)> {
    let found = flat.found();
    found
        .map(|found| (found.hole.name.clone(), flat.slit(&found.outline, found.middle)))
        .collect()
}

/// A cross reaches so far past an outline, and so far from its middle at least, in millimetres: at a small scale the outline
/// alone is a speck.
const PAST: f64 = 1.2;
const ARM: f64 = 2.5;
/// A smaller outline would be lost in dashes.
const SMALL: f64 = 6.0;
/// How far from its cross a name may stand, in millimetres, with a leader; beside it there is none.
const BESIDE: f64 = 1.2;
const FARTHER: [f64; 3] = [4.0, 8.0, 13.0];

/// Draws them, closed, each with a cross through its middle and its name where there is room.
pub(super) fn draw(drawing: &mut Drawing, taken: &mut Taken, found: &[(String, Vec<Vec<Point>>)], to_sheet: Affine) {
    for (name, parts) in found {
        for part in parts {
            let part: Vec<Point> = part.iter().map(|place| to_sheet * *place).collect();
            let mut outline = polyline(&part);
            outline.close_path();
            let around = outline.bounding_box();
            let is_small = around.width().max(around.height()) < SMALL;
            drawing.stroke(Layer::Notes, if is_small { Pen::PLAIN } else { Pen::DASHED }, outline);
            let middle = around.center();
            let arms = [around.width(), around.height()].map(|size| (size / 2.0 + PAST).max(ARM));
            let cross = Rect::from_center_size(middle, (2.0 * arms[0], 2.0 * arms[1]));
            drawing.line(Layer::Notes, Pen::FINE, (cross.x0, middle.y), (cross.x1, middle.y));
            drawing.line(Layer::Notes, Pen::FINE, (middle.x, cross.y0), (middle.x, cross.y1));
            taken.boxes.push(cross);
            taken.no_lines.push(around);
            write_name(drawing, taken, &format!("{name}, as found"), cross);
        }
    }
}

/// Beside the cross, or farther off with a leader.
fn write_name(drawing: &mut Drawing, taken: &mut Taken, words: &str, cross: Rect) {
    let height = READ_PT * text::MM_PER_POINT;
    let middle = cross.center().y - 0.38 * height;
    let text = |at: (f64, f64), align| Text::new(at, READ_PT, words).align(align);
    let beside = [
        ((cross.x1 + BESIDE, middle), Align::Left),
        ((cross.x0 - BESIDE, middle), Align::Right),
        ((cross.center().x, cross.y1 + BESIDE), Align::Middle),
        ((cross.center().x, cross.y0 - height), Align::Middle),
    ];
    if taken.write_first_free(drawing, beside.into_iter().map(|(at, align)| text(at, align))) {
        return;
    }
    let sides = [(cross.x1, 1.0, Align::Left), (cross.x0, -1.0, Align::Right)];
    let places = FARTHER.into_iter().flat_map(|off| {
        let rises = [off, -off, 0.0];
        rises
            .into_iter()
            .flat_map(move |rise| sides.map(|side| (off, rise, side)))
    });
    for (off, rise, (edge, way, align)) in places {
        let at = (edge + way * off, middle + rise);
        if taken.write_first_free(drawing, [text(at, align)].into_iter()) {
            let from = (at.0 - way * 0.6, cross.center().y + rise);
            taken.add_leader(drawing, Line::new(from, (edge, cross.center().y)));
            return;
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
            let along = match hole.along_mm {
                level if is_flat && level.abs() < 5e-3 => "on the line".to_owned(),
                up if is_flat => format!("{} {}", if up < 0.0 { "down" } else { "up" }, units.show(up.abs())),
                along => units.show(along),
            };
            [hole.name.clone(), along, round, units.show(hole.across_mm)]
        })
        .collect();
    let [along, round] = match is_flat {
        true => ["up or down from the cross", "right or left of it"],
        false => ["along to its middle", "round to its middle"],
    };
    let heads = ["", along, round, "straight across"].map(str::to_owned);
    let title = format!("Holes in {} as found", body.name);
    let measured = if is_flat {
        String::new()
    } else {
        format!(" {}", measured_from(body, ""))
    };
    let under = format!(
        "Made already: measured, not asked for. On the mark-out of {} each has a cross through its middle.{measured}",
        body.name
    );
    (!rows.is_empty()).then(|| rows_panel(&title, &heads, &rows, &under))
}
