//! What is known of a whole job: every piece and every hole is solved once, with its quantity.

use std::sync::Arc;

use super::all_clashes::all_clashes;
use super::compass::{CompassHole, compass_holes};
use super::cores::on_all_cores;
use super::covered::Covered;
use super::cut_list::CutList;
use super::datum::Datums;
use super::drain::{Drain, solve_drains_after};
use super::earlier::{Earlier, KnownPiece};
use super::falls::{Fall, falls};
use super::found::found_in_bodies;
use super::hole::PlacedHole;
use super::kept_clear::{KeptClear, kept_clear};
use super::ligaments::with_ligaments;
use super::of_copies::{OfCopies, hole_in};
use super::of_tube::{Given, OfEnd, OfTube, SolvedOrNot};
use super::piece::{Kind, piece_ends, piece_welds};
use super::shapes::{Shape, Shapes};
use super::turns::{Turn, doubled_back};
use super::weld::AllWelds;
use super::{Plan, Planned};
use crate::job::resolve::Resolved;
use crate::job::{Assembly, Piece, SheetOptions, TubeInSpace};
use crate::problem::Problems;
use crate::solver::SolvedPiece;

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
    /// Of each kind whether an earlier plan had all that there is to know of it.
    kinds_were_known: Vec<bool>,
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
    job.asking(plan.map_err(|problems| problems.told(tell)))
}

fn solved(job: &Resolved<Assembly>, earlier: &Earlier<'_>, progress: &dyn Fn(usize, usize)) -> Result<Plan, Problems> {
    let sheet = &job.sheet;
    let (assembly, drains) = solve_drains_after(&|index, tube| earlier.drain(index, tube), &job.joint)?;
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
            compass_holes: compass_holes(
                &|tube, is_at_start| earlier.compass_hole(tube, is_at_start),
                &assembly,
                sheet.stations,
            )?,
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
        questions: job.questions.clone(),
        warnings: job.warnings.clone(),
    })
}

/// Tubes are solved on all cores so many at a time: what is the same of like pieces is then given away.
const AT_ONCE: usize = 512;

/// The places of so many holes are kept, each of some 12 kB.
const MOST_PLACES: usize = 12_000;

fn solve(
    assembly: &Assembly,
    (sheet, earlier): (&SheetOptions, &Earlier<'_>),
    progress: &dyn Fn(usize, usize),
) -> Result<Solved, Problems> {
    let given = Given {
        assembly,
        sheet,
        earlier,
        found: found_in_bodies(assembly, sheet.units)?,
    };
    let mut solving = Solving {
        given: &given,
        shapes: Shapes::default(),
        solved: Solved::default(),
        problems: OfCopies::new(assembly),
    };
    let all: Vec<usize> = (0..assembly.tubes.len()).collect();
    for some in all.chunks(AT_ONCE) {
        progress(some[0], all.len());
        let known = solving.solved.kinds.len();
        for (tube, solved) in some.iter().zip(on_all_cores(some, |tube| OfTube::new(&given, *tube))) {
            let kinds = solving.add_pieces(*tube, solved.pieces);
            solving.add_holes(*tube, solved.holes, &kinds);
        }
        solving.complete_kinds(known);
    }
    let mut solved = solving.problems.unless_any(Some(solving.solved))?;
    let datums = Datums::new(assembly, &solved.kinds, &solved.numbers, sheet.units);
    for hole in &mut solved.holes {
        hole.datum = datums.of_body(hole.hole.body);
    }
    // What is worth the time only where all can be made.
    let new: Vec<usize> = (0..solved.holes.len())
        .filter(|hole| solved.holes_were[*hole].is_none())
        .collect();
    let if_round = on_all_cores(&new, |hole| solved.holes[*hole].held_against_round(assembly));
    for (hole, if_round) in new.into_iter().zip(if_round) {
        solved.holes[hole].if_round = if_round;
    }
    let holes = with_ligaments(solved.holes, (earlier.holes(), &solved.holes_were));
    Ok(Solved { holes, ..solved })
}

/// A job while the tubes that are solved are put together, one after the other.
struct Solving<'a> {
    given: &'a Given<'a>,
    shapes: Shapes,
    solved: Solved,
    problems: OfCopies<'a>,
}

impl<'a> Solving<'a> {
    /// Adds the pieces of a tube, by its place in the list; the kind of each, from its near end to its far one, `None` of one that can't be cut.
    fn add_pieces(&mut self, of_tube: usize, pieces: Vec<SolvedOrNot>) -> Vec<Option<usize>> {
        let tube = &self.given.assembly.tubes[of_tube];
        let mut known = Vec::new();
        let mut kinds = Vec::new();
        for (number, (piece, solved)) in pieces.into_iter().enumerate() {
            let Some((solved, figures)) = self.problems.take(tube, piece_of(tube, &piece), solved) else {
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
                None => self.add_kind((of_tube, tube), (number, piece), solved),
            }
            kinds.push(Some(kind + 1));
        }
        if self.given.earlier.is_kept() {
            self.solved.known.push(known);
        }
        kinds
    }

    /// Adds a kind of which this piece, of that number in its tube, is the first.
    fn add_kind(
        &mut self,
        (of_tube, tube): (usize, &TubeInSpace),
        (number, piece): (usize, Piece),
        solved: Arc<SolvedPiece>,
    ) {
        let known = self.given.earlier.welds(of_tube, number);
        self.solved.kinds_were_known.push(known.is_some());
        let first = piece.clone();
        let mut new = Kind {
            bodies: Default::default(),
            welds: known.cloned().unwrap_or_default(),
            piece,
            solved,
            quantity: 0,
            number: self.solved.kinds.len() + 1,
            all: Vec::new(),
            fronts: Vec::new(),
        };
        new.count(&first, (of_tube, tube));
        self.solved.kinds.push(new);
    }

    /// Finds out what else there is to know of the kinds from this one on.
    fn complete_kinds(&mut self, from: usize) {
        let Self { given, solved, .. } = self;
        let new: Vec<usize> = (from..solved.kinds.len())
            .filter(|kind| !solved.kinds_were_known[*kind])
            .collect();
        let welds = on_all_cores(&new, |kind| piece_welds(&solved.kinds[*kind].piece, given.sheet));
        for (kind, welds) in new.iter().zip(welds) {
            solved.kinds[*kind].welds = welds;
        }
        let numbers = on_all_cores(&new, |kind| {
            piece_ends(&solved.kinds[*kind], given.sheet).map(|end| end.require_numbers())
        });
        for (kind, ends) in new.iter().zip(numbers) {
            let kind = &solved.kinds[*kind];
            let tube = &given.assembly.tubes[kind.all[0].of_tube];
            for end in ends {
                self.problems.take(tube, piece_of(tube, &kind.piece), end);
            }
        }
    }

    /// Adds the holes of a tube, by its place in the list, that is made of these kinds of pieces.
    fn add_holes(&mut self, of_tube: usize, holes: Vec<OfEnd>, pieces: &[Option<usize>]) {
        let assembly = self.given.assembly;
        let tube = &assembly.tubes[of_tube];
        for hole in holes {
            let at = hole_in(assembly, hole.body);
            let piece = if hole.is_at_start {
                pieces.first()
            } else {
                pieces.last()
            };
            let piece = piece.copied().flatten();
            if piece.is_none() && hole.opening.is_err() {
                // What is wrong with its end is said already.
                continue;
            }
            let Some(opened) = self.problems.take(tube, at.clone(), hole.opening) else {
                continue;
            };
            self.solved.covered.extend(opened.covered);
            let placed = opened.placed.and_then(|placed| self.problems.take(tube, at, placed));
            if let Some(mut placed) = placed {
                placed.piece = piece;
                let has_room = self.solved.holes.len() < MOST_PLACES;
                self.solved
                    .holes
                    .push(if has_room { placed } else { placed.without_places() });
                self.solved.holes_were.push(opened.was);
            }
        }
    }
}

/// Says where a piece is, of a tube of any name.
fn piece_of(tube: &TubeInSpace, piece: &Piece) -> impl Fn(&str) -> String + use<> {
    let part = piece.name.strip_prefix(tube.name.as_str()).unwrap_or_default();
    let part = part.to_owned();
    move |name| format!("tube \"{name}{part}\"")
}
