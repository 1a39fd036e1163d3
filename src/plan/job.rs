//! What is known of a whole job: every piece and every hole is solved once, with its quantity.

use std::f64::consts::TAU;

use super::clash::{Clash, clashes};
use super::cut_list::CutList;
use super::drain::{Drain, solve_drains};
use super::end::printed_girth;
use super::hole::PlacedHole;
use super::ligaments::with_ligaments;
use super::piece::Kind;
use super::shapes::{Shape, Shapes};
use super::{Plan, Planned};
use crate::job::resolve::Resolved;
use crate::job::{Assembly, SheetOptions};
use crate::problem::{Place, Problems};
use crate::solver::{hole_outline, solve_piece};

/// The seam unless another is asked for: at the back of the first end.
const SEAM_DEG: f64 = 180.0;
/// What is known of a whole job.
pub struct JobPlan {
    /// Bodies and tubes as they stand, drains where they must land.
    pub(crate) assembly: Assembly,
    /// The drains, solved.
    pub(crate) drains: Vec<Drain>,
    /// Each kind of piece.
    pub(crate) kinds: Vec<Kind>,
    /// Every hole.
    pub(crate) holes: Vec<PlacedHole>,
    /// The number of every piece in the cut list, in the order of the pieces.
    pub(crate) numbers: Vec<usize>,
    /// Pieces, sticks and clashes.
    pub cut_list: CutList,
}

/// What the solver made of an assembly.
struct Solved {
    kinds: Vec<Kind>,
    holes: Vec<PlacedHole>,
    numbers: Vec<usize>,
}

/// Solves every piece and hole, and plans what is sawn. `progress` hears how many tubes are done, of how many.
///
/// # Errors
/// Every tube end that misses what it lands on, every piece that is too short: each with its tube.
pub fn batch(job: &Resolved<Assembly>, progress: &dyn Fn(usize, usize)) -> Result<Plan, Problems> {
    let sheet = &job.sheet;
    let (assembly, drains) = solve_drains(&job.joint)?;
    let Solved { kinds, holes, numbers } = solve(&assembly, sheet, progress)?;
    let rows = kinds.iter().map(Kind::row).collect();
    let cut_list = CutList::new(&assembly, rows, all_clashes(&assembly, &holes), sheet.units)?;
    Ok(Plan {
        pieces: kinds.iter().map(Kind::planned).collect(),
        of: Planned::Job(Box::new(JobPlan {
            assembly,
            drains,
            kinds,
            holes,
            numbers,
            cut_list,
        })),
        sheet: sheet.clone(),
        warnings: job.warnings.clone(),
    })
}

fn solve(assembly: &Assembly, sheet: &SheetOptions, progress: &dyn Fn(usize, usize)) -> Result<Solved, Problems> {
    let mut problems = Problems::none();
    let (mut kinds, mut shapes): (Vec<Kind>, Shapes) = (Vec::new(), Shapes::default());
    let (mut holes, mut numbers) = (Vec::new(), Vec::new());
    let seam = sheet.seam_deg.unwrap_or(SEAM_DEG).to_radians();
    for (done, tube) in assembly.tubes.iter().enumerate() {
        progress(done, assembly.tubes.len());
        let mut of_tube = Vec::new();
        for piece in assembly.pieces(tube) {
            let girth_radius = printed_girth(&piece.near.tube, sheet.paper_thickness_mm) / TAU;
            let solved = solve_piece(&piece, girth_radius, seam).map_err(|problem| {
                problem.at(Place::found(format!("tube \"{}\"", piece.name), assembly.word_of(tube)))
            });
            let Some(solved) = problems.take(solved) else { continue };
            let kind = shapes.kind_of(Shape::of(&piece, &solved));
            numbers.push(kind + 1);
            match kinds.get_mut(kind) {
                Some(known) => known.count(&piece),
                None => kinds.push(Kind {
                    bodies: piece.ends.each_ref().map(|end| end.body.iter().cloned().collect()),
                    piece,
                    solved,
                    quantity: 1,
                    number: kind + 1,
                }),
            }
            of_tube.push(kind + 1);
        }
        for hole in assembly.holes(tube) {
            let outline = hole_outline(&hole.drilling).map_err(|problem| {
                let body = &assembly.bodies[hole.body].name;
                let at = format!("tube \"{}\", its hole in \"{body}\"", tube.name);
                problem.at(Place::found(at, assembly.word_of(tube)))
            });
            let Some(outline) = problems.take(outline) else {
                continue;
            };
            let piece = if hole.is_at_start {
                of_tube.first()
            } else {
                of_tube.last()
            };
            holes.extend(PlacedHole::new(assembly, tube, hole, outline, piece.copied()));
        }
    }
    let holes = with_ligaments(holes);
    problems.unless_any(Some(Solved { kinds, holes, numbers }))
}

/// What is in the way, holes that overlap or run off their body's end among it.
fn all_clashes(assembly: &Assembly, holes: &[PlacedHole]) -> Vec<Clash> {
    let mut found = clashes(assembly);
    for hole in holes {
        found.extend(hole.off_the_end(assembly));
        let overlaps = hole.overlaps.iter();
        found.extend(overlaps.map(|(other, apart)| hole.overlap(assembly, &holes[*other], *apart)));
    }
    found
}
