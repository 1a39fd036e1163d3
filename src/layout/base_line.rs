//! The name of a base line, written beside it where it stands on nothing.

use kurbo::{BezPath, ParamCurve, PathSeg, Point, Rect, Shape};

use super::drawing::{Align, Drawing, Item, Layer, Pen, Text};
use super::label::READ_PT;

/// What it is called on every wrap.
pub(super) const BASE_LINE: &str = "BASE LINE";

/// How far over or under the line its name may stand, in millimetres: past its numbers first, then where they would be.
const HEIGHTS: [f64; 4] = [6.6, -8.5, 2.9, -5.3];
/// From one place that is tried to the next along the line, in millimetres.
const STEP: f64 = 2.0;
/// Kept free on both sides of the name, and over and under it, in millimetres.
const ASIDE: f64 = 1.2;
const OVER: f64 = 0.4;

/// Names the level base line at `y` within a rectangle, as near to its middle as there is room; whether there was some.
pub(super) fn name_base_line(drawing: &mut Drawing, y: f64, within: Rect) -> bool {
    let obstacles = Obstacles::of(drawing);
    let half = Text::new((0.0, 0.0), READ_PT, BASE_LINE).width() / 2.0 + ASIDE;
    let middle = within.center().x;
    let steps = ((within.width() / 2.0 - half) / STEP).max(-1.0);
    if steps < 0.0 {
        return false;
    }
    let asides = (0..=steps as usize).flat_map(|step| [1.0, -1.0].map(|side| side * step as f64 * STEP));
    let texts = asides.flat_map(|aside| HEIGHTS.map(|height| ((middle + aside), height)));
    let texts = texts.map(|(x, height)| Text::new((x, y + height), READ_PT, BASE_LINE).align(Align::Middle));
    let is_free = |text: &Text, lines: &[BezPath]| {
        let place = text.bounds().inflate(ASIDE, OVER);
        let is_inside = within.union(place) == within;
        is_inside && obstacles.leave_free(place, y) && !lines.iter().any(|line| meets(line, place))
    };
    let off_all = texts.clone().find(|text| is_free(text, &obstacles.along));
    let Some(text) = off_all.or_else(|| texts.clone().find(|text| is_free(text, &[]))) else {
        return false;
    };
    drawing.fill(Layer::CrownLines, 1.0, text.bounds().inflate(0.5, 0.3));
    drawing.words(Layer::CrownLines, text);
    true
}

/// What the name keeps off.
struct Obstacles {
    words: Vec<Rect>,
    /// Cuts, waste and whatever else parts the name from its line.
    walls: Vec<BezPath>,
    /// Crown lines and folds, which may be broken for words.
    along: Vec<BezPath>,
}

impl Obstacles {
    fn of(drawing: &Drawing) -> Self {
        let (mut words, mut walls, mut along) = (Vec::new(), Vec::new(), Vec::new());
        for (layer, item) in &drawing.items {
            match item {
                Item::Words(text) => words.push(text.bounds()),
                Item::Stroke(path, _) if *layer == Layer::CrownLines => along.push(path.clone()),
                // Ticks are on the line itself.
                Item::Stroke(_, pen) if *pen == Pen::FINE => {}
                Item::Stroke(path, _) => walls.push(path.clone()),
                Item::Fill(..) => {}
            }
        }
        Self { words, walls, along }
    }

    /// Whether a place is free of words, and nothing stands between it and the line at `y`.
    fn leave_free(&self, place: Rect, y: f64) -> bool {
        /// What is nearer to the line is the line itself, in millimetres.
        const LINE: f64 = 0.2;
        let nearest = if place.center().y > y { y + LINE } else { y - LINE };
        let to_line = place.union_pt(Point::new(place.x0, nearest));
        !self.words.iter().any(|words| words.overlaps(place)) && !self.walls.iter().any(|wall| meets(wall, to_line))
    }
}

/// Whether a path comes into a rectangle.
fn meets(path: &BezPath, place: Rect) -> bool {
    const CLOSE: f64 = 0.5;
    let comes_in = |part: PathSeg| {
        let bounds = part.bounding_box();
        let places = ((bounds.width() + bounds.height()) / CLOSE).ceil().max(1.0) as usize;
        let is_near = bounds.x1 >= place.x0 && bounds.x0 <= place.x1 && bounds.y1 >= place.y0 && bounds.y0 <= place.y1;
        is_near && (0..=places).any(|at| place.contains(part.eval(at as f64 / places as f64)))
    };
    path.segments().any(comes_in)
}
