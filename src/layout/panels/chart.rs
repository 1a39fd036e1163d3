//! A chart of lengths over the azimuth.

use kurbo::{BezPath, Point, Rect};

use crate::layout::drawing::{Align, Drawing, Layer, Pen, Text};
use crate::layout::label::SMALL_PT;
use crate::layout::panel::{Panel, Role};
use crate::measure::{MM_PER_INCH, Units};
use crate::plan::CROWN_LINES;

/// The size of the field in millimetres.
const WIDTH: f64 = 120.0;
const HEIGHT: f64 = 48.0;
/// Room left of the field for the scale's numbers, in millimetres.
const SCALE: f64 = 16.0;

/// A line on a chart: what it is, a value for each degree from 0 to 360 in millimetres, and its pen.
pub(super) struct Curve<'a> {
    pub(super) name: String,
    pub(super) values: &'a [f64],
    pub(super) pen: Pen,
}

/// Draws `curves` with a level line for `limit`, in millimetres.
pub(super) fn chart_panel(title: &str, curves: &[Curve<'_>], limit: f64, units: Units) -> Panel {
    let highest = curves
        .iter()
        .flat_map(|curve| curve.values)
        .copied()
        .fold(1.4 * limit, f64::max);
    let unit = match units {
        Units::Millimetres => 1.0,
        Units::Inches => MM_PER_INCH,
    };
    let step = nice_step(highest / unit / 4.0) * unit;
    let top = (highest / step).ceil() * step;
    let at = |degree: f64, value: f64| Point::new(SCALE + degree / 360.0 * WIDTH, value / top * HEIGHT);
    let mut drawing = Drawing::default();
    scale(&mut drawing, &at, step, top, (unit, units));
    for curve in curves {
        let mut path = BezPath::new();
        for (degree, value) in curve.values.iter().enumerate() {
            let place = at(degree as f64, *value);
            if degree == 0 {
                path.move_to(place)
            } else {
                path.line_to(place)
            }
        }
        drawing.stroke(Layer::Notes, curve.pen, &path);
    }
    drawing.line(Layer::Notes, LIMIT, at(0.0, limit), at(360.0, limit));
    drawing.note(Text::new((0.0, HEIGHT + 3.0), 9.0, title).bold());
    let bottom = legend(&mut drawing, curves, &units.show(limit));
    let frame = Rect::new(0.0, bottom - 1.0, SCALE + WIDTH + 4.0, HEIGHT + 7.0);
    Panel::framed(title, Role::Table, drawing, frame)
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
        drawing.note(Text::new((place.x - 1.5, place.y - 0.9), SMALL_PT, words).align(Align::Right));
    }
    let ends = [("front", 360.0)];
    for (name, azimuth) in CROWN_LINES.into_iter().chain(ends) {
        drawing.line(
            Layer::Notes,
            Pen { grey: 0.6, ..Pen::FINE },
            at(azimuth, 0.0),
            at(azimuth, top),
        );
        drawing.note(Text::new((at(azimuth, 0.0).x, -3.6), SMALL_PT, name).align(Align::Middle));
    }
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
        drawing.note(Text::new((SCALE + 16.0, y), SMALL_PT, name));
    }
    y
}
