//! What is solved of a tube by itself, whatever the others are: its pieces and its holes.

use std::f64::consts::TAU;
use std::sync::Arc;

use super::covered::Covered;
use super::earlier::Earlier;
use super::end::printed_girth;
use super::found::Met;
use super::hole::PlacedHole;
use super::saddle::SEAM_DEG;
use super::shapes::figures;
use crate::job::{Assembly, HoleInBody, Piece, SheetOptions};
use crate::problem::Problem;
use crate::solver::{Opening, SolvedPiece, opening, solve_piece};

/// What all tubes are solved with.
pub(super) struct Given<'a> {
    pub(super) assembly: &'a Assembly,
    pub(super) sheet: &'a SheetOptions,
    pub(super) earlier: &'a Earlier<'a>,
    /// The holes that each body has already.
    pub(super) found: Vec<Vec<Met>>,
}

/// A piece, and what was solved of it, with the figures by which like ones are known.
pub(super) type SolvedOrNot = (Piece, Result<(Arc<SolvedPiece>, Arc<[f64]>), Problem>);

/// A tube, solved.
pub(super) struct OfTube {
    /// From its near end to its far one.
    pub(super) pieces: Vec<SolvedOrNot>,
    pub(super) holes: Vec<OfEnd>,
}

/// The hole for an end of a tube.
pub(super) struct OfEnd {
    pub(super) is_at_start: bool,
    /// What it is in, by index.
    pub(super) body: usize,
    pub(super) opening: Result<Opened, Problem>,
}

/// What an end opens in its body.
pub(super) struct Opened {
    /// What covers a part of it, or all.
    pub(super) covered: Option<Covered>,
    /// Where it goes, or what is wrong there; none where it is covered wholly, or can't be marked on its body's skin.
    pub(super) placed: Option<Result<PlacedHole, Problem>>,
    /// Where an earlier plan has it.
    pub(super) was: Option<usize>,
}

impl OfTube {
    /// A tube by its place in the list.
    pub(super) fn new(given: &Given<'_>, tube: usize) -> Self {
        let known = given.earlier.pieces(tube);
        let of = &given.assembly.tubes[tube];
        let pieces = given.assembly.pieces(of).into_iter().enumerate();
        let solved = |(number, piece): (usize, Piece)| {
            let solved = match known.get(number) {
                Some(known) => Ok((known.solved.clone(), known.figures.clone())),
                None => given.solved(&piece),
            };
            (piece, solved)
        };
        let holes = given.assembly.holes(of).into_iter();
        Self {
            pieces: pieces.map(solved).collect(),
            holes: holes.map(|hole| given.of_end(tube, hole)).collect(),
        }
    }
}

impl Given<'_> {
    fn solved(&self, piece: &Piece) -> Result<(Arc<SolvedPiece>, Arc<[f64]>), Problem> {
        let seam = self.sheet.seam_deg.unwrap_or(SEAM_DEG).to_radians();
        let girth_radius = printed_girth(&piece.near.tube, self.sheet.paper_thickness_mm) / TAU;
        let solved = solve_piece(piece, girth_radius, seam)?;
        let figures = figures(piece, &solved);
        Ok((Arc::new(solved), figures))
    }

    fn of_end(&self, tube: usize, hole: HoleInBody) -> OfEnd {
        OfEnd {
            is_at_start: hole.is_at_start,
            body: hole.body,
            opening: match self.earlier.hole(tube, hole.is_at_start) {
                Some(known) => Ok(Opened {
                    covered: known
                        .covered_whole
                        .map(|is_whole| Covered::new(self.assembly, &hole, is_whole)),
                    was: known.placed.map(|(was, _)| was),
                    placed: known.placed.map(|(_, known)| Ok(known.again((tube, hole)))),
                }),
                None => self.opened(tube, hole),
            },
        }
    }

    fn opened(&self, tube: usize, hole: HoleInBody) -> Result<Opened, Problem> {
        let covered = |is_whole: bool| Some(Covered::new(self.assembly, &hole, is_whole));
        let (outline, covered) = match opening(&hole.drilling)? {
            Opening::Whole(outline) => (Some(outline), None),
            Opening::Part(outline) => (Some(outline), covered(false)),
            Opening::Covered => (None, covered(true)),
        };
        let found = &self.found[hole.body];
        let placed = outline.and_then(|outline| PlacedHole::new(self.assembly, tube, hole, outline, found));
        let or_problem = |placed: PlacedHole| {
            let problem = placed.problem(self.assembly, self.sheet.units);
            problem.map_or(Ok(placed), Err)
        };
        Ok(Opened {
            covered,
            placed: placed.map(or_problem),
            was: None,
        })
    }
}
