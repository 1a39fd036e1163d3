//! A tube's end at the trial fit for a screen: seen from above with the cut end up and the front towards whoever looks. Outside
//! its skin stands the gap, inside it the metal that comes off, both drawn wider than they are.

use glam::DVec2;
use kurbo::{BezPath, Point, Vec2};

use super::drawing::{Drawing, Layer, Pen};
use super::hatch::hatch;
use super::polyline::polyline;
use crate::plan::TrialPlan;
use crate::section::{Profile, Section};

/// From the axis to the farthest place of the skin, in millimetres of the drawing.
const REACH: f64 = 20.0;
/// As wide is the widest that is shown of a gap.
const WIDEST: f64 = 9.0;
/// A tick at a place where gaps are read, from the skin to either side.
const TICK: f64 = 1.4;
/// How light the gap is, 1 being white.
const GREY: f64 = 0.85;
/// Between the lines over metal that comes off.
const HATCHING: f64 = 0.9;
/// Places round the skin.
const PLACES: usize = 360;

const SKIN: Pen = Pen {
    width_mm: 0.6,
    ..Pen::PLAIN
};
const LIMIT: Pen = Pen {
    width_mm: 0.35,
    dash_mm: Some((0.5, 1.0)),
    grey: 0.0,
};

/// The end of a trial fit, or of any before one is known.
pub fn end_from_above(of: Option<&TrialPlan>) -> Drawing {
    let (section, wall) = of.map_or_else(
        || (Section::round(2.0), 0.08),
        |of| (of.end.end.tube.section, of.end.end.tube.wall_mm),
    );
    let seen = Seen {
        section,
        wall,
        scale: REACH / section.reach(),
    };
    let mut drawing = Drawing::default();
    if let Some(of) = of {
        gap(&mut drawing, &seen, of);
    }
    drawing.stroke(Layer::Notes, SKIN, seen.ring(|_| 0.0));
    let bore = |degree: usize| -seen.scale * seen.thickness(degree);
    drawing.stroke(Layer::Notes, Pen::PLAIN, seen.ring(bore));
    for place in 0..8 {
        let at = |off: f64| seen.at(45 * place, off);
        let tick = if place % 2 == 0 { TICK } else { 0.6 * TICK };
        drawing.line(Layer::Notes, Pen::PLAIN, at(-tick), at(tick));
    }
    drawing
}

/// The gap with what can be welded, what comes off, and what was read.
fn gap(drawing: &mut Drawing, seen: &Seen, of: &TrialPlan) {
    let limit = of.asked.gap_limit_mm;
    let read = of.asked.readings.iter().map(|reading| reading.gap_mm);
    let widest = of.gap_mm.iter().copied().chain(read).fold(limit, f64::max);
    let wide = WIDEST / widest;
    let band = |values: &[f64], sign: f64| {
        let mut area = seen.ring(|_| 0.0);
        area.extend(
            seen.ring(|degree| sign * wide * values[degree % 360].max(0.0))
                .reverse_subpaths(),
        );
        area
    };
    let open = band(&of.gap_mm, 1.0);
    drawing.fill(Layer::Notes, GREY, &open);
    drawing.stroke(Layer::Notes, Pen::PLAIN, &open);
    if of.grind.moves_in_mm > 0.0 {
        let off = band(&of.grind.depths_mm, -1.0);
        drawing.stroke(Layer::Notes, Pen::PLAIN, hatch(&off, HATCHING));
        drawing.stroke(Layer::Notes, Pen::PLAIN, off);
    }
    drawing.stroke(Layer::Notes, LIMIT, seen.ring(|_| wide * limit));
    for reading in &of.asked.readings {
        let at = seen.place(reading.azimuth_deg, wide * reading.gap_mm);
        for arm in [Vec2::new(1.0, 1.0), Vec2::new(1.0, -1.0)] {
            drawing.line(Layer::Notes, SKIN, at - arm, at + arm);
        }
    }
}

/// A section as it is drawn.
struct Seen {
    section: Section,
    wall: f64,
    /// Of the section, not of gaps.
    scale: f64,
}

impl Seen {
    /// A place so far outside the skin, in millimetres of the drawing; the front is below, the right on the right.
    fn place(&self, degrees: f64, off: f64) -> Point {
        let line = self.section.wall_line(degrees.to_radians(), self.wall);
        let way = DVec2::from_angle(line.facing);
        let at = self.scale * (line.origin + line.outer * way) + off * way;
        Point::new(at.y, -at.x)
    }

    fn at(&self, degree: usize, off: f64) -> Point {
        self.place(degree as f64, off)
    }

    fn thickness(&self, degree: usize) -> f64 {
        let line = self.section.wall_line((degree as f64).to_radians(), self.wall);
        line.outer - line.inner
    }

    /// All round, so far outside the skin at each degree.
    fn ring(&self, off: impl Fn(usize) -> f64) -> BezPath {
        let places: Vec<Point> = (0..PLACES).map(|degree| self.at(degree, off(degree))).collect();
        let mut ring = polyline(&places);
        ring.close_path();
        ring
    }
}
