//! A hole as it is drawn on a mark-out sheet, and the places round it that its label may have.

use kurbo::{Affine, Point, Rect};

use super::leader::Outline;
use super::taken::CLEAR;
use crate::layout::polyline::thinned;
use crate::plan::{FlatSkin, PlacedHole};

/// Outlines are told by no more places than keep them this true, in millimetres on the sheet.
const TRUE: f64 = 0.005;
/// How far beside, above and below its hole a label may stand with a leader, in millimetres.
const ASIDE: [f64; 5] = [4.0, 8.0, 12.0, 18.0, 26.0];
/// Steps from level with the hole to the farthest above and below it, and how high each is, in millimetres.
const STEPS: i32 = 20;
const STEP: f64 = 1.6;
/// Over and under its hole a label begins above it, ends above it, or stands in one of so many steps between.
const COLUMNS: u32 = 8;

/// Half a cross at a hole's middle, in millimetres: past the edge where the skin is slit too.
pub(super) const CROSS: f64 = 1.0;

/// A hole on the sheet.
pub(super) struct Marked<'a> {
    /// Whole, or what lies on either side of the slit, as it is drawn.
    pub(super) parts: Vec<Vec<Point>>,
    /// The same, with fewer places.
    pub(super) outlines: Vec<Outline>,
    pub(super) hole: &'a PlacedHole,
    pub(super) middle: Point,
    /// Round to the zero line, and along to the end, or to what on a tube it is measured from.
    pub(super) measured: [Vec<Point>; 2],
}

impl<'a> Marked<'a> {
    pub(super) fn new(parts: Vec<Vec<Point>>, hole: &'a PlacedHole, flat: &FlatSkin<'_>, to_sheet: Affine) -> Self {
        let on_sheet =
            |places: Vec<Point>| -> Vec<Point> { places.into_iter().map(|place| to_sheet * place).collect() };
        let [round, mut along] = flat.measured_to(hole.middle);
        if let Some((datum, foot)) = hole.datum.zip(along.last_mut()) {
            foot.y = datum.along_mm;
        }
        let measured = [round, along];
        let parts: Vec<Vec<Point>> = parts.into_iter().map(on_sheet).collect();
        Self {
            outlines: parts.iter().map(|part| Outline::new(thinned(part, TRUE))).collect(),
            parts,
            hole,
            middle: to_sheet * hole.middle,
            measured: measured.map(on_sheet),
        }
    }

    /// The part with the middle, by its place among the parts.
    pub(super) fn main(&self) -> usize {
        let is_main = |part: &Outline| part.around.inflate(1e-6, 1e-6).contains(self.middle);
        self.outlines.iter().position(is_main).unwrap_or(0)
    }

    /// Where a leader to a part leads: the hole's middle, or the part's.
    pub(super) fn middle_of(&self, part: usize) -> Point {
        if part == self.main() {
            self.middle
        } else {
            self.outlines[part].around.center()
        }
    }

    /// Where a label of a size may stand by a part, the likeliest first: beside it, off the lines that lead from the middle; and
    /// farther off on all sides.
    pub(super) fn places(&self, part: usize, size: (f64, f64)) -> (Vec<Rect>, impl Iterator<Item = Rect> + use<>) {
        let (around, middle) = (self.outlines[part].around, self.middle_of(part));
        let at = move |(x, y)| Rect::new(x, y, x + size.0, y + size.1);
        let near = beside(around, middle, size, self.hole.round_mm < 0.0);
        (
            near.into_iter().map(at).collect(),
            farther(around, middle, size).map(at),
        )
    }
}

/// The lower left corners of labels close to a hole.
fn beside(around: Rect, middle: Point, (width, height): (f64, f64), is_left: bool) -> Vec<(f64, f64)> {
    let off = CLEAR + 0.2;
    let right = around.x1.max(middle.x + CROSS) + off;
    let left = around.x0.min(middle.x - CROSS) - off - width;
    let (above, below) = (around.y1 + off, around.y0 - off - height);
    let (upper, lower) = (middle.y + off, middle.y - off - height);
    let (beside_right, beside_left) = (middle.x + off, middle.x - off - width);
    let (level, centred) = (middle.y - height / 2.0, middle.x - width / 2.0);
    let mut places = vec![(right, level), (left, level)];
    if is_left {
        places.reverse();
    }
    places.extend([
        (right, upper),
        (left, upper),
        (right, lower),
        (left, lower),
        (beside_right, above),
        (beside_left, above),
        (beside_right, below),
        (beside_left, below),
        (right, above),
        (left, above),
        (right, below),
        (left, below),
        (centred, above),
        (centred, below),
    ]);
    // Past a strip that the hole is at.
    let past = [2.0, 4.0, 7.0, 10.0].map(|by| [above + by, below - by]);
    let columns = [right, left, beside_right, beside_left];
    places.extend(past.into_iter().flatten().flat_map(|y| columns.map(|x| (x, y))));
    places
}

/// The lower left corners of labels on either side of a hole and over and under it, so that leaders fan out to them.
fn farther(around: Rect, middle: Point, (width, height): (f64, f64)) -> impl Iterator<Item = (f64, f64)> {
    let heights = (-STEPS..=STEPS).map(move |step| middle.y + STEP * f64::from(step) - height / 2.0);
    heights.flat_map(move |y| {
        let sides = ASIDE.map(|aside| [around.x1 + aside, around.x0 - aside - width]);
        let over = (0..=COLUMNS).map(move |column| middle.x - width * f64::from(column) / f64::from(COLUMNS));
        sides.into_iter().flatten().chain(over).map(move |x| (x, y))
    })
}
