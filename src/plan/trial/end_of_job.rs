//! A trial fit of a job's end.

use std::borrow::Cow;
use std::f64::consts::TAU;
use std::sync::Arc;

use super::{STRIP, TrialPlan};
use crate::job::resolve::Resolved;
use crate::job::{EndOfJob, EndRequest, Piece, SheetOptions, Trial, TrialOf};
use crate::plan::drain::solve_drains;
use crate::plan::end::{PlannedEnd, printed_girth};
use crate::plan::piece::{Kind, SIDES, piece_ends};
use crate::plan::saddle::SEAM_DEG;
use crate::plan::{Plan, Planned};
use crate::problem::{Place, Problem, Problems, quoted};
use crate::solver::solve_piece;

/// Explains the readings at an end of a job.
///
/// # Errors
/// Where the piece can't be cut as asked, or the readings are at places where nothing can be met.
pub fn trial_of_job(job: &Resolved<EndRequest>) -> Result<Plan, Problems> {
    let tell = |problems: Problems| problems.told(|mm| job.sheet.units.show_telling(mm));
    let plan = job.asking(explained(&job.joint, &job.sheet).map_err(tell))?;
    Ok(Plan {
        pieces: Vec::new(),
        of: Planned::Trial(Box::new(plan)),
        sheet: job.sheet.clone(),
        questions: job.questions.clone(),
        warnings: job.warnings.clone(),
    })
}

fn explained(asked: &EndRequest, sheet: &SheetOptions) -> Result<TrialPlan, Problems> {
    let assembly = match solve_drains(&asked.assembly)?.0 {
        Cow::Borrowed(_) => asked.assembly.clone(),
        Cow::Owned(moved) => Arc::new(moved),
    };
    let (side, tube) = (asked.side, &assembly.tubes[asked.tube]);
    let place = Place::found(
        format!("the {} of tube \"{}\"", SIDES[side], tube.name),
        assembly.word_of(tube),
    );
    let misses = || {
        let body = tube.ends()[side].body();
        let on = body.map_or_else(
            || "the tube that it is mitered to".to_owned(),
            |body| quoted(&assembly.bodies[body].name),
        );
        Problem::new(format!("a part of the tube's wall passes beside {on}"))
            .help("use a narrower tube, or land it nearer to the middle")
    };
    let (piece, offered) = assembly
        .offered_up(tube, side)
        .ok_or_else(|| misses().at(place.clone()))?;
    let end = planned_end(&piece, side, sheet).map_err(|problem| problem.at(place.clone()))?;
    let trial = Trial {
        offered,
        readings: asked.readings.clone(),
        read_within_mm: asked.read_within_mm,
        gap_limit_mm: asked.gap_limit_mm,
        of: TrialOf::End(Box::new(EndOfJob {
            tube: asked.tube,
            side,
            piece,
            assembly: assembly.clone(),
        })),
    };
    TrialPlan::new(&trial, end).ok_or_else(|| misses().at(place).into())
}

/// The end as its piece's own sheets have it: on the same girth scale, from the same base line.
fn planned_end(piece: &Piece, side: usize, sheet: &SheetOptions) -> Result<PlannedEnd, Problem> {
    let seam = sheet.seam_deg.unwrap_or(SEAM_DEG).to_radians();
    let girth_radius = printed_girth(&piece.near.tube, sheet.paper_thickness_mm) / TAU;
    let kind = Kind {
        bodies: [Vec::new(), Vec::new()],
        solved: solve_piece(piece, girth_radius, seam)?.into(),
        welds: [None, None],
        piece: piece.clone(),
        quantity: 1,
        number: 1,
        all: Vec::new(),
        fronts: Vec::new(),
    };
    let [near, far] = piece_ends(&kind, sheet);
    let end = PlannedEnd {
        name: format!("{}: {}", piece.name, SIDES[side]),
        pattern: STRIP.to_owned(),
        ..if side == 0 { near } else { far }
    };
    end.require_numbers()?;
    Ok(end)
}
