//! What is known of a whole job: every piece and every hole is solved once, with its quantity.

use std::collections::HashSet;
use std::f64::consts::TAU;

use super::clash::{Clash, InTheWay, clashes};
use super::compass::{CompassHole, compass_holes};
use super::covered::Covered;
use super::cut_list::CutList;
use super::drain::{Drain, solve_drains};
use super::end::printed_girth;
use super::falls::{Fall, falls};
use super::found::{Met, found_in_bodies};
use super::hole::PlacedHole;
use super::kept_clear::{KeptClear, kept_clear};
use super::ligaments::with_ligaments;
use super::of_copies::{OfCopies, hole_in};
use super::piece::{Kind, piece_ends, piece_welds};
use super::saddle::SEAM_DEG;
use super::shapes::{Shape, Shapes};
use super::turns::{Turn, doubled_back};
use super::weld::AllWelds;
use super::{Plan, Planned};
use crate::job::resolve::Resolved;
use crate::job::{Assembly, SheetOptions, TubeInSpace};
use crate::problem::Problems;
use crate::solver::{Opening, opening, solve_piece};

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
}

/// Solves every piece and hole, and plans what is sawn. `progress` hears how many tubes are done, of how many.
///
/// # Errors
/// Every tube end that misses what it lands on, every piece that is too short: each with its tube.
pub fn batch(job: &Resolved<Assembly>, progress: &dyn Fn(usize, usize)) -> Result<Plan, Problems> {
    let tell = |mm: f64| job.sheet.units.show_telling(mm);
    solved(job, progress).map_err(|problems| problems.told(tell))
}

fn solved(job: &Resolved<Assembly>, progress: &dyn Fn(usize, usize)) -> Result<Plan, Problems> {
    let sheet = &job.sheet;
    let (assembly, drains) = solve_drains(&job.joint)?;
    let assembly = assembly.into_owned();
    let Solved {
        kinds,
        holes,
        covered,
        numbers,
    } = solve(&assembly, sheet, progress)?;
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
            compass_holes: compass_holes(&assembly, sheet.stations)?,
            assembly,
            drains,
            kinds,
            holes,
            covered,
            numbers,
            cut_list,
        })),
        sheet: sheet.clone(),
        warnings: job.warnings.clone(),
    })
}

fn solve(assembly: &Assembly, sheet: &SheetOptions, progress: &dyn Fn(usize, usize)) -> Result<Solved, Problems> {
    let mut solving = Solving {
        assembly,
        sheet,
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
    solved
        .holes
        .iter_mut()
        .for_each(|hole| hole.hold_against_round(assembly));
    Ok(Solved {
        holes: with_ligaments(solved.holes),
        ..solved
    })
}

/// A job while its tubes are solved, one after the other.
struct Solving<'a> {
    assembly: &'a Assembly,
    sheet: &'a SheetOptions,
    /// The holes that each body has already.
    found: Vec<Vec<Met>>,
    shapes: Shapes,
    solved: Solved,
    problems: OfCopies<'a>,
}

impl<'a> Solving<'a> {
    /// Adds the pieces of a tube, by its place in the list; the kind of each, from its near end to its far one, `None` of one that can't be cut.
    fn pieces(&mut self, of_tube: usize, tube: &'a TubeInSpace) -> Vec<Option<usize>> {
        let seam = self.sheet.seam_deg.unwrap_or(SEAM_DEG).to_radians();
        let mut kinds = Vec::new();
        for piece in self.assembly.pieces(tube) {
            let part = piece
                .name
                .strip_prefix(tube.name.as_str())
                .unwrap_or_default()
                .to_owned();
            let at = move |name: &str| format!("tube \"{name}{part}\"");
            let girth_radius = printed_girth(&piece.near.tube, self.sheet.paper_thickness_mm) / TAU;
            let solved = solve_piece(&piece, girth_radius, seam);
            let Some(solved) = self.problems.take(tube, at.clone(), solved) else {
                kinds.push(None);
                continue;
            };
            let kind = self.shapes.kind_of(Shape::of(&piece, &solved));
            self.solved.numbers.push(kind + 1);
            match self.solved.kinds.get_mut(kind) {
                Some(known) => known.count(&piece, (of_tube, tube)),
                None => {
                    let mut new = Kind {
                        bodies: Default::default(),
                        welds: piece_welds(&piece, self.sheet),
                        piece,
                        solved,
                        quantity: 0,
                        number: kind + 1,
                        all: Vec::new(),
                        fronts: Vec::new(),
                    };
                    let first = new.piece.clone();
                    new.count(&first, (of_tube, tube));
                    for end in piece_ends(&new, self.sheet) {
                        self.problems.take(tube, at.clone(), end.require_numbers());
                    }
                    self.solved.kinds.push(new);
                }
            }
            kinds.push(Some(kind + 1));
        }
        kinds
    }

    /// Adds the holes of a tube, by its place in the list, that is made of these kinds of pieces.
    fn holes(&mut self, of_tube: usize, pieces: &[Option<usize>]) {
        let (assembly, tube) = (self.assembly, &self.assembly.tubes[of_tube]);
        for hole in assembly.holes(tube) {
            let at = hole_in(assembly, hole.body);
            let piece = if hole.is_at_start {
                pieces.first()
            } else {
                pieces.last()
            };
            let piece = piece.copied().flatten();
            let opening = opening(&hole.drilling);
            if piece.is_none() && opening.is_err() {
                // What is wrong with its end is said already.
                continue;
            }
            let Some(opening) = self.problems.take(tube, at.clone(), opening) else {
                continue;
            };
            let outline = match opening {
                Opening::Whole(outline) => outline,
                Opening::Part(outline) => {
                    self.solved.covered.push(Covered::new(assembly, &hole, false));
                    outline
                }
                Opening::Covered => {
                    self.solved.covered.push(Covered::new(assembly, &hole, true));
                    continue;
                }
            };
            let found = &self.found[hole.body];
            let Some(placed) = PlacedHole::new(assembly, of_tube, hole, outline, piece, found) else {
                continue;
            };
            let placed = placed.problem(assembly, self.sheet.units).map_or(Ok(placed), Err);
            self.solved.holes.extend(self.problems.take(tube, at, placed));
        }
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
        let overlaps = hole.overlaps.iter();
        found.extend(overlaps.map(|(other, apart)| hole.overlap(&holes[*other], *apart)));
    }
    found
}
