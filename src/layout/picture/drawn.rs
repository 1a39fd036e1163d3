//! What is drawn on a picture, in short pieces, found by where they are.

use kurbo::{Line, ParamCurve, Point, Rect};

use super::super::drawing::{Drawing, Item};

/// Pieces are shorter than a number is wide, in millimetres.
const LONGEST: f64 = 1.0;

/// Pieces of all that is drawn, each with its middle, from the lowest to the highest.
#[derive(Debug, Default)]
pub(super) struct Drawn(Vec<(Point, Line)>);

impl Drawn {
    /// Of all lines of these drawings.
    pub(super) fn of<'d>(drawings: impl Iterator<Item = &'d Drawing>) -> Self {
        let items = drawings.flat_map(|drawing| &drawing.items);
        let paths = items.filter_map(|(_, item)| match item {
            Item::Stroke(path, _) => Some(path.segments()),
            _ => None,
        });
        let pieces = paths.flatten().flat_map(|piece| {
            let line = Line::new(piece.start(), piece.end());
            let count = ((line.p1 - line.p0).hypot() / LONGEST).ceil().max(1.0) as usize;
            let at = move |step: usize| line.eval(step as f64 / count as f64);
            (0..count).map(move |step| Line::new(at(step), at(step + 1)))
        });
        pieces.collect()
    }

    /// The pieces whose middles are in a box.
    pub(super) fn within(&self, around: Rect) -> impl Iterator<Item = Line> {
        let from = self.0.partition_point(|(middle, _)| middle.y < around.y0);
        let to = self.0.partition_point(|(middle, _)| middle.y < around.y1);
        let level = self.0[from..to.max(from)].iter();
        level.filter_map(move |(middle, piece)| (around.x0..around.x1).contains(&middle.x).then_some(*piece))
    }

    /// All pieces that come into a box, and some that only come near it.
    pub(super) fn touching(&self, around: Rect) -> impl Iterator<Item = Line> {
        self.within(around.inflate(LONGEST, LONGEST))
    }
}

impl FromIterator<Line> for Drawn {
    /// Of lines that are as short already.
    fn from_iter<I: IntoIterator<Item = Line>>(pieces: I) -> Self {
        let middles = pieces.into_iter().map(|piece| (piece.p0.midpoint(piece.p1), piece));
        let mut pieces: Vec<(Point, Line)> = middles.collect();
        pieces.sort_unstable_by(|(a, _), (b, _)| a.y.total_cmp(&b.y));
        Self(pieces)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::drawing::{Layer, Pen};

    #[test]
    fn every_piece_in_a_box_is_found_and_no_other() {
        let mut drawing = Drawing::default();
        drawing.stroke(Layer::Notes, Pen::PLAIN, Line::new((0.0, 0.0), (30.0, 40.0)));
        drawing.stroke(Layer::Notes, Pen::PLAIN, Line::new((10.0, 10.0), (10.4, 10.0)));
        let drawn = Drawn::of([&drawing].into_iter());
        assert_eq!(drawn.0.len(), 51);
        // On the slope a piece is 0.6 wide and 0.8 high.
        let found = drawn.within(Rect::new(6.0, 7.0, 12.0, 11.0)).count();
        let middles = (0..50)
            .map(|step| f64::from(step) + 0.5)
            .map(|along| (0.6 * along, 0.8 * along));
        let expected = middles
            .filter(|(x, y)| (6.0..12.0).contains(x) && (7.0..11.0).contains(y))
            .count();
        // And the short one.
        assert_eq!((found, expected), (5, 4));
        assert_eq!(drawn.within(Rect::new(50.0, 0.0, 60.0, 60.0)).count(), 0);
    }
}
