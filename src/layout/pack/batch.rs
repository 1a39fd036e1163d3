//! The pack of a whole job: every piece and every hole is solved once, with its quantity.

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use super::job_pack::{JobPack, Solved};
use super::job_words::{clash_words, drain_words};
use super::piece::Kind;
use super::{Pack, PackOf, if_round, printed_girth, stack};
use crate::job::resolve::Resolved;
use crate::job::{Assembly, End, Piece, SheetOptions};
use crate::measure::Units;
use crate::plan::CutList;
use crate::plan::{Clash, clashes, solve_drains};
use crate::plan::{PlacedHole, with_ligaments};
use crate::problem::{Place, Problems};
use crate::solver::{SolvedPiece, hole_outline, solve_piece};

/// The seam unless another is asked for: at the back of the first end.
const SEAM_DEG: f64 = 180.0;
/// Solves every piece and hole; all that is needed is drawn when its panels are asked for. `progress` hears how many tubes are done, of how many.
///
/// # Errors
/// Every tube end that misses what it lands on, every piece that is too short: each with its tube.
pub fn batch(job: &Resolved<Assembly>, progress: &dyn Fn(usize, usize)) -> Result<Pack, Problems> {
    let sheet = &job.sheet;
    let (assembly, drains) = solve_drains(&job.joint)?;
    let solved = solve(&assembly, sheet, progress)?;
    let rows = solved.kinds.iter().map(Kind::row).collect();
    let cut_list = CutList::new(&assembly, rows, all_clashes(&assembly, &solved.holes), sheet.units)?;

    let mut warnings = job.warnings.clone();
    warnings.extend(if_round::notes(&assembly, &solved.holes, sheet.units));
    warnings.extend(drains.iter().flat_map(|drain| drain_words(drain, sheet.units)));
    warnings.extend(cut_list.clashes.iter().map(|clash| clash_words(clash, sheet.units)));
    Ok(Pack {
        title: assembly.title.clone(),
        pieces: solved.kinds.iter().map(Kind::packed).collect(),
        facets: None,
        stacks: assembly.stacks.clone(),
        summary: summary(&assembly, &cut_list, sheet.units),
        cut_list: Some(cut_list),
        warnings,
        of: PackOf::Job(Box::new(JobPack {
            assembly,
            solved,
            sheet: sheet.clone(),
        })),
    })
}

fn solve(assembly: &Assembly, sheet: &SheetOptions, progress: &dyn Fn(usize, usize)) -> Result<Solved, Problems> {
    let mut problems = Problems::none();
    let (mut kinds, mut by_shape): (Vec<Kind>, BTreeMap<String, usize>) = (Vec::new(), BTreeMap::new());
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
            let kind = *by_shape.entry(shape_of(&piece, &solved)).or_insert(kinds.len());
            numbers.push(kind + 1);
            match kinds.get_mut(kind) {
                Some(known) => known.quantity += 1,
                None => kinds.push(Kind {
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

/// Pieces of one shape are equal to within a hundredth of a millimetre all round both ends.
fn shape_of(piece: &Piece, solved: &SolvedPiece) -> String {
    let hundredths = |mm: f64| (mm * 100.0).round() as i64;
    let cuts = |end: &End| -> Vec<i64> {
        let at =
            |step: u32| crate::solver::cut_at(end, TAU * f64::from(step) / 24.0).map_or(0, |cut| hundredths(cut.t));
        (0..24).map(at).collect()
    };
    format!(
        "{} {:?} {:?} {:?}",
        piece.stock,
        [hundredths(piece.length_mm), hundredths(solved.tip_to_tip_mm)],
        cuts(&piece.near),
        cuts(&piece.far)
    )
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

/// `1 tube`, `6 tubes`.
fn counted(count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}

fn summary(assembly: &Assembly, cut_list: &CutList, units: Units) -> Vec<String> {
    let count: usize = cut_list.rows.iter().map(|row| row.quantity).sum();
    let mut lines = vec![
        assembly.title.clone(),
        format!(
            "{}, {} of {}, {}{}",
            counted(assembly.tubes.len(), "tube"),
            counted(count, "piece"),
            counted(cut_list.rows.len(), "kind"),
            counted(cut_list.sticks.len(), "stick"),
            if cut_list.is_proved {
                ""
            } else {
                " (fewer may be possible)"
            }
        ),
        format!(
            "{} of tube, {:.1} kg of steel",
            units.show(cut_list.total_mm),
            cut_list.steel_kg
        ),
    ];
    lines.extend(assembly.stacks.iter().flat_map(|stack| stack::words(stack, units)));
    lines
}
