//! Tables: the ordinates for marking by hand, and facts by name.

use kurbo::Rect;

use super::drawing::{Align, Drawing, Layer, Pen, Text};
use super::label::SMALL_PT;
use super::mark::{CROWN_LINES, Marks, Station};
use super::panel::{Panel, Role};
use super::text;
use crate::measure::{Units, show_angle};

const ROW: f64 = 4.2;
const ROWS_A_PANEL: usize = 36;
/// Between columns, in millimetres.
const GUTTER: f64 = 3.0;

/// The ordinates of an end, in panels of at most [`ROWS_A_PANEL`] rows.
pub(super) fn ordinates_panels(name: &str, marks: &Marks, units: Units) -> Vec<Panel> {
    let heads = [
        "station",
        "",
        &format!("round, {}", units.name()),
        &format!("to the cut, {}", units.name()),
    ]
    .map(str::to_owned);
    let has_sides = !marks.folds.is_empty();
    let row = |station: &Station, place: String, number: String| {
        [
            number,
            place,
            units.show_bare(station.girth_mm),
            units.show_bare(station.from_base_mm),
        ]
    };
    let at_station = |station: &Station| {
        let crown = CROWN_LINES
            .iter()
            .find(|(_, azimuth)| (azimuth - station.azimuth_deg).abs() < 1e-9);
        let place = match crown {
            Some((crown, _)) => (*crown).to_owned(),
            // Round a tube with sides degrees are not angles.
            None if has_sides => String::new(),
            None => show_angle(station.azimuth_deg),
        };
        (station.azimuth_deg, row(station, place, station.number.to_string()))
    };
    let at_fold = |fold: &Station| (fold.azimuth_deg, row(fold, "fold".to_owned(), "-".to_owned()));
    let mut places: Vec<(f64, [String; 4])> = marks.stations.iter().map(at_station).collect();
    places.extend(marks.folds.iter().map(at_fold));
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    let rows: Vec<[String; 4]> = places.into_iter().map(|(_, row)| row).collect();
    let title = format!("{name}: to mark it by hand");
    let under = "Round: from the front, on the tube's skin. Up: from the base line.";
    rows.chunks(ROWS_A_PANEL)
        .map(|rows| table(&title, Some(&heads), rows, under))
        .collect()
}

/// Facts by name, a row each.
pub(super) fn facts_panel(title: &str, rows: &[[String; 2]], under: &str) -> Panel {
    table(title, None, rows, under)
}

/// A table with heads.
pub(super) fn rows_panel<const N: usize>(title: &str, heads: &[String; N], rows: &[[String; N]], under: &str) -> Panel {
    table(title, Some(heads), rows, under)
}

/// A table of `N` columns, the first flush left and the rest flush right, with a line of words under it.
fn table<const N: usize>(title: &str, heads: Option<&[String; N]>, rows: &[[String; N]], under: &str) -> Panel {
    let mut widths = [0.0_f64; N];
    for row in heads.into_iter().chain(rows) {
        for (width, words) in widths.iter_mut().zip(row) {
            *width = width.max(text::width_mm(words, SMALL_PT, false));
        }
    }
    let inner = widths.iter().sum::<f64>() + GUTTER * (N - 1) as f64;
    let width = inner.max(text::width_mm(title, 9.0, true)).max(44.0) + 2.0;
    let mut drawing = Drawing::default();
    let mut y = -4.0;
    drawing.note(Text::new((1.0, y), 9.0, title).bold());
    for (index, row) in heads.into_iter().chain(rows).enumerate() {
        y -= ROW;
        if heads.is_some() && index == 1 {
            drawing.line(Layer::Notes, Pen::FINE, (0.0, y + ROW - 1.0), (width, y + ROW - 1.0));
        }
        write_row(&mut drawing, row, &widths, y);
    }
    y -= 1.2;
    for line in text::lines(under, SMALL_PT, false, width - 2.0) {
        y -= 3.4;
        drawing.note(Text::new((1.0, y), SMALL_PT, line));
    }
    let frame = Rect::new(0.0, y - 2.0, width, 0.0);
    drawing.stroke(Layer::Notes, Pen::FINE, frame);
    Panel::framed(title, Role::Table, &drawing, frame)
}

fn write_row<const N: usize>(drawing: &mut Drawing, row: &[String; N], widths: &[f64; N], y: f64) {
    let mut x = 1.0;
    for (index, (words, width)) in row.iter().zip(widths).enumerate() {
        let text = if index == 0 {
            Text::new((x, y), SMALL_PT, words)
        } else {
            Text::new((x + width, y), SMALL_PT, words).align(Align::Right)
        };
        drawing.note(text);
        x += width + GUTTER;
    }
}
