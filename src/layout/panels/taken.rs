//! What stands on a drawing already, and words written where they are over nothing of it.

use kurbo::{BezPath, Line, Rect, Shape};

use super::leader::{meet, passes, within};
use crate::layout::drawing::{Drawing, Item, Layer, Pen, Text};

/// Kept free round words, in millimetres.
pub(super) const CLEAR: f64 = 0.5;
/// Kept free beside a leader, in millimetres.
const BESIDE: f64 = 0.3;

/// What words must not be written over.
#[derive(Debug, Clone, Default)]
pub(super) struct Taken {
    pub(super) boxes: Vec<Rect>,
    pub(super) lines: Vec<Line>,
    /// Dashed lines, which words had better not be written over.
    pub(super) guides: Vec<Line>,
    /// Edges of strips, which words had better not be written over either: they are never blanked out.
    pub(super) edges: Vec<Line>,
    /// Of the boxes those that neither a dimension line nor a leader must pass: words, and what is no hole to be measured.
    pub(super) no_lines: Vec<Rect>,
    /// Lines from words to what they belong to.
    pub(super) leaders: Vec<Line>,
}

impl Taken {
    /// What of it reaches into a box.
    pub(super) fn reaching_into(&self, place: Rect) -> Self {
        let boxes = |of: &[Rect]| of.iter().copied().filter(|taken| taken.overlaps(place)).collect();
        let lines = |of: &[Line]| of.iter().copied().filter(|line| passes(*line, place)).collect();
        Self {
            boxes: boxes(&self.boxes),
            lines: lines(&self.lines),
            guides: lines(&self.guides),
            edges: lines(&self.edges),
            no_lines: boxes(&self.no_lines),
            leaders: lines(&self.leaders),
        }
    }

    pub(super) fn add_path(&mut self, path: &BezPath) {
        let lines = path.segments().filter_map(|segment| segment.as_line());
        self.lines.extend(lines);
    }

    pub(super) fn add_words(&mut self, drawing: &Drawing) {
        let words = drawing.on(Layer::Notes).filter(|item| matches!(item, Item::Words(_)));
        let words: Vec<Rect> = words.map(Item::bounds).collect();
        self.no_lines.extend(&words);
        self.boxes.extend(words);
    }

    pub(super) fn add_leader(&mut self, drawing: &mut Drawing, leader: Line) {
        drawing.line(Layer::Notes, Pen::FINE, leader.p0, leader.p1);
        self.leaders.push(leader);
    }

    pub(super) fn is_free(&self, place: Rect) -> bool {
        let place = place.inflate(CLEAR, CLEAR);
        let mut lines = self.lines.iter().chain(&self.leaders);
        !self.boxes.iter().any(|taken| taken.overlaps(place)) && !lines.any(|line| passes(*line, place))
    }

    /// Whether a leader, which ends in `own`, crosses no other and no words.
    pub(super) fn is_free_for_leader(&self, leader: Line, own: Rect) -> bool {
        let mut in_the_way = self.no_lines.iter().filter(|taken| !taken.overlaps(own));
        !in_the_way.any(|taken| passes(leader, taken.inflate(BESIDE, BESIDE)))
            && !self.leaders.iter().any(|other| meet(*other, leader))
    }

    pub(super) fn is_over_guide(&self, place: Rect) -> bool {
        self.guides.iter().any(|guide| passes(*guide, place))
    }

    pub(super) fn is_over_edge(&self, place: Rect) -> bool {
        self.edges.iter().any(|edge| passes(*edge, place))
    }

    /// Keeps a place for words, and readies it: a dashed line is blanked out, the edge of a strip goes on.
    pub(super) fn make_room(&mut self, drawing: &mut Drawing, place: Rect) {
        self.boxes.push(place);
        self.no_lines.push(place);
        if !self.is_over_guide(place) {
            return;
        }
        drawing.fill(Layer::Notes, 1.0, place);
        for edge in self.edges.iter().filter_map(|edge| within(*edge, place)) {
            drawing.line(Layer::Notes, Pen::FINE, edge.p0, edge.p1);
        }
    }

    /// Writes the first of some words that are over nothing, if there are such; else the first over no more than the edge of
    /// a strip; else over no more than a guide.
    pub(super) fn write_first_free(&mut self, drawing: &mut Drawing, texts: impl Iterator<Item = Text>) -> bool {
        let free = texts.filter(|text| self.is_free(text.bounds()));
        let best = free.min_by_key(|text| (self.is_over_guide(text.bounds()), self.is_over_edge(text.bounds())));
        let Some(text) = best else {
            return false;
        };
        self.make_room(drawing, text.bounds());
        drawing.note(text);
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A dashed line across and a strip's edge up and down, and words over one of them or both.
    #[test]
    fn words_blank_out_a_dashed_line_and_never_the_edge_of_a_strip() {
        let across = Line::new((-50.0, 1.0), (50.0, 1.0));
        let upright = Line::new((3.0, -50.0), (3.0, 50.0));
        let place = Rect::new(0.0, 0.0, 10.0, 3.0);
        for (guides, edges, drawn) in [
            (vec![], vec![upright], vec![]),
            (vec![across], vec![], vec![place]),
            (vec![across], vec![upright], vec![place, Rect::new(3.0, 0.0, 3.0, 3.0)]),
        ] {
            let mut taken = Taken {
                guides,
                edges,
                ..Taken::default()
            };
            let mut drawing = Drawing::default();
            taken.make_room(&mut drawing, place);
            let bounds = drawing.items.iter().map(|(_, item)| match item {
                Item::Stroke(path, _) => path.bounding_box(),
                item => item.bounds(),
            });
            assert_eq!(bounds.collect::<Vec<_>>(), drawn);
            assert!(!taken.is_free(place));
        }
    }

    #[test]
    fn words_keep_off_dashed_lines_and_edges_as_long_as_there_is_room() {
        let taken = || Taken {
            guides: vec![Line::new((0.0, 0.0), (0.0, 100.0))],
            edges: vec![Line::new((50.0, 0.0), (50.0, 100.0))],
            ..Taken::default()
        };
        let at = |x: f64| Text::new((x, 50.0), 9.0, "words");
        for (places, best) in [
            ([-5.0, 45.0, 20.0], 20.0),
            ([-5.0, 45.0, -4.0], 45.0),
            ([-5.0, -4.0, -3.0], -5.0),
        ] {
            let mut drawing = Drawing::default();
            assert!(taken().write_first_free(&mut drawing, places.into_iter().map(at)));
            let written = drawing.items.iter().find_map(|(_, item)| match item {
                Item::Words(text) => Some(text.at.x),
                _ => None,
            });
            assert_eq!(written, Some(best));
        }
    }
}
