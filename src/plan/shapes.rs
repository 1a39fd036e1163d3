//! Which pieces are made alike.

use std::collections::BTreeMap;
use std::f64::consts::TAU;
use std::sync::Arc;

use crate::job::{End, Piece};
use crate::phrase::Phrase;
use crate::solver::{SolvedPiece, cut_at};

/// Pieces are alike where all round both ends they differ by no more than this, in millimetres.
const LIKE_MM: f64 = 0.01;

/// What must be alike of two pieces that are made alike.
pub(super) struct Shape {
    stock: usize,
    ends: [Phrase; 2],
    /// Those of [`figures`].
    figures: Arc<[f64]>,
}

/// Lengths, what is made, then the cuts at even azimuths, in millimetres.
pub(super) fn figures(piece: &Piece, solved: &SolvedPiece) -> Arc<[f64]> {
    let cuts = |end: &End| -> Vec<f64> {
        let at = |step: u32| cut_at(end, TAU * f64::from(step) / 24.0).map_or(0.0, |cut| cut.t);
        (0..24).map(at).collect()
    };
    let gaps = [&piece.near, &piece.far].map(|end| end.root_gap_mm);
    let made = piece.ends.each_ref().map(|end| f64::from(u8::from(end.is_made)));
    let lengths = vec![
        solved.tip_to_tip_mm,
        piece.length_mm,
        gaps[0],
        gaps[1],
        made[0],
        made[1],
    ];
    [lengths, cuts(&piece.near), cuts(&piece.far)].concat().into()
}

impl Shape {
    /// Of a piece with these [`figures`].
    pub(super) fn new(piece: &Piece, figures: Arc<[f64]>) -> Self {
        Self {
            stock: piece.stock,
            ends: piece.ends.each_ref().map(|end| end.kind.clone()),
            figures,
        }
    }

    fn is_like(&self, other: &Self) -> bool {
        let mut figures = self.figures.iter().zip(other.figures.iter());
        self.stock == other.stock && self.ends == other.ends && figures.all(|(a, b)| (a - b).abs() <= LIKE_MM)
    }
}

/// The kinds of pieces found so far. Pieces that are alike are equally long to within [`LIKE_MM`], so that only kinds in cells of
/// that size next to a piece's own need be looked at.
#[derive(Default)]
pub(super) struct Shapes {
    all: Vec<Shape>,
    by_length: BTreeMap<i64, Vec<usize>>,
}

impl Shapes {
    /// The kind that a shape is of; a new one where it is like none.
    pub(super) fn kind_of(&mut self, shape: Shape) -> usize {
        let cell = (shape.figures[0] / LIKE_MM).floor() as i64;
        let near = (cell - 1..=cell + 1).filter_map(|cell| self.by_length.get(&cell));
        let like = near.flatten().copied().filter(|kind| self.all[*kind].is_like(&shape));
        like.min().unwrap_or_else(|| {
            let kind = self.all.len();
            self.by_length.entry(cell).or_default().push(kind);
            self.all.push(shape);
            kind
        })
    }
}
