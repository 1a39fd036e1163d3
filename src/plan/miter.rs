//! What is known of a mitered turn.

use super::end::PlannedEnd;
use super::piece::PlannedPiece;
use super::saddle::SEAM_DEG;
use super::{Plan, Planned};
use crate::job::Miter;
use crate::job::resolve::Resolved;
use crate::problem::{Problem, Problems};
use crate::solver::EndCurve;

/// The pattern of the first and the last piece.
const END_PIECES: &str = "end pieces";

/// A mitered turn, solved.
pub struct MiterPlan {
    /// What was asked.
    pub joint: Miter,
    /// The cut end of an end piece; all others are like it.
    pub end: PlannedEnd,
}

/// Solves the turn.
///
/// # Errors
/// None that a resolved job can have; a miss is handed on.
pub fn miter(job: &Resolved<Miter>) -> Result<Plan, Problems> {
    job.asking(solved(job))
}

fn solved(job: &Resolved<Miter>) -> Result<Plan, Problem> {
    let (joint, sheet) = (&job.joint, &job.sheet);
    let end = PlannedEnd::solve(END_PIECES, joint.end(), sheet, SEAM_DEG, true)?.welded(sheet);
    Ok(Plan {
        pieces: pieces(joint, &end.curve),
        of: Planned::Miter(Box::new(MiterPlan {
            joint: joint.clone(),
            end,
        })),
        sheet: sheet.clone(),
        questions: job.questions.clone(),
        warnings: job.warnings.clone(),
    })
}

fn pieces(joint: &Miter, curve: &EndCurve) -> Vec<PlannedPiece> {
    let cut = joint.cut_off_square_deg();
    let mut pieces = vec![PlannedPiece {
        name: "end piece".to_owned(),
        quantity: 2,
        centre_line_mm: joint.end_piece_mm(),
        tip_to_tip_mm: joint.end_piece_mm().map(|length| length - curve.lowest.0),
        cut_off_square_deg: vec![cut],
        twist_deg: None,
    }];
    if joint.pieces > 2 {
        pieces.push(PlannedPiece {
            name: "middle piece".to_owned(),
            quantity: joint.pieces - 2,
            centre_line_mm: joint.middle_piece_mm(),
            tip_to_tip_mm: joint.middle_piece_mm().map(|length| length - 2.0 * curve.lowest.0),
            cut_off_square_deg: vec![cut, cut],
            twist_deg: None,
        });
    }
    pieces
}
