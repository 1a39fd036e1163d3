//! A picture of tubes in space, drawn from their real geometry, hidden lines left out.

use std::f64::consts::TAU;

use glam::{DVec2, DVec3};
use kurbo::{BezPath, Point, Rect};

use super::clip::clip;
use super::drawing::{Align, Drawing, Layer, Pen, Text};
use super::label::SMALL_PT;
use crate::job::Frame;
use crate::section::{Profile, Section};

/// Places round an edge, and along a line.
const PLACES: usize = 180;

/// A tube between two edges, open at both ends.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TubePiece {
    /// Where it lies.
    pub frame: Frame,
    /// Its outer skin.
    pub section: Section,
    /// Its bore, where it shows at the far end.
    pub bore: Option<Section>,
    /// t of the near edge, evenly round the girth from the front, in millimetres.
    pub near: Vec<f64>,
    /// t of the far edge, likewise.
    pub far: Vec<f64>,
    /// Whether flat lids close it, as a drum's heads do.
    pub(super) is_closed: bool,
    /// What to write at the far end of its front line, where that is drawn.
    pub front_label: Option<&'static str>,
}

/// An edge square to the tube.
pub(super) fn square_edge(t: f64) -> Vec<f64> {
    vec![t]
}

/// Tubes seen from one side.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Picture {
    /// What is seen.
    pub pieces: Vec<TubePiece>,
    /// From the scene to the eye; any length.
    pub eye: DVec3,
    /// What is to be in the middle.
    pub middle: DVec3,
    /// Millimetres of the scene that are shown across.
    pub shown: f64,
    /// Words at places in space, on white.
    pub(super) labels: Vec<(DVec3, String)>,
    /// Under the picture.
    pub caption: String,
}

impl TubePiece {
    fn point(&self, azimuth: f64, t: f64, section: &Section) -> DVec3 {
        let line = section.wall_line(azimuth, 0.0);
        self.frame.origin
            + self.frame.across(line.origin)
            + line.outer * self.frame.outward(line.facing)
            + t * self.frame.axis
    }

    /// A vector as the section sees it.
    fn in_section(&self, vector: DVec3) -> DVec2 {
        DVec2::new(vector.dot(self.frame.front), vector.dot(self.frame.right))
    }

    /// Whether a ray from `from` towards the eye passes through the wall further on than `clear`.
    fn hides(&self, from: DVec3, eye: DVec3, clear: f64) -> bool {
        if self.is_closed && self.lids_hide(from, eye, clear) {
            return true;
        }
        let (start, way) = (self.in_section(from - self.frame.origin), self.in_section(eye));
        let crossings = self.section.crossings(start, way).into_iter().flatten();
        crossings.filter(|distance| *distance >= clear).any(|distance| {
            let hit = from + distance * eye - self.frame.origin;
            let azimuth = self.section.azimuth_of(self.in_section(hit));
            let t = hit.dot(self.frame.axis);
            t > edge_at(&self.near, azimuth) && t < edge_at(&self.far, azimuth)
        })
    }

    /// The same for the flat lids at its two square edges.
    fn lids_hide(&self, from: DVec3, eye: DVec3, clear: f64) -> bool {
        let along = eye.dot(self.frame.axis);
        [self.near[0], self.far[0]].into_iter().any(|t| {
            let distance = (t - (from - self.frame.origin).dot(self.frame.axis)) / along;
            let hit = from + distance * eye - self.frame.origin;
            let across = hit - hit.dot(self.frame.axis) * self.frame.axis;
            distance > clear && self.section.outside_by(across, self.frame.front, self.frame.right) < 0.0
        })
    }

    /// Its edges, outlines and front line, as places in space, each with whether it is the front line.
    fn lines(&self, eye: DVec3) -> Vec<(Vec<DVec3>, bool)> {
        let round = |edge: &[f64], section: &Section| {
            (0..=PLACES)
                .map(|place| TAU * place as f64 / PLACES as f64)
                .map(|azimuth| self.point(azimuth, edge_at(edge, azimuth), section))
                .collect()
        };
        let along = |azimuth: f64| {
            let (near, far) = (edge_at(&self.near, azimuth), edge_at(&self.far, azimuth));
            (0..=PLACES)
                .map(|place| {
                    let t = near + (far - near) * place as f64 / PLACES as f64;
                    self.point(azimuth, t, &self.section)
                })
                .collect()
        };
        let mut lines: Vec<(Vec<DVec3>, bool)> = vec![
            (round(&self.near, &self.section), false),
            (round(&self.far, &self.section), false),
        ];
        lines.extend(self.bore.map(|bore| (round(&self.far, &bore), false)));
        let outlines = self.section.outlines(self.in_section(eye));
        lines.extend(outlines.into_iter().map(|azimuth| (along(azimuth), false)));
        lines.extend(self.front_label.map(|_| (along(0.0), true)));
        lines
    }
}

/// t of an edge at an azimuth from 0 to a turn, between its places.
fn edge_at(edge: &[f64], azimuth: f64) -> f64 {
    let place = azimuth / TAU * edge.len() as f64;
    let (before, share) = (place.floor(), place.fract());
    let at = |index: usize| edge[index % edge.len()];
    at(before as usize) * (1.0 - share) + at(before as usize + 1) * share
}

impl Picture {
    /// Draws it `width` x `height` millimetres, within a frame.
    pub(super) fn draw(&self, width: f64, height: f64) -> Drawing {
        let eye = self.eye.normalize();
        let right = DVec3::Z.cross(eye).normalize();
        let up = eye.cross(right);
        let scale = width / self.shown;
        let flat = |point: DVec3| {
            let from_middle = point - self.middle;
            Point::new(
                width / 2.0 + scale * from_middle.dot(right),
                height / 2.0 + scale * from_middle.dot(up),
            )
        };
        let mut lines = Drawing::default();
        for piece in &self.pieces {
            // Its own skin begins at the line itself.
            let clear = 2e-3 * piece.section.reach();
            for (places, is_front) in piece.lines(eye) {
                let sees = |place: &DVec3| {
                    !self
                        .pieces
                        .iter()
                        .any(|other| other.hides(*place, eye, clear.max(2e-3 * other.section.reach())))
                };
                let pen = if is_front {
                    Pen::CROWN
                } else {
                    Pen {
                        width_mm: 0.35,
                        ..Pen::PLAIN
                    }
                };
                lines.stroke(Layer::Notes, pen, visible(&places, sees, flat));
            }
            if let Some(label) = piece.front_label {
                let end = flat(piece.point(0.0, edge_at(&piece.far, 0.0), &piece.section));
                let text = Text::new((end.x + 1.5, end.y - 4.0), SMALL_PT, label).bold();
                lines.fill(Layer::Notes, 1.0, text.bounds().inflate(0.4, 0.2));
                lines.note(text);
            }
        }
        for (place, words) in &self.labels {
            let at = flat(*place);
            let text = Text::new((at.x, at.y - 0.95), SMALL_PT, words)
                .bold()
                .align(Align::Middle);
            lines.fill(Layer::Notes, 1.0, text.bounds().inflate(0.3, 0.2));
            lines.note(text);
        }
        let frame = Rect::new(0.0, 0.0, width, height);
        let mut drawing = clip(&lines, frame);
        drawing.stroke(Layer::Notes, Pen::FINE, frame);
        let mut y = 0.0;
        for line in super::text::lines(&self.caption, SMALL_PT, false, width) {
            y -= 3.4;
            drawing.note(Text::new((width / 2.0, y), SMALL_PT, line).align(Align::Middle));
        }
        drawing
    }
}

/// The parts of a line of places that are seen.
fn visible(places: &[DVec3], sees: impl Fn(&DVec3) -> bool, flat: impl Fn(DVec3) -> Point) -> BezPath {
    let mut path = BezPath::new();
    let mut is_down = false;
    let seen: Vec<bool> = places.iter().map(sees).collect();
    for (pair, seen) in places.windows(2).zip(seen.windows(2)) {
        // The ends lie on the skin; the middle of a chord would lie in it.
        if !(seen[0] && seen[1]) {
            is_down = false;
            continue;
        }
        if !is_down {
            path.move_to(flat(pair[0]));
        }
        path.line_to(flat(pair[1]));
        is_down = true;
    }
    path
}
