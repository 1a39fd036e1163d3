//! A picture, part for part.

use glam::DVec3;
use kurbo::{Circle, Point, Size};

use super::super::drawing::{Drawing, Layer, Pen};
use super::Projection;
use crate::body::Site;

/// What a part of a picture shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Part {
    /// What tubes land on.
    Body {
        /// Its name.
        name: String,
    },
    /// A piece of tube.
    Piece {
        /// The name of its tube.
        tube: String,
        /// Its number in the cut list; of a single joint from 1.
        number: usize,
    },
    /// The number beside a piece, with its leader line.
    Balloon {
        /// The name of the piece's tube.
        tube: String,
        /// The piece's number in the cut list.
        number: usize,
    },
    /// Where a tube lands, to be taken hold of.
    Handle {
        /// Which, as a page says it.
        point: String,
    },
    /// Frame and caption.
    Words,
}

/// What is seen of a scene.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// Its parts, in the order in which they are drawn. Millimetres, y up, the frame's lower left corner at 0.
    pub parts: Vec<(Part, Drawing)>,
    /// The frame's, in millimetres. The caption stands below it.
    pub size: Size,
    /// A ball about what it shows, its middle and its radius in millimetres, as [`super::Look::frame`] takes it.
    pub frame: Option<(DVec3, f64)>,
    pub(super) onto: Projection,
}

impl Seen {
    /// Where a place of the scene is on the picture.
    pub fn flat(&self, place: DVec3) -> Point {
        self.onto.flat(place)
    }

    /// A dot by which a place of a skin is taken hold of, where it is within the frame; a ring where it is on the far side.
    pub fn add_handle(&mut self, Site { point: place, normal }: Site, point: String) {
        const RADIUS: f64 = 1.7;
        let at = self.flat(place);
        if !self.size.to_rect().contains(at) {
            return;
        }
        let mut drawing = Drawing::default();
        let dot = Circle::new(at, RADIUS);
        let is_behind = normal.dot(self.onto.view.eye) < 0.0;
        drawing.fill(Layer::Notes, if is_behind { 1.0 } else { 0.0 }, dot);
        if is_behind {
            drawing.stroke(Layer::Notes, Pen::CUT, dot);
        }
        self.parts.push((Part::Handle { point }, drawing));
    }

    /// All of it as one drawing.
    pub fn drawing(&self) -> Drawing {
        let items = self.parts.iter().flat_map(|(_, drawing)| drawing.items.iter().cloned());
        Drawing { items: items.collect() }
    }
}
