//! Words beside what they are about, without a leader line: the ends of what lies, the front of an end.

use std::f64::consts::TAU;

use glam::DVec3;
use kurbo::{Point, Rect, Vec2};

use super::super::drawing::{Align, Text};
use super::super::label::SMALL_PT;
use super::drawn::Drawn;

/// How far from its place a word may stand, in millimetres; the nearer the better.
const DISTANCES: [f64; 4] = [1.0, 2.0, 3.5, 5.5];
/// In how many directions a place is looked for; the first is down to the right.
const DIRECTIONS: usize = 12;
/// Between a word's box and the lines round it, and between it and the frame, in millimetres: the box is white, and lines are wide.
const CLEAR: f64 = 0.5;
/// A place that a number leads to is as bad to cover as so many pieces of line: the number may be lost.
const AS_LINES: usize = 20;

/// Words and what they are about.
pub(in crate::layout) struct Label {
    /// Places that they may stand beside, the best one first.
    pub(super) places: Vec<DVec3>,
    pub(super) words: &'static str,
}

/// What a picture holds already.
pub(super) struct Held<'a> {
    pub(super) drawn: &'a Drawn,
    /// Where numbers may lead to.
    pub(super) numbered: &'a [Point],
    /// Boxes of other words.
    pub(super) boxes: &'a [Rect],
    /// The picture's.
    pub(super) frame: Rect,
}

/// Words beside one of `places`, and their box: within the frame and on no other words, on as few lines as can be, and as near
/// as can be then. None where there is no such place.
pub(super) fn beside(places: &[Point], words: &str, held: &Held<'_>) -> Option<(Rect, Text)> {
    // Words are measured once, not for each of hundreds of places.
    let own = centred(Point::ORIGIN, words).0;
    let (right, up) = (own.width() / 2.0, own.height() / 2.0);
    let mut best: Option<(usize, Point)> = None;
    for middle in middles(places, (right, up)) {
        let around = own + middle.to_vec2();
        let room = around.inflate(CLEAR, CLEAR);
        let is_free = room.union(held.frame) == held.frame && !held.boxes.iter().any(|other| other.overlaps(around));
        if !is_free {
            continue;
        }
        // No more are counted than make it worse than the best.
        let least = best.map_or(usize::MAX, |(least, _)| least);
        let lines = held.drawn.within(room).take(least).count();
        let covered = lines + AS_LINES * held.numbered.iter().filter(|at| room.contains(**at)).count();
        if covered < least {
            best = Some((covered, middle));
        }
        if covered == 0 {
            break;
        }
    }
    best.map(|(_, middle)| centred(middle, words))
}

/// Where the middle of a box so far from its middle to its sides may be, nearest first.
fn middles(places: &[Point], (right, up): (f64, f64)) -> impl Iterator<Item = Point> {
    let directions = (0..DIRECTIONS).map(|step| Vec2::from_angle(-TAU * (step as f64 / DIRECTIONS as f64 + 0.125)));
    let directions: Vec<Vec2> = directions.collect();
    DISTANCES.into_iter().flat_map(move |distance| {
        let directions = directions.clone();
        places.iter().flat_map(move |at| {
            let directions = directions.clone().into_iter();
            directions.map(move |way| *at + Vec2::new(way.x * (distance + right), way.y * (distance + up)))
        })
    })
}

/// Words about a middle, and their box.
fn centred(middle: Point, words: &str) -> (Rect, Text) {
    let at = (middle.x, middle.y - 0.12 * SMALL_PT);
    let text = Text::new(at, SMALL_PT, words).bold().align(Align::Middle);
    (text.bounds().inflate(0.4, 0.2), text)
}

#[cfg(test)]
mod tests {
    use kurbo::Line;

    use super::*;

    const FRAME: Rect = Rect::new(0.0, 0.0, 60.0, 40.0);
    const PLACE: Point = Point::new(30.0, 20.0);

    fn held<'a>(drawn: &'a Drawn, numbered: &'a [Point], boxes: &'a [Rect]) -> Held<'a> {
        Held {
            drawn,
            numbered,
            boxes,
            frame: FRAME,
        }
    }

    fn around(held: &Held<'_>) -> Option<Rect> {
        beside(&[PLACE], "far end", held).map(|(around, _)| around)
    }

    #[test]
    fn words_stand_on_no_line_and_no_number_and_no_other_words_where_there_is_room() {
        let nothing = Drawn::default();
        let alone = around(&held(&nothing, &[], &[])).expect("there is room");
        let line = Drawn::from_iter([Line::new(alone.center(), alone.center() + Vec2::new(0.3, 0.0))]);
        let off_line = around(&held(&line, &[], &[])).expect("there is room");
        assert!(!off_line.contains(alone.center()));
        let off_number = around(&held(&nothing, &[alone.center()], &[])).expect("there is room");
        assert!(!off_number.contains(alone.center()));
        let off_words = around(&held(&nothing, &[], &[alone])).expect("there is room");
        assert!(!off_words.overlaps(alone));
    }

    #[test]
    fn words_stand_on_a_line_rather_than_on_other_words_and_nowhere_without_room() {
        let at = |x: u32, y: u32| Point::new(f64::from(x), 0.5 * f64::from(y));
        let rows = (0..80).flat_map(|y| (0..60).map(move |x| Line::new(at(x, y), at(x + 1, y))));
        let dense: Drawn = rows.collect();
        assert!(around(&held(&dense, &[], &[])).is_some());
        assert!(around(&held(&Drawn::default(), &[], &[FRAME])).is_none());
    }
}
