//! A kind of piece of a job, and its row in the cut list.

use super::cut_list::CutRow;
use super::end::PlannedEnd;
use super::marks::Marks;
use crate::job::{End, Piece, SheetOptions};
use crate::solver::{EndCurve, SolvedPiece};

/// A piece of tube.
#[derive(Debug)]
pub struct PlannedPiece {
    /// Its name.
    pub name: String,
    /// How many are made.
    pub quantity: usize,
    /// Along the centre line between its cuts, or from the tangent point to its cut, in millimetres, where it is known.
    pub centre_line_mm: Option<f64>,
    /// From tip to tip, in millimetres, where it is known.
    pub tip_to_tip_mm: Option<f64>,
    /// Each cut's angle off square, in degrees.
    pub cut_off_square_deg: Vec<f64>,
    /// From one end's front to the other's, in degrees, where both have one.
    pub twist_deg: Option<f64>,
}

/// A cut that strays less than this from a square one is square, in millimetres: no saw cuts truer.
const SQUARE: f64 = 0.01;

/// No more bodies than this are named where an equal piece lands on each.
const MOST_BODIES: usize = 3;

/// What the ends of a piece are called.
pub(crate) const SIDES: [&str; 2] = ["start", "end"];
/// A wrap of a whole piece is no longer than this, in millimetres; a longer piece has one for each end.
const LONGEST_WHOLE: f64 = 180.0;

/// A kind of piece: the first of its like, and how many there are.
pub(crate) struct Kind {
    pub(crate) piece: Piece,
    /// What the ends of all its like land on: names, in the order of the pieces.
    pub(crate) bodies: [Vec<String>; 2],
    pub(crate) solved: SolvedPiece,
    pub(crate) quantity: usize,
    /// In the cut list, from 1.
    pub(crate) number: usize,
}

impl Kind {
    /// One more of its like.
    pub(crate) fn count(&mut self, piece: &Piece) {
        self.quantity += 1;
        for (bodies, end) in self.bodies.iter_mut().zip(&piece.ends) {
            let body = end.body.as_ref().filter(|body| !bodies.contains(body));
            bodies.extend(body.cloned());
        }
    }

    /// Its number and name, as on all its sheets.
    pub(crate) fn label(&self) -> String {
        format!("{} {}", self.number, self.piece.name)
    }

    /// Its row in the cut list.
    pub(crate) fn row(&self) -> CutRow {
        CutRow {
            number: self.number,
            name: self.piece.name.clone(),
            quantity: self.quantity,
            stock: self.piece.stock,
            length_mm: self.solved.tip_to_tip_mm,
            ends: self.ends(),
            twist_deg: self.solved.twist_deg,
            patterns: self.patterns(),
        }
    }

    pub(crate) fn planned(&self) -> PlannedPiece {
        PlannedPiece {
            name: self.piece.name.clone(),
            quantity: self.quantity,
            centre_line_mm: Some(self.piece.length_mm),
            tip_to_tip_mm: Some(self.solved.tip_to_tip_mm),
            cut_off_square_deg: self.piece.flat_cuts_deg.iter().flatten().copied().collect(),
            twist_deg: self.solved.twist_deg,
        }
    }

    /// A square end needs no pattern, whatever it lands on.
    pub(crate) fn is_square(&self, end: usize) -> bool {
        let curve = self.curve(end);
        curve.highest.0 - curve.lowest.0 < SQUARE
    }

    pub(crate) fn curve(&self, end: usize) -> &EndCurve {
        if end == 0 { &self.solved.near } else { &self.solved.far }
    }

    /// What each end is, in words.
    pub(crate) fn ends(&self) -> [String; 2] {
        [0, 1].map(|end| {
            let kind = &self.piece.ends[end].kind;
            let words = match self.bodies[end].as_slice() {
                [] => kind.clone(),
                few if few.len() <= MOST_BODIES => format!("{kind} {}", few.join(", ")),
                [first, more @ ..] => format!("{kind} {first} and {} more", more.len()),
            };
            if self.is_square(end) && self.piece.flat_cuts_deg[end].is_none() {
                format!("{words}, cut square")
            } else {
                words
            }
        })
    }

    /// Whether one wrap bears both cuts.
    pub(crate) fn is_on_one_wrap(&self) -> bool {
        self.solved.tip_to_tip_mm <= LONGEST_WHOLE && !(self.is_square(0) && self.is_square(1))
    }

    /// The name of an end's pattern, or of the one that bears both.
    fn pattern(&self, end: usize) -> String {
        let what = if self.is_on_one_wrap() {
            "whole piece"
        } else {
            SIDES[end]
        };
        format!("{}: {what}", self.label())
    }

    /// The names of its patterns.
    fn patterns(&self) -> Vec<String> {
        let mut names: Vec<String> = (0..2)
            .filter(|end| !self.is_square(*end))
            .map(|end| self.pattern(end))
            .collect();
        names.dedup();
        names
    }
}

/// The ends of a piece, as the report has them.
pub(crate) fn piece_ends(kind: &Kind, sheet: &SheetOptions) -> [PlannedEnd; 2] {
    let (piece, solved) = (&kind.piece, &kind.solved);
    let end = |side: usize, end: &End, curve: &EndCurve, runs: f64| {
        let name = format!("{}: {}", kind.label(), SIDES[side]);
        let packed = PlannedEnd::new(&name, end.clone(), curve.clone(), runs, false, sheet);
        let marks = if kind.is_on_one_wrap() {
            Marks::from_base(piece.length_mm / 2.0, end, curve, runs, sheet.stations)
        } else {
            packed.marks
        };
        PlannedEnd {
            pattern: kind.pattern(side),
            marks,
            ..packed
        }
    };
    [
        end(0, &piece.near, &solved.near, 1.0),
        end(1, &piece.far, &solved.far, -1.0),
    ]
}
