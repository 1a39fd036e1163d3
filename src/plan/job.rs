//! What is known of a whole job: every piece and every hole is solved once, with its quantity.

use std::collections::HashSet;
use std::f64::consts::TAU;
use std::sync::Arc;

use super::clash::{Clash, InTheWay, clashes};
use super::compass::{CompassHole, compass_holes};
use super::covered::Covered;
use super::cut_list::CutList;
use super::drain::{Drain, solve_drains_after};
use super::earlier::{Earlier, KnownPiece};
use super::end::printed_girth;
use super::falls::{Fall, falls};
use super::found::{Met, found_in_bodies};
use super::hole::PlacedHole;
use super::kept_clear::{KeptClear, kept_clear};
use super::ligaments::with_ligaments;
use super::of_copies::{OfCopies, hole_in};
use super::piece::{Kind, piece_ends, piece_welds};
use super::saddle::SEAM_DEG;
use super::shapes::{Shape, Shapes, figures};
use super::turns::{Turn, doubled_back};
use super::weld::AllWelds;
use super::{Plan, Planned};
use crate::job::resolve::Resolved;
use crate::job::{Assembly, HoleInBody, Piece, SheetOptions, TubeInSpace};
use crate::problem::{Problem, Problems};
use crate::solver::{Opening, SolvedPiece, opening, solve_piece};

/// What is known of a whole job.
pub struct JobPlan {
    /// Bodies and tubes as they stand, drains where they must land.
    pub(crate) assembly: Assembly,
    /// The drains, solved.
    pub(crate) drains: Vec<Drain>,
    /// Where tubes land that are told by their fall.
    pub(crate) falls: Vec<Fall>,
    /// Each kind of piece.
    pub(crate) kinds: Vec<Kind>,
    /// Every hole.
    pub(crate) holes: Vec<PlacedHole>,
    /// Holes in bodies that can't be laid flat.
    pub compass_holes: Vec<CompassHole>,
    /// Holes of which what else the tube is cut to covers a part, or all.
    pub covered: Vec<Covered>,
    /// The number of every piece in the cut list, in the order of the pieces.
    pub(crate) numbers: Vec<usize>,
    /// The pieces of each tube, for the next plan; none where none is expected.
    pub(super) known: Vec<Vec<KnownPiece>>,
    /// Where tubes double back.
    pub(crate) doubled_back: Vec<Turn>,
    /// Distances that were asked for and are kept.
    pub kept_clear: Vec<KeptClear>,
    /// Pieces, sticks and clashes.
    pub cut_list: CutList,
}

/// What the solver made of an assembly.
#[derive(Default)]
struct Solved {
    kinds: Vec<Kind>,
    holes: Vec<PlacedHole>,
    covered: Vec<Covered>,
    numbers: Vec<usize>,
    known: Vec<Vec<KnownPiece>>,
    /// Of each hole where an earlier plan has it, if it does.
    holes_were: Vec<Option<usize>>,
}

/// Solves every piece and hole, and plans what is sawn. `progress` hears how many tubes are done, of how many.
///
/// # Errors
/// Every tube end that misses what it lands on, every piece that is too short: each with its tube.
pub fn batch(job: &Resolved<Assembly>, progress: &dyn Fn(usize, usize)) -> Result<Plan, Problems> {
    told(job, solved(job, &Earlier::default(), progress))
}

/// The same of a job that is likely to be changed: what the next plan of it needs is kept, and what doesn't differ from an
/// earlier one isn't solved again. The plan is equal to that of [`batch`].
///
/// # Errors
/// As [`batch`].
pub fn batch_after(job: &Resolved<Assembly>, earlier: Option<&Plan>) -> Result<Plan, Problems> {
    let earlier = Earlier::new(earlier, job);
    told(job, solved(job, &earlier, &|_, _| ()))
}

fn told(job: &Resolved<Assembly>, plan: Result<Plan, Problems>) -> Result<Plan, Problems> {
    let tell = |mm: f64| job.sheet.units.show_telling(mm);
    plan.map_err(|problems| problems.told(tell))
}

fn solved(job: &Resolved<Assembly>, earlier: &Earlier<'_>, progress: &dyn Fn(usize, usize)) -> Result<Plan, Problems> {
    let sheet = &job.sheet;
    let (assembly, drains) = solve_drains_after(earlier, &job.joint)?;
    let assembly = assembly.into_owned();
    let Solved {
        kinds,
        holes,
        covered,
        numbers,
        known,
        ..
    } = solve(&assembly, (sheet, earlier), progress)?;
    let rows = kinds.iter().map(|kind| kind.row(&assembly, sheet.units)).collect();
    let welds = kinds
        .iter()
        .flat_map(|kind| kind.welds.iter().flatten().map(|weld| (weld, kind.quantity)));
    let welds = AllWelds::new(welds, sheet.weld);
    let cut_list = CutList::new(&assembly, rows, welds, all_clashes(&assembly, &holes), sheet.units)?;
    Ok(Plan {
        pieces: kinds.iter().map(Kind::planned).collect(),
        of: Planned::Job(Box::new(JobPlan {
            doubled_back: doubled_back(&assembly),
            falls: falls(&assembly),
            kept_clear: kept_clear(&assembly, &cut_list.clashes),
            compass_holes: compass_holes(earlier, &assembly, sheet.stations)?,
            assembly,
            drains,
            kinds,
            holes,
            covered,
            numbers,
            known,
            cut_list,
        })),
        sheet: sheet.clone(),
        warnings: job.warnings.clone(),
    })
}

fn solve(
    assembly: &Assembly,
    (sheet, earlier): (&SheetOptions, &Earlier<'_>),
    progress: &dyn Fn(usize, usize),
) -> Result<Solved, Problems> {
    let mut solving = Solving {
        assembly,
        sheet,
        earlier,
        found: found_in_bodies(assembly, sheet.units)?,
        shapes: Shapes::default(),
        solved: Solved::default(),
        problems: OfCopies::new(assembly),
    };
    for (done, tube) in assembly.tubes.iter().enumerate() {
        progress(done, assembly.tubes.len());
        let pieces = solving.pieces(done, tube);
        solving.holes(done, &pieces);
    }
    let mut solved = solving.problems.unless_any(Some(solving.solved))?;
    // What is worth the time only where all can be made.
    let new = solved.holes.iter_mut().zip(&solved.holes_were);
    new.filter(|(_, was)| was.is_none())
        .for_each(|(hole, _)| hole.hold_against_round(assembly));
    let holes = with_ligaments(solved.holes, (earlier.holes(), &solved.holes_were));
    Ok(Solved { holes, ..solved })
}

/// A job while its tubes are solved, one after the other.
struct Solving<'a> {
    assembly: &'a Assembly,
    sheet: &'a SheetOptions,
    earlier: &'a Earlier<'a>,
    /// The holes that each body has already.
    found: Vec<Vec<Met>>,
    shapes: Shapes,
    solved: Solved,
    problems: OfCopies<'a>,
}

impl<'a> Solving<'a> {
    /// Adds the pieces of a tube, by its place in the list; the kind of each, from its near end to its far one, `None` of one that can't be cut.
    fn pieces(&mut self, of_tube: usize, tube: &'a TubeInSpace) -> Vec<Option<usize>> {
        let earlier = self.earlier.pieces(of_tube);
        let mut known = Vec::new();
        let mut kinds = Vec::new();
        for (number, piece) in self.assembly.pieces(tube).into_iter().enumerate() {
            let part = piece
                .name
                .strip_prefix(tube.name.as_str())
                .unwrap_or_default()
                .to_owned();
            let at = move |name: &str| format!("tube \"{name}{part}\"");
            let solved = match earlier.get(number) {
                Some(known) => Ok((known.solved.clone(), known.figures.clone())),
                None => self.solved(&piece),
            };
            let Some((solved, figures)) = self.problems.take(tube, at.clone(), solved) else {
                kinds.push(None);
                continue;
            };
            let kind = self.shapes.kind_of(Shape::new(&piece, figures.clone()));
            self.solved.numbers.push(kind + 1);
            known.push(KnownPiece {
                solved: solved.clone(),
                figures,
                kind: kind + 1,
            });
            match self.solved.kinds.get_mut(kind) {
                Some(known) => known.count(&piece, (of_tube, tube)),
                None => self.add_kind((of_tube, tube), (number, piece), solved, at),
            }
            kinds.push(Some(kind + 1));
        }
        if self.earlier.is_kept() {
            self.solved.known.push(known);
        }
        kinds
    }

    /// A piece, and the figures by which like ones are known.
    fn solved(&self, piece: &Piece) -> Result<(Arc<SolvedPiece>, Arc<[f64]>), Problem> {
        let seam = self.sheet.seam_deg.unwrap_or(SEAM_DEG).to_radians();
        let girth_radius = printed_girth(&piece.near.tube, self.sheet.paper_thickness_mm) / TAU;
        let solved = solve_piece(piece, girth_radius, seam)?;
        let figures = figures(piece, &solved);
        Ok((Arc::new(solved), figures))
    }

    /// Adds a kind of which this piece, of that number in its tube, is the first.
    fn add_kind(
        &mut self,
        (of_tube, tube): (usize, &'a TubeInSpace),
        (number, piece): (usize, Piece),
        solved: Arc<SolvedPiece>,
        at: impl Fn(&str) -> String + Clone + 'a,
    ) {
        let known = self.earlier.welds(of_tube, number);
        let mut new = Kind {
            bodies: Default::default(),
            welds: known.cloned().unwrap_or_else(|| piece_welds(&piece, self.sheet)),
            piece,
            solved,
            quantity: 0,
            number: self.solved.kinds.len() + 1,
            all: Vec::new(),
            fronts: Vec::new(),
        };
        let first = new.piece.clone();
        new.count(&first, (of_tube, tube));
        if known.is_none() {
            for end in piece_ends(&new, self.sheet) {
                self.problems.take(tube, at.clone(), end.require_numbers());
            }
        }
        self.solved.kinds.push(new);
    }

    /// Adds the holes of a tube, by its place in the list, that is made of these kinds of pieces.
    fn holes(&mut self, of_tube: usize, pieces: &[Option<usize>]) {
        let (assembly, tube) = (self.assembly, &self.assembly.tubes[of_tube]);
        for hole in assembly.holes(tube) {
            let piece = if hole.is_at_start {
                pieces.first()
            } else {
                pieces.last()
            };
            let piece = piece.copied().flatten();
            match self.earlier.hole(of_tube, hole.is_at_start) {
                Some(known) => {
                    let covered = known
                        .covered_whole
                        .map(|is_whole| Covered::new(assembly, &hole, is_whole));
                    self.solved.covered.extend(covered);
                    if let Some((was, known)) = known.placed {
                        self.solved.holes.push(known.again((of_tube, hole), piece));
                        self.solved.holes_were.push(Some(was));
                    }
                }
                None => {
                    let placed = self.hole((of_tube, tube), hole, piece);
                    self.solved.holes_were.extend(placed.as_ref().map(|_| None));
                    self.solved.holes.extend(placed);
                }
            }
        }
    }

    /// A hole of a tube, for this kind of piece; none where it can't be marked on its body's skin, or something is wrong with it.
    fn hole(
        &mut self,
        (of_tube, tube): (usize, &'a TubeInSpace),
        hole: HoleInBody,
        piece: Option<usize>,
    ) -> Option<PlacedHole> {
        let assembly = self.assembly;
        let at = hole_in(assembly, hole.body);
        let opening = opening(&hole.drilling);
        if piece.is_none() && opening.is_err() {
            // What is wrong with its end is said already.
            return None;
        }
        let outline = match self.problems.take(tube, at.clone(), opening)? {
            Opening::Whole(outline) => outline,
            Opening::Part(outline) => {
                self.solved.covered.push(Covered::new(assembly, &hole, false));
                outline
            }
            Opening::Covered => {
                self.solved.covered.push(Covered::new(assembly, &hole, true));
                return None;
            }
        };
        let found = &self.found[hole.body];
        let placed = PlacedHole::new(assembly, of_tube, hole, outline, piece, found)?;
        let placed = placed.problem(assembly, self.sheet.units).map_or(Ok(placed), Err);
        self.problems.take(tube, at, placed)
    }
}

/// What is in the way, holes that overlap or run off their body's end among it.
fn all_clashes(assembly: &Assembly, holes: &[PlacedHole]) -> Vec<Clash> {
    let mut found = clashes(assembly);
    let told: HashSet<InTheWay> = holes.iter().flat_map(|hole| hole.told_already(assembly)).collect();
    found.retain(|clash| clash.asked_mm > 0.0 || !told.contains(&clash.way));
    for hole in holes {
        found.extend(hole.trespasses(assembly));
        found.extend(hole.off_the_end());
        found.extend(hole.over_found());
        let overlaps = hole.near.overlaps.iter();
        found.extend(overlaps.map(|(other, apart)| hole.overlap(&holes[*other], *apart)));
    }
    found
}
