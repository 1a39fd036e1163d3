//! Holes that are marked by compass: a drawing to scale, and the openings.

use kurbo::{BezPath, Circle, Line, Point, Rect, Shape, Vec2};

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

/// A hole's drawing, with what its tube clashes with, and its table.
pub(super) fn panels(hole: &CompassHole, clash: Option<String>, units: Units) -> Vec<Panel> {
    let table = compass_table(hole, units);
    vec![
        drawing(hole, clash, units),
        rows_panel(&table.title, &table.heads, &table.rows, &table.under),
    ]
}

/// What these are called.
pub(super) fn names(hole: &CompassHole, units: Units) -> [String; 2] {
    [compass_title(hole), compass_table(hole, units).title]
}

fn way(angle: f64) -> Vec2 {
    Vec2::new(angle.sin(), angle.cos())
}

fn drawing(hole: &CompassHole, clash: Option<String>, units: Units) -> Panel {
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
    let marks = ways_marked(&mut drawing, hole, reach);
    let half = (reach + 12.0).max(44.0).max(marks.x1.max(-marks.x0) + 1.5);
    // Numbers stand on every side, the words of ways on some.
    let numbers = reach - PAST + 6.0;
    let (top, bottom) = (numbers.max(marks.y1 + 1.5), (-numbers).min(marks.y0 - 1.5));
    let mut words = vec![Paragraph::strong(compass_title(hole), TITLE_PT)];
    words.extend(clash.map(|clash| Paragraph::strong(clash, READ_PT)));
    words.extend(compass_place(hole, units).into_iter().map(Paragraph::plain));
    words.push(Paragraph::plain(format!(
        "Drawn to scale, 1 : {scale}, seen from outside: not a pattern. Rays: as in the table."
    )));
    let foot = bottom;
    let height = write_column(&mut drawing, Point::new(-half + 2.0, foot), 2.0 * half - 4.0, &words);
    let frame = Rect::new(-half, foot - height - 3.0, half, top);
    drawing.stroke(Layer::Notes, Pen::FINE, frame);
    Panel::framed(compass_title(hole), Role::Table, drawing, frame.inflate(0.5, 0.5))
}

/// The ways to the apex and to zero as lines, that of the FRONT as an arrowhead, each with its word where that is clear of
/// the others'; the words' box.
fn ways_marked(drawing: &mut Drawing, hole: &CompassHole, reach: f64) -> Rect {
    let mut written: Vec<Rect> = Vec::new();
    // Off what is drawn there, and off the other words.
    let mut write = |drawing: &mut Drawing, angle: f64, word: &str, drawn: Rect| {
        written.push(drawn);
        let at = |out: f64| Point::ZERO + (reach + 6.0 + out) * way(angle) - Vec2::new(0.0, 1.2);
        let text = |out: f64| Text::new(at(out), READ_PT, word).align(Align::Middle).bold();
        let is_free = |text: &Text| {
            let place = text.bounds().inflate(0.6, 0.4);
            !written.iter().any(|other| other.overlaps(place))
        };
        let outward = (0..40).map(|step| text(0.5 * f64::from(step)));
        let text = outward.into_iter().find(is_free).unwrap_or_else(|| text(0.0));
        written.push(text.bounds());
        drawing.note(text);
    };
    let (from, to) = (reach - PAST / 2.0, reach + 2.0);
    let apex = hole.apex_deg.map(|apex| (apex.to_radians(), hole.apex.to_uppercase()));
    for (angle, word) in apex.into_iter().chain([(0.0, "ZERO".to_owned())]) {
        let line = Line::new(Point::ZERO + from * way(angle), Point::ZERO + to * way(angle));
        drawing.line(Layer::Notes, Pen::CROWN, line.p0, line.p1);
        write(drawing, angle, &word, line.bounding_box());
    }
    if let Some(front) = hole.front_deg.map(f64::to_radians) {
        let (foot, aside) = (Point::ZERO + from * way(front), 2.4 * way(front).turn_90());
        let mut arrow = BezPath::new();
        arrow.move_to(foot + aside);
        arrow.line_to(Point::ZERO + to * way(front));
        arrow.line_to(foot - aside);
        arrow.close_path();
        let bounds = arrow.bounding_box();
        drawing.fill(Layer::Notes, 0.0, arrow);
        write(drawing, front, "FRONT", bounds);
    }
    written
        .into_iter()
        .reduce(|all, one| all.union(one))
        .unwrap_or_default()
}
