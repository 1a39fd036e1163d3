//! Pictures of things in space from any side, drawn from their real geometry, hidden lines left out.
//!
//! A new kind of thing is a new file with [`Solid`], and a line in this one.

mod ball;
mod clashes;
mod dome;
mod drawn;
mod eye;
mod labels;
mod line;
mod numbers;
mod passing;
mod plate;
mod ring;
mod seen;
mod sight;
mod sights;
mod traced;
mod tube_piece;
mod vessel;

use glam::DVec3;
use kurbo::{Line, Point, Rect, Size};

pub(super) use ball::Ball;
pub(super) use dome::Dome;
pub use eye::Eye;
pub(super) use labels::Label;
pub(super) use numbers::Numbered;
pub(super) use plate::Plate;
pub(super) use ring::Ring;
pub use seen::{Part, Seen};
pub use sights::Sights;
pub(super) use tube_piece::{CutBy, Drilled, TubePiece, flat_cut};
pub(super) use vessel::Vessel;

use super::clip::clip;
use super::drawing::{Align, Drawing, Layer, Pen, Text};
use super::label::SMALL_PT;
use drawn::Drawn;
use eye::View;
use labels::Held;
use line::{Kind, LineInSpace};
use passing::{Passing, Which};
use sight::Sight;
use traced::Traced;

/// Round what is shown a rim is left for numbers.
const RIM: f64 = 1.16;

/// To the eye, as a unit vector.
pub(super) fn direction(eye: Eye) -> DVec3 {
    View::from(eye).eye
}

/// Something in space that a picture shows.
pub(super) trait Solid {
    /// Its edges, and its outlines towards an eye in the direction `eye`, a unit vector.
    fn lines(&self, eye: DVec3) -> Vec<LineInSpace<'_>>;

    /// Whether it lies between a place and the eye, more than skin deep.
    fn hides(&self, sight: &Sight) -> bool;

    /// A ball about all of it: its middle, and its radius in millimetres.
    fn ball(&self) -> (DVec3, f64);

    /// What to write beside it where a place is seen that it is about.
    fn labels(&self, _eye: DVec3) -> Vec<Label> {
        Vec::new()
    }
}

/// How a picture is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// From where.
    pub eye: Eye,
    /// How wide and high the picture is, without its caption, in millimetres.
    pub size: Size,
    /// 1 shows all of it, 2 half as much across; above 0.
    pub zoom: f64,
    /// How far what is shown is moved to the right and up, in millimetres on the picture.
    pub moved: kurbo::Vec2,
    /// Whether it is as large from everywhere, for a picture that is turned; else as large as there is room.
    pub is_steady: bool,
    /// What is fitted into the picture, a ball, its middle and its radius in millimetres, where it isn't all that there is: so a
    /// picture stays where it was while what it shows changes.
    pub frame: Option<(DVec3, f64)>,
    /// Whether tubes are drawn off what they land on, so that cut and hole are seen; only of single joints.
    pub is_apart: bool,
}

impl Look {
    /// All of it, as large as there is room.
    pub fn new(eye: Eye, width: f64, height: f64) -> Self {
        Self {
            eye,
            size: Size::new(width, height),
            zoom: 1.0,
            moved: kurbo::Vec2::ZERO,
            is_steady: false,
            frame: None,
            is_apart: false,
        }
    }
}

/// Things to be looked at.
pub(super) struct Scene {
    /// Each with what it is.
    pub things: Vec<(Part, Box<dyn Solid>)>,
    /// What is shown where that isn't all: a ball, its middle and its radius in millimetres.
    pub shown: Option<(DVec3, f64)>,
    /// Numbers beside what they stand for, each with what it is.
    pub numbers: Vec<(Part, Numbered)>,
    /// Where things are in each other's way.
    pub clashes: Vec<DVec3>,
    /// Under the picture.
    pub caption: String,
}

/// From space to the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Projection {
    view: View,
    /// What of the scene is at the sheet's origin, in millimetres right and up.
    origin: Point,
    /// Millimetres on the sheet for one of the scene.
    scale: f64,
}

impl Projection {
    #[inline]
    fn flat(&self, place: DVec3) -> Point {
        let at = self.view.flat(place) - self.origin;
        Point::new(self.scale * at.x, self.scale * at.y)
    }

    /// Of a ball of the scene, its middle and radius, fitted into the picture with `rim` round it, 1 being none.
    fn of_ball(look: &Look, view: View, (middle, radius): (DVec3, f64), rim: f64) -> Self {
        let fits = look.size.width.min(look.size.height) / (2.0 * radius);
        Self::fitted(look, view, view.flat(middle), fits / rim)
    }

    /// The middle of the scene, in millimetres right and up, in the middle of the picture; `fits` is the scale at no zoom.
    fn fitted(look: &Look, view: View, middle: Point, fits: f64) -> Self {
        // Of a mere point it is no matter how large it is shown.
        let scale = if fits.is_finite() { look.zoom * fits } else { 1.0 };
        let to_middle = (look.size.to_vec2() / 2.0 + look.moved) / scale;
        Self {
            view,
            origin: middle - to_middle,
            scale,
        }
    }
}

impl Scene {
    /// The scene as it is seen, within a frame, its caption below.
    pub(super) fn seen(&self, look: &Look) -> Seen {
        let view = View::from(look.eye);
        let frame = look.size.to_rect();
        let lines: Vec<Vec<LineInSpace<'_>>> = self.things.iter().map(|(_, solid)| solid.lines(view.eye)).collect();
        let onto = self.projection(look, view, &lines);
        let hiding = Hiding::new(&self.things, &onto);
        let trace = |line| Traced::new(line, |place| onto.flat(place), frame);
        let traced: Vec<Vec<Traced<'_>>> = lines.iter().map(|lines| lines.iter().map(trace).collect()).collect();
        let passing = Passing::new(traced.iter().flatten(), frame);
        let mut numbered = 0..;
        let mut parts: Vec<(Part, Drawing)> = Vec::new();
        for ((part, _), lines) in self.things.iter().zip(&traced) {
            let mut drawing = Drawing::default();
            for (traced, line) in lines.iter().zip(&mut numbered) {
                let is_passed = |stretch, ends| passing.is_passed(Which { line, stretch }, ends);
                draw(&mut drawing, traced, is_passed, &hiding, frame);
            }
            parts.push((part.clone(), clip(&drawing, frame)));
        }
        self.write(&mut parts, &hiding.of(frame), frame);
        parts.push((Part::Words, self.frame_and_caption(frame)));
        Seen {
            parts,
            size: look.size,
            frame: look.frame.or_else(|| self.ball()),
            onto,
        }
    }

    /// Puts all words over what is drawn, none on another: those of clashes first, which have the fewest places, numbers last, which
    /// have the most.
    fn write(&self, parts: &mut Vec<(Part, Drawing)>, hiding: &Hiding<'_>, frame: Rect) {
        let sees = |place: DVec3| !hiding.hides(place);
        let flat = |place: DVec3| hiding.onto.flat(place);
        let numbers = || self.numbers.iter().map(|(_, number)| number);
        let numbered: Vec<Point> = numbers::seen(numbers(), sees, flat, (frame, &[]))
            .map(|(_, at, _)| at)
            .collect();
        let crosses: Vec<Point> = self.clashes.iter().map(|place| flat(*place)).collect();
        let (marks, mut boxes) = clashes::marks(&crosses, &numbered, frame);
        parts.push((Part::Words, clip(&marks, frame)));
        let drawn = Drawn::of(parts.iter().map(|(_, drawing)| drawing));
        for (part, solid) in &self.things {
            for Label { places, words } in solid.labels(hiding.eye) {
                let seen = places.into_iter().filter(|place| sees(*place)).map(flat);
                let seen: Vec<Point> = seen.filter(|at| frame.contains(*at)).collect();
                let held = Held {
                    drawn: &drawn,
                    numbered: &numbered,
                    boxes: &boxes,
                    frame,
                };
                let Some((around, text)) = labels::beside(&seen, words, &held) else {
                    continue;
                };
                let mut drawing = Drawing::default();
                drawing.fill(Layer::Notes, 1.0, around);
                drawing.note(text);
                parts.push((part.clone(), drawing));
                boxes.push(around);
            }
        }
        let written = numbers::write(&drawn, numbers(), sees, flat, (frame, &boxes)).into_iter();
        parts.extend(written.map(|(index, drawing)| (self.numbers[index].0.clone(), drawing)));
    }

    /// How much of each numbered tube is to be seen from `eye`: 1 where all of it is and it lies across the way to the eye, less
    /// where something hides it or it points at the eye, 0 where nothing is seen of it but an end.
    pub(super) fn shown(&self, eye: Eye) -> Vec<f64> {
        let Some(ball) = self.ball() else { return Vec::new() };
        let view = View::from(eye);
        let onto = Projection::of_ball(&Look::new(eye, 1.0, 1.0), view, ball, 1.0);
        let hiding = Hiding::new(&self.things, &onto);
        let shown = self.numbers.iter().map(|(_, number)| {
            let places = &number.places;
            let seen = places.iter().filter(|place| !hiding.hides(**place)).count();
            // The last two are the farthest apart.
            let along = match places.as_slice() {
                [.., one, other] => (*other - *one).normalize_or_zero(),
                _ => DVec3::ZERO,
            };
            let across = (along - along.dot(view.eye) * view.eye).length();
            across * seen as f64 / places.len().max(1) as f64
        });
        shown.collect()
    }

    fn frame_and_caption(&self, frame: Rect) -> Drawing {
        let mut drawing = Drawing::default();
        drawing.stroke(Layer::Notes, Pen::FINE, frame);
        let mut y = 0.0;
        for line in super::text::lines(&self.caption, SMALL_PT, false, frame.width()) {
            y -= 3.4;
            drawing.note(Text::new((frame.width() / 2.0, y), SMALL_PT, line).align(Align::Middle));
        }
        drawing
    }

    fn projection(&self, look: &Look, view: View, lines: &[Vec<LineInSpace<'_>>]) -> Projection {
        let steady = || self.ball().filter(|_| look.is_steady);
        if let Some(ball) = self.shown {
            return Projection::of_ball(look, view, ball, 1.0);
        }
        if let Some(ball) = look.frame.or_else(steady) {
            return Projection::of_ball(look, view, ball, RIM);
        }
        let places = lines.iter().flatten().flat_map(LineInSpace::shape);
        let boxes = places.map(|place| Rect::from_center_size(view.flat(place), Size::ZERO));
        let all = boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
        let fits = (look.size.width / all.width()).min(look.size.height / all.height());
        Projection::fitted(look, view, all.center(), fits / RIM)
    }

    /// A ball about everything.
    fn ball(&self) -> Option<(DVec3, f64)> {
        let balls: Vec<(DVec3, f64)> = self.things.iter().map(|(_, solid)| solid.ball()).collect();
        let boxes = balls
            .iter()
            .map(|(middle, radius)| (*middle - *radius, *middle + *radius));
        let (low, high) = boxes.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
        let middle = 0.5 * (low + high);
        let reaches = balls.iter().map(|(other, radius)| (*other - middle).length() + radius);
        Some((middle, reaches.fold(0.0, f64::max)))
    }
}

/// What may hide a place.
struct Hiding<'a> {
    shadows: Vec<Shadow<'a>>,
    eye: DVec3,
    onto: &'a Projection,
}

/// A solid, and within which circle on the sheet it hides anything.
#[derive(Clone, Copy)]
struct Shadow<'a> {
    solid: &'a dyn Solid,
    middle: Point,
    radius: f64,
    /// How far towards the eye it reaches.
    front: f64,
}

impl<'a> Hiding<'a> {
    fn new(things: &'a [(Part, Box<dyn Solid>)], onto: &'a Projection) -> Self {
        let solids = things.iter().map(|(_, solid)| {
            let (middle, radius) = solid.ball();
            Shadow {
                solid: solid.as_ref(),
                middle: onto.flat(middle),
                radius: onto.scale * radius,
                front: middle.dot(onto.view.eye) + radius,
            }
        });
        Self {
            shadows: solids.collect(),
            eye: onto.view.eye,
            onto,
        }
    }

    /// Only what may hide something within a box on the sheet.
    fn of(&self, window: Rect) -> Self {
        let near = self.shadows.iter().filter(|ball| {
            let reach = (ball.radius, ball.radius);
            Rect::from_center_size(ball.middle, (2.0 * reach.0, 2.0 * reach.1)).overlaps(window)
        });
        Self {
            shadows: near.copied().collect(),
            ..*self
        }
    }

    fn hides(&self, place: DVec3) -> bool {
        self.first_that_hides(place).is_some()
    }

    /// By its place among what may hide.
    fn first_that_hides(&self, place: DVec3) -> Option<usize> {
        let (at, depth) = (self.onto.flat(place), place.dot(self.eye));
        let sight = Sight {
            from: place,
            eye: self.eye,
        };
        self.shadows.iter().position(|ball| {
            let is_near = ball.front > depth && at.distance_squared(ball.middle) < ball.radius * ball.radius;
            is_near && ball.solid.hides(&sight)
        })
    }
}

/// The parts of a line that are seen within the frame.
fn draw(
    drawing: &mut Drawing,
    traced: &Traced<'_>,
    is_passed: impl Fn(usize, Line) -> bool,
    hiding: &Hiding<'_>,
    frame: Rect,
) {
    let pen = match traced.line().kind {
        Kind::Edge => EDGE,
        Kind::Cut => CUT_EDGE,
        Kind::Mark => Pen::CROWN,
    };
    let Some(about) = traced.bounds() else { return };
    let hiding = hiding.of(about.inflate(1.0, 1.0));
    let window = frame.inflate(0.5, 0.5);
    let flat = |place: DVec3| hiding.onto.flat(place);
    let hidden_by = |place: DVec3| {
        if window.contains(flat(place)) {
            hiding.first_that_hides(place)
        } else {
            Some(usize::MAX)
        }
    };
    let path = traced.seen(hidden_by, is_passed, flat);
    if !path.is_empty() {
        drawing.stroke(Layer::Notes, pen, path);
    }
}

const EDGE: Pen = Pen {
    width_mm: 0.35,
    ..Pen::PLAIN
};

/// Bold, and not as bold as the line on a pattern that is cut along.
const CUT_EDGE: Pen = Pen {
    width_mm: 0.6,
    ..Pen::PLAIN
};
