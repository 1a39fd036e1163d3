//! Mark-out sheets: a body's skin laid flat, to scale, with every hole in its place, and the figures in a table.

use kurbo::Rect;

use super::skin_sheet::skin_panel;
use super::table::rows_panel;
use super::{found, if_round, parting, strips};
use crate::body::Development;
use crate::job::{BodyInSpace, ZeroLine};
use crate::layout::{Drawing, Panel};
use crate::measure::{Units, show_angle};
use crate::plan::{Datum, FlatSkin, Found, JobPlan, PlacedHole};
use crate::wording::{ClashesOfTubes, front_of_made, hole_number};

/// Rows of a table of holes.
const ROWS: usize = 40;
/// What a drawing and the table under it may be high together, in millimetres: they fit on any paper.
const TOGETHER: f64 = 225.0;
/// Of a table without its rows, and of a row, in millimetres: what is kept for them.
const TABLE: f64 = 22.0;
const ROW: f64 = 4.0;
/// Between a drawing and its table, in millimetres.
const GAP: f64 = 3.0;

/// A drawing and a table of a body with the holes that are `here` in it.
pub(super) fn body_mark_out(
    job: &JobPlan,
    index: usize,
    here: &[&PlacedHole],
    clashes: &ClashesOfTubes<'_>,
    units: Units,
) -> Vec<Panel> {
    let clash = clashes.worst(here.iter().map(|hole| hole.of_tube), |body| body == index);
    of_body(&job.assembly.bodies[index], here, clash.as_deref(), units)
}

/// Nothing where there is neither hole nor parting, or the body can't be laid flat.
fn of_body(body: &BodyInSpace, here: &[&PlacedHole], clash: Option<&str>, units: Units) -> Vec<Panel> {
    if here.is_empty() && body.parting.is_none() {
        return Vec::new();
    }
    let Some(flat) = FlatSkin::new(body) else {
        return Vec::new();
    };
    let drawing = skin_panel(body, &flat, here, clash, units);
    let rows_under = rows_under(&drawing);
    // Most bodies' holes fit under their drawing; of more the table begins a panel of its own.
    let (under, rest) = here.split_at(if rows_under < here.len() { 0 } else { here.len() });
    let mut panels = vec![match tables(body, &flat, under, units).pop() {
        Some(table) => one_over_another(drawing, &table),
        None => drawing,
    }];
    panels.extend(tables(body, &flat, rest, units));
    panels.extend(strips::panel(body, here, units));
    panels.extend(found::panel(body, units));
    panels.extend(parting::panel(body, units));
    panels.extend(if_round::panels(body, here, units));
    panels
}

/// How many rows a table under a drawing may have, for both to fit on any paper.
pub(super) fn rows_under(drawing: &Panel) -> usize {
    ((TOGETHER - drawing.height - GAP - TABLE) / ROW).max(0.0) as usize
}

/// Two panels that belong together as one.
pub(super) fn one_over_another(upper: Panel, lower: &Panel) -> Panel {
    let mut drawing = Drawing::default();
    drawing.add(&upper.drawing, (0.0, lower.height + GAP));
    drawing.add(&lower.drawing, (0.0, 0.0));
    let size = (upper.width.max(lower.width), upper.height + GAP + lower.height);
    Panel::framed(upper.name, upper.role, drawing, Rect::new(0.0, 0.0, size.0, size.1))
}

/// What right and left are, and on a tube which lines they are told by.
fn sides_words(body: &BodyInSpace, datum: Option<Datum>, units: Units) -> String {
    let far = &body.full_end_names()[1];
    let lines = match (body.zero_line, datum) {
        (ZeroLine::Front, Some(datum)) if datum.what == Found::Tip => front_of_made("START", datum.telling, units),
        (ZeroLine::Front, _) => format!("FRONT, LEFT and RIGHT are the lines of {}'s own wraps.", body.name),
        (ZeroLine::OfBody, _) if body.of_tube.is_some() => {
            format!("Zero line: any straight line along it. Right and left as seen from outside with the {far} up.")
        }
        (ZeroLine::OfBody, _) => format!("Right and left as seen from outside with the {far} up."),
    };
    let to = match body.of_tube {
        Some(_) => "All to the axis of what lands.",
        None => "All to the tube's axis.",
    };
    format!("{lines} {to}")
}

/// Where every hole of a body is.
fn tables(body: &BodyInSpace, flat: &FlatSkin<'_>, holes: &[&PlacedHole], units: Units) -> Vec<Panel> {
    let [near, _] = body.full_end_names();
    let datum = holes.first().and_then(|hole| hole.datum);
    let under = sides_words(body, datum, units);
    let along = datum.map_or_else(|| format!("from the {near}"), |datum| format!("from {}", datum.name()));
    let around = match body.zero_line {
        ZeroLine::OfBody => "round from the zero line",
        ZeroLine::Front => "round from FRONT",
    };
    let title = format!("Holes in {}", body.name);
    let nearest = "metal left to next hole";
    let numbered = holes.iter().enumerate().map(|(index, hole)| (index + 1, *hole));
    match flat.shape {
        Development::Plane => {
            let heads = ["", "tube", "up or down from the cross", "right or left of it", nearest];
            let under = "The cross is the plate's point \"at\"; up is towards its \"zero\". Both to the tube's axis.";
            let rows = numbered.map(|(number, hole)| {
                let place = [hole.up_words(units), hole.side_words(units)];
                row(number, hole, place, units)
            });
            panels(&title, heads, &rows.collect::<Vec<_>>(), under)
        }
        Development::Strip { .. } => {
            let heads = ["", "tube", &along, around, nearest];
            let rows = numbered.map(|(number, hole)| {
                let along = match datum {
                    Some(_) => hole.up_words(units),
                    None => units.show(hole.hole.along_mm),
                };
                let place = [along, round(hole, units)];
                row(number, hole, place, units)
            });
            panels(&title, heads, &rows.collect::<Vec<_>>(), &under)
        }
        Development::Sector { .. } => {
            let along = format!("along the axis from the {near}");
            let heads = [
                "",
                "tube",
                &along,
                "with the tape on the skin",
                "round from the zero line",
                nearest,
            ];
            let under = format!("{under} Round is measured square to the axis at the hole's own height.");
            let rows = numbered.map(|(number, hole)| {
                let place = [
                    units.show(hole.hole.along_mm),
                    units.show(hole.up_mm),
                    round(hole, units),
                ];
                row(number, hole, place, units)
            });
            panels(&title, heads, &rows.collect::<Vec<_>>(), &under)
        }
    }
}

fn panels<const N: usize>(title: &str, heads: [&str; N], rows: &[[String; N]], under: &str) -> Vec<Panel> {
    let heads = heads.map(str::to_owned);
    rows.chunks(ROWS)
        .map(|rows| rows_panel(title, &heads, rows, under))
        .collect()
}

/// Its number and tube, its place, and what is left to the nearest.
fn row<const PLACE: usize, const N: usize>(
    number: usize,
    hole: &PlacedHole,
    place: [String; PLACE],
    units: Units,
) -> [String; N] {
    const { assert!(N == PLACE + 3) };
    let next = hole.next.as_ref();
    let next = next.map_or_else(
        || "-".to_owned(),
        |(_, left)| match *left < 0.0 {
            true => format!("overlap by {}", units.show(-left)),
            false => units.show(*left),
        },
    );
    let made = if hole.hole.is_made { ", made already" } else { "" };
    let mut cells = [hole_number(number - 1), format!("{}{made}", hole.name())]
        .into_iter()
        .chain(place)
        .chain([next]);
    std::array::from_fn(|_| cells.next().unwrap_or_default())
}

/// `left 90.15 mm (18°)`.
fn round(hole: &PlacedHole, units: Units) -> String {
    let words = hole.side_words(units);
    if hole.is_on_a_line() {
        return words;
    }
    format!("{words} ({})", show_angle(hole.round_deg().abs()))
}
