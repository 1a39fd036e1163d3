//! Where things are in each other's way: a heavy cross over everything, hidden or not, and the word beside it.

use kurbo::{Point, Rect};

use super::super::drawing::{Align, Drawing, Layer, Pen, Text};
use super::EDGE;

/// The word, in points.
const CLASH_PT: f64 = 9.0;
/// Half of a cross, in millimetres.
const HALF: f64 = 1.8;
/// From a cross to its word, right or left of it and over or under it, in millimetres.
const ASIDE: [(f64, f64); 6] = [
    (3.0, 0.0),
    (-3.0, 0.0),
    (3.0, 5.5),
    (3.0, -5.5),
    (-3.0, 5.5),
    (-3.0, -5.5),
];
/// So far the leader of a number needs its place to itself, in millimetres.
const CLEAR: f64 = 1.0;

/// The marks of clashes at these places on the picture, and the boxes of their words, which cover few crosses and few of the
/// places that numbers lead to: none, where that can be.
pub(super) fn marks(places: &[Point], numbered: &[Point], frame: Rect) -> (Drawing, Vec<Rect>) {
    let heavy = Pen {
        width_mm: 0.9,
        ..Pen::PLAIN
    };
    let mut drawing = Drawing::default();
    let mut boxes: Vec<Rect> = Vec::new();
    for place in places {
        for rise in [HALF, -HALF] {
            drawing.line(Layer::Notes, heavy, *place - (HALF, rise), *place + (HALF, rise));
        }
    }
    for (index, &place) in places.iter().enumerate() {
        // Of clashes in one place one word is enough.
        if places[..index].iter().any(|told| told.distance(place) < 2.0 * HALF) {
            continue;
        }
        let free = ASIDE.map(|aside| beside(place, aside));
        let free = free
            .into_iter()
            .filter(|(around, _)| around.union(frame) == frame && !boxes.iter().any(|other| other.overlaps(*around)));
        let covered = |around: Rect| {
            let within = |all: &[Point], clear: f64| {
                let around = around.inflate(clear, clear);
                all.iter().filter(|at| around.contains(**at)).count()
            };
            (within(places, HALF), within(numbered, CLEAR))
        };
        if let Some((around, text)) = free.min_by_key(|(around, _)| covered(*around)) {
            drawing.fill(Layer::Notes, 1.0, around);
            drawing.stroke(Layer::Notes, EDGE, around);
            drawing.note(text);
            boxes.push(around);
        }
    }
    (drawing, boxes)
}

/// The word at a place so far from the cross, and its box.
fn beside(place: Point, (right, up): (f64, f64)) -> (Rect, Text) {
    let align = if right < 0.0 { Align::Right } else { Align::Left };
    let at = (place.x + right, place.y + up + 1.5);
    let text = Text::new(at, CLASH_PT, "CLASH").bold().align(align);
    (text.bounds().inflate(0.5, 0.4), text)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Rect = Rect::new(0.0, 0.0, 80.0, 60.0);

    #[test]
    fn the_word_of_a_clash_covers_no_place_that_a_number_leads_to() {
        let place = Point::new(40.0, 30.0);
        let alone = marks(&[place], &[], FRAME).1;
        assert_eq!(alone.len(), 1);
        let mut numbered = vec![alone[0].center()];
        for _ in 1..ASIDE.len() {
            let boxes = marks(&[place], &numbered, FRAME).1;
            assert_eq!(boxes.len(), 1);
            assert!(numbered.iter().all(|at| !boxes[0].inflate(0.9, 0.9).contains(*at)));
            numbered.push(boxes[0].center());
        }
    }
}
