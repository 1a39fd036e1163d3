//! Pictures of things in space, drawn from their real geometry, hidden lines left out.
//!
//! A new kind of thing is a new file with [`Solid`], and a line in this one.

mod ball;
mod numbers;
mod plate;
mod tube_piece;
mod vessel;

use glam::DVec3;
use kurbo::{BezPath, Point, Rect};

pub(super) use ball::Ball;
pub(super) use numbers::Numbered;
pub(super) use plate::Plate;
pub(super) use tube_piece::{TubePiece, square_edge};
pub(super) use vessel::Vessel;

use super::clip::clip;
use super::drawing::{Align, Drawing, Layer, Pen, Text};
use super::label::SMALL_PT;
use super::polyline::{polyline, thinned};

/// Places round an edge, and along a line.
const PLACES: usize = 120;
/// Nobody sees by how much a line is off if it is this, in millimetres on the sheet.
const UNSEEN: f64 = 0.02;
/// A skin that is passed this near the place itself is the one that the place lies on; a share of the reach.
const CLEAR: f64 = 2e-3;

/// Something in space that a picture shows.
pub(super) trait Solid {
    /// Its edges, and its outlines towards an eye in the direction `eye`, a unit vector.
    fn lines(&self, eye: DVec3) -> Vec<LineInSpace>;

    /// Whether it lies between `from` and the eye, further on than `clear` millimetres.
    fn hides(&self, from: DVec3, eye: DVec3, clear: f64) -> bool;

    /// About how large it is across, in millimetres: by this it is told what is near.
    fn reach(&self) -> f64;

    /// What to write beside it, and at which place.
    fn label(&self) -> Option<(DVec3, &'static str)> {
        None
    }
}

/// A line through places in space.
pub(super) struct LineInSpace {
    /// Close enough together that straight pieces between them do.
    places: Vec<DVec3>,
    /// Whether it is only marked on a skin: a front line.
    is_mark: bool,
}

impl LineInSpace {
    fn edge(places: Vec<DVec3>) -> Self {
        Self { places, is_mark: false }
    }

    fn straight(from: DVec3, to: DVec3) -> Self {
        let share = |place: usize| place as f64 / PLACES as f64;
        Self::edge((0..=PLACES).map(|place| from.lerp(to, share(place))).collect())
    }
}

/// Things seen from one side.
pub(super) struct Picture {
    /// What is seen.
    pub solids: Vec<Box<dyn Solid>>,
    /// From the scene to the eye; any length.
    pub eye: DVec3,
    /// What is to be in the middle.
    pub middle: DVec3,
    /// Millimetres of the scene that are shown across.
    pub shown: f64,
    /// Numbers beside what they stand for.
    pub numbers: Vec<Numbered>,
    /// Under the picture.
    pub caption: String,
}

/// Where things of space are on the picture.
struct View {
    eye: DVec3,
    right: DVec3,
    up: DVec3,
}

impl View {
    fn from(eye: DVec3) -> Self {
        let eye = eye.normalize();
        let right = DVec3::Z.cross(eye).normalize();
        Self {
            eye,
            right,
            up: eye.cross(right),
        }
    }

    fn flat(&self, point: DVec3) -> Point {
        Point::new(point.dot(self.right), point.dot(self.up))
    }
}

impl Picture {
    /// The same with all of it in the middle and, with a rim for the numbers, as large as `width` x `height` holds.
    pub(super) fn fitted(mut self, width: f64, height: f64) -> Self {
        const RIM: f64 = 1.16;
        let view = View::from(self.eye);
        let lines = self.solids.iter().flat_map(|solid| solid.lines(view.eye));
        let places = lines.flat_map(|line| line.places);
        let boxes = places.map(|place| Rect::from_center_size(view.flat(place), (0.0, 0.0)));
        if let Some(all) = boxes.reduce(|a, b| a.union(b)) {
            self.middle = all.center().x * view.right + all.center().y * view.up;
            self.shown = (RIM * all.width().max(all.height() * width / height)).max(1.0);
        }
        self
    }

    /// Draws it `width` x `height` millimetres, within a frame.
    pub(super) fn draw(&self, width: f64, height: f64) -> Drawing {
        let view = View::from(self.eye);
        let scale = width / self.shown;
        let flat = |point: DVec3| {
            let from_middle = view.flat(point - self.middle);
            Point::new(
                width / 2.0 + scale * from_middle.x,
                height / 2.0 + scale * from_middle.y,
            )
        };
        let frame = Rect::new(0.0, 0.0, width, height);
        let mut lines = Drawing::default();
        for solid in &self.solids {
            for line in solid.lines(view.eye) {
                let sees = |place: &DVec3| self.is_seen(*place, view.eye, solid.reach());
                let pen = if line.is_mark { Pen::CROWN } else { EDGE };
                lines.stroke(Layer::Notes, pen, visible(&line.places, sees, flat));
            }
            if let Some((place, words)) = solid.label() {
                let end = flat(place);
                let text = Text::new((end.x + 1.5, end.y - 4.0), SMALL_PT, words).bold();
                lines.fill(Layer::Notes, 1.0, text.bounds().inflate(0.4, 0.2));
                lines.note(text);
            }
        }
        let mut drawing = clip(&lines, frame);
        let seen = |place: &DVec3| self.is_seen(*place, view.eye, 0.0);
        numbers::write(&mut drawing, &self.numbers, seen, flat, frame);
        drawing.stroke(Layer::Notes, Pen::FINE, frame);
        let mut y = 0.0;
        for line in super::text::lines(&self.caption, SMALL_PT, false, width) {
            y -= 3.4;
            drawing.note(Text::new((width / 2.0, y), SMALL_PT, line).align(Align::Middle));
        }
        drawing
    }

    /// Whether nothing hides a place on a solid of this reach.
    fn is_seen(&self, place: DVec3, eye: DVec3, reach: f64) -> bool {
        let mut others = self.solids.iter();
        !others.any(|other| other.hides(place, eye, CLEAR * reach.max(other.reach())))
    }
}

const EDGE: Pen = Pen {
    width_mm: 0.35,
    ..Pen::PLAIN
};

/// The parts of a line of places that are seen, to where something begins to hide it.
fn visible(places: &[DVec3], sees: impl Fn(&DVec3) -> bool, flat: impl Fn(DVec3) -> Point) -> BezPath {
    let mut runs: Vec<Vec<Point>> = Vec::new();
    let mut is_down = false;
    let seen: Vec<bool> = places.iter().map(&sees).collect();
    for (pair, seen) in places.windows(2).zip(seen.windows(2)) {
        let (from, to) = match (seen[0], seen[1]) {
            (true, true) => (pair[0], pair[1]),
            (true, false) => (pair[0], last_seen(pair[0], pair[1], &sees)),
            (false, true) => (last_seen(pair[1], pair[0], &sees), pair[1]),
            (false, false) => continue,
        };
        if !is_down {
            runs.push(vec![flat(from)]);
        }
        if let Some(run) = runs.last_mut() {
            run.push(flat(to));
        }
        is_down = seen[1];
    }
    let mut path = BezPath::new();
    for run in runs {
        path.extend(polyline(&thinned(&run, UNSEEN)));
    }
    path
}

/// Between a place that is seen and one that is not. On the way it lies in the skin, by less than what counts as near.
fn last_seen(mut seen: DVec3, mut hidden: DVec3, sees: impl Fn(&DVec3) -> bool) -> DVec3 {
    const HALVINGS: usize = 6;
    for _ in 0..HALVINGS {
        let middle = seen.midpoint(hidden);
        if sees(&middle) {
            seen = middle;
        } else {
            hidden = middle;
        }
    }
    seen
}
