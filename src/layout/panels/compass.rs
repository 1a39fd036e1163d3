//! Holes that are marked by compass: a drawing to scale, and the openings.

use kurbo::{BezPath, Circle, Point, Rect, Vec2};

use super::table::rows_panel;
use crate::layout::Panel;
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::{Paragraph, READ_PT, TITLE_PT, write_column};
use crate::layout::panel::Role;
use crate::measure::Units;
use crate::plan::{CompassHole, Direction};
use crate::wording::{compass_place, compass_table, compass_title};

/// The drawing is no wider than twice this, in millimetres.
const REACH: f64 = 55.0;

/// Of the lines past the outline, in millimetres.
const PAST: f64 = 9.0;

/// Once so large as it is drawn, as many times as small.
const SCALES: [f64; 7] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0];

/// A hole's drawing and its table.
pub(super) fn panels(hole: &CompassHole, units: Units) -> Vec<Panel> {
    let table = compass_table(hole, units);
    vec![
        drawing(hole, units),
        rows_panel(&table.title, &table.heads, &table.rows, &table.under),
    ]
}

fn way(angle: f64) -> Vec2 {
    Vec2::new(angle.sin(), angle.cos())
}

fn drawing(hole: &CompassHole, units: Units) -> Panel {
    let farthest = hole
        .outline
        .iter()
        .map(|direction| direction.opening_mm)
        .fold(1.0, f64::max);
    let scale = SCALES
        .into_iter()
        .find(|scale| farthest / scale <= REACH)
        .unwrap_or(SCALES[6]);
    let place = |direction: &Direction| Point::ZERO + direction.opening_mm / scale * way(direction.angle);
    let reach = farthest / scale + PAST;
    let mut drawing = Drawing::default();
    let mut outline = BezPath::new();
    for (number, direction) in hole.outline.iter().enumerate() {
        if number == 0 {
            outline.move_to(place(direction))
        } else {
            outline.line_to(place(direction))
        }
    }
    outline.close_path();
    drawing.stroke(Layer::Notes, Pen::PLAIN, outline);
    drawing.stroke(Layer::Notes, Pen::FINE, Circle::new(Point::ZERO, 0.8));
    for (number, direction) in hole.rows.iter().enumerate() {
        let end = place(direction);
        drawing.line(Layer::Notes, Pen::FINE, Point::ZERO + 1.2 * way(direction.angle), end);
        let at = end + 2.6 * way(direction.angle) - Vec2::new(0.0, 1.1);
        drawing.note(Text::new(at, READ_PT, number.to_string()).align(Align::Middle));
    }
    let mut arrow = |angle: f64, words: &str| {
        let from = Point::ZERO + (reach - PAST / 2.0) * way(angle);
        let to = Point::ZERO + (reach + 2.0) * way(angle);
        drawing.line(Layer::Notes, Pen::CROWN, from, to);
        let at = to + 4.0 * way(angle) - Vec2::new(0.0, 1.2);
        drawing.note(Text::new(at, READ_PT, words).align(Align::Middle).bold());
    };
    arrow(0.0, "ZERO");
    if let Some(apex) = hole.apex_deg {
        // Where both are one way, beside each other.
        let near = (apex + 8.0).rem_euclid(360.0) < 16.0;
        arrow(
            apex.to_radians() + if near { 0.25 } else { 0.0 },
            &hole.apex.to_uppercase(),
        );
    }
    let half = (reach + 12.0).max(44.0);
    let mut words = vec![Paragraph::strong(compass_title(hole), TITLE_PT)];
    words.extend(compass_place(hole, units).into_iter().map(Paragraph::plain));
    words.push(Paragraph::plain(format!(
        "Drawn to scale, 1 : {scale}, seen from outside: not a pattern. Rays: the directions of the table."
    )));
    let foot = -half + 2.0;
    let height = write_column(&mut drawing, Point::new(-half + 2.0, foot), 2.0 * half - 4.0, &words);
    let frame = Rect::new(-half, foot - height - 3.0, half, half);
    drawing.stroke(Layer::Notes, Pen::FINE, frame);
    Panel::framed(compass_title(hole), Role::Table, drawing, frame.inflate(0.5, 0.5))
}
