//! A chart of lengths over the azimuth.

use kurbo::{BezPath, Point, Rect, Vec2};

use crate::job::WhichEnd;
use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::{READ_PT, TITLE_PT};
use crate::layout::panel::{Panel, Role};
use crate::measure::Units;
use crate::plan::CROWN_LINES;

/// The size of the field in millimetres.
const WIDTH: f64 = 120.0;
const HEIGHT: f64 = 30.0;
/// Room left of the field for the scale's numbers, in millimetres.
const SCALE: f64 = 16.0;

/// A line on a chart: what it is, a value for each degree from 0 to 360 in millimetres, and its pen.
pub(super) struct Curve<'a> {
    pub(super) name: String,
    pub(super) values: &'a [f64],
    pub(super) pen: Pen,
}

/// Single places on a chart: what they are, and each azimuth in degrees with its value in millimetres.
pub(super) struct Marked<'a> {
    pub(super) name: &'a str,
    pub(super) places: &'a [(f64, f64)],
}

/// Draws `curves` with a level line for `limit`, in millimetres, from the seam at `seam_deg` to the right as on the wrap.
pub(super) fn chart_panel(title: &str, curves: &[Curve<'_>], limit: f64, seam_deg: f64, units: Units) -> Panel {
    let none = Marked { name: "", places: &[] };
    marked_chart_panel(title, curves, &none, limit, (seam_deg, WhichEnd::Near), units)
}

/// The same with single places marked. All azimuths grow to the right; those by which the crown lines are named do so at a
/// near end, and at a far one to the left.
pub(super) fn marked_chart_panel(
    title: &str,
    curves: &[Curve<'_>],
    marked: &Marked<'_>,
    limit: f64,
    (seam_deg, which): (f64, WhichEnd),
    units: Units,
) -> Panel {
    let highest = curves
        .iter()
        .flat_map(|curve| curve.values)
        .copied()
        .chain(marked.places.iter().map(|place| place.1))
        .fold(1.4 * limit, f64::max);
    let unit = units.mm();
    let step = nice_step(highest / unit / 4.0) * unit;
    let top = (highest / step).ceil() * step;
    // Degrees to the right of the seam.
    let at = |degree: f64, value: f64| Point::new(SCALE + degree / 360.0 * WIDTH, value / top * HEIGHT);
    let right_of_seam = |azimuth: f64| (azimuth - seam_deg).rem_euclid(360.0);
    let mut drawing = Drawing::default();
    scale(&mut drawing, &at, step, top, (unit, units));
    crown_lines(&mut drawing, &at, |azimuth| right_of_seam(which.turned(azimuth)), top);
    for curve in curves {
        drawing.stroke(Layer::Notes, curve.pen, from_seam(curve.values, seam_deg, &at));
    }
    drawing.line(Layer::Notes, LIMIT, at(0.0, limit), at(360.0, limit));
    drawing.note(Text::new((0.0, HEIGHT + 3.0), TITLE_PT, title).bold());
    for (degree, value) in marked.places {
        cross(&mut drawing, at(right_of_seam(*degree), *value));
    }
    let mut bottom = legend(&mut drawing, curves, &units.show(limit));
    if !marked.places.is_empty() {
        bottom -= 3.8;
        cross(&mut drawing, Point::new(SCALE + 7.0, bottom + 0.9));
        drawing.note(Text::new((SCALE + 16.0, bottom), READ_PT, marked.name));
    }
    let frame = Rect::new(0.0, bottom - 1.0, SCALE + WIDTH + 4.0, HEIGHT + 7.0);
    Panel::framed(title, Role::Table, drawing, frame)
}

/// A cross about a place.
fn cross(drawing: &mut Drawing, place: Point) {
    for arm in [Vec2::new(1.3, 1.3), Vec2::new(1.3, -1.3)] {
        let pen = Pen {
            width_mm: 0.45,
            ..Pen::PLAIN
        };
        drawing.line(Layer::Notes, pen, place - arm, place + arm);
    }
}

const LIMIT: Pen = Pen {
    width_mm: 0.4,
    dash_mm: Some((0.5, 1.0)),
    grey: 0.0,
};

/// 1, 2 or 5 times a power of ten, at least `rough`.
fn nice_step(rough: f64) -> f64 {
    let power = 10f64.powf(rough.max(1e-6).log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * power)
        .find(|step| *step >= rough)
        .unwrap_or(rough)
}

fn scale(drawing: &mut Drawing, at: &impl Fn(f64, f64) -> Point, step: f64, top: f64, (unit, units): (f64, Units)) {
    drawing.stroke(Layer::Notes, Pen::FINE, Rect::from_points(at(0.0, 0.0), at(360.0, top)));
    for mark in 0..=(top / step).round() as usize {
        let value = mark as f64 * step;
        drawing.line(
            Layer::Notes,
            Pen { grey: 0.6, ..Pen::FINE },
            at(0.0, value),
            at(360.0, value),
        );
        let number = (value / unit * 1000.0).round() / 1000.0;
        let words = if mark == 0 {
            format!("0 {}", units.name())
        } else {
            number.to_string()
        };
        let place = at(0.0, value);
        drawing.note(Text::new((place.x - 1.5, place.y - 1.1), READ_PT, words).align(Align::Right));
    }
}

/// The crown lines with their names, the seam's one at both edges.
fn crown_lines(drawing: &mut Drawing, at: &impl Fn(f64, f64) -> Point, right_of_seam: impl Fn(f64) -> f64, top: f64) {
    let places = CROWN_LINES.map(|(name, azimuth)| (name, right_of_seam(azimuth)));
    let at_seam = places.into_iter().filter(|(_, degrees)| *degrees < 1e-9);
    for (name, degrees) in places.into_iter().chain(at_seam.map(|(name, _)| (name, 360.0))) {
        drawing.line(
            Layer::Notes,
            Pen { grey: 0.6, ..Pen::FINE },
            at(degrees, 0.0),
            at(degrees, top),
        );
        drawing.note(Text::new((at(degrees, 0.0).x, -3.6), READ_PT, name).align(Align::Middle));
    }
}

/// A curve of a value for each degree from the front, drawn from the seam round to it.
fn from_seam(values: &[f64], seam_deg: f64, at: &impl Fn(f64, f64) -> Point) -> BezPath {
    let value = |azimuth: f64| {
        let (before, share) = (azimuth.floor() as usize, azimuth.fract());
        values[before % 360] * (1.0 - share) + values[(before + 1) % 360] * share
    };
    let mut path = BezPath::new();
    path.move_to(at(0.0, value(seam_deg.rem_euclid(360.0))));
    // At whole degrees of azimuth, where the values are known, and at the seam again.
    let first = 1.0 - seam_deg.rem_euclid(1.0);
    for step in 0..360 {
        let degrees = (first + f64::from(step)).min(360.0);
        path.line_to(at(degrees, value((seam_deg + degrees).rem_euclid(360.0))));
    }
    path.line_to(at(360.0, value(seam_deg.rem_euclid(360.0))));
    path
}

/// A line for each curve under the chart; gives the y of the last.
fn legend(drawing: &mut Drawing, curves: &[Curve<'_>], limit: &str) -> f64 {
    let mut y = -5.0;
    let limit = (format!("the limit, {limit}"), LIMIT);
    for (name, pen) in curves
        .iter()
        .map(|curve| (curve.name.clone(), curve.pen))
        .chain([limit])
    {
        y -= 3.8;
        drawing.line(Layer::Notes, pen, (SCALE, y + 0.9), (SCALE + 14.0, y + 0.9));
        drawing.note(Text::new((SCALE + 16.0, y), READ_PT, name));
    }
    y
}
