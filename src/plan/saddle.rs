//! What is known of a branch on a header.

use kurbo::Point;

use super::end::PlannedEnd;
use super::hole::{PlannedHole, front_laid_flat};
use super::piece::PlannedPiece;
use super::{Plan, Planned};
use crate::job::Saddle;
use crate::job::resolve::Resolved;
use crate::problem::{Place, Problem, Problems};
use crate::solver::{HoleOutline, hole_outline};

/// The seam's azimuth unless another is asked for, on every wrap: at the back.
pub(super) const SEAM_DEG: f64 = 180.0;

/// The name of the branch's end on sheets and in the report.
pub(super) const NAME: &str = "branch end";

/// A branch on a header, solved.
pub struct SaddlePlan {
    /// What was asked.
    pub joint: Saddle,
    /// The branch's end.
    pub end: PlannedEnd,
    /// The hole in the header.
    pub hole: HoleOutline,
}

impl SaddlePlan {
    /// Where the branch's axis comes through the header's outer skin, laid flat as the hole is.
    pub(crate) fn site(&self) -> Point {
        let (radius, offset) = (self.joint.header.radius(), self.joint.offset_mm);
        let above = (radius * radius - offset * offset).max(0.0).sqrt();
        Point::new(
            radius * (offset / radius).asin(),
            above / self.joint.angle_deg.to_radians().tan(),
        )
    }

    /// Solved places on the hole's outline, closed, about that place.
    pub(crate) fn outline(&self) -> Vec<Point> {
        let site = self.site().to_vec2();
        self.hole.points.iter().map(|place| *place - site).collect()
    }

    /// Where the FRONT line of the branch's skin comes to stand on the header's, as the hole is laid flat; none where it
    /// passes beside the header.
    pub(crate) fn front(&self) -> Option<Point> {
        let drilling = self.joint.drilling();
        front_laid_flat(&self.joint.branch, &drilling, drilling.frame.front)
    }

    /// The hole as the report has it.
    pub(super) fn planned_hole(&self) -> PlannedHole {
        PlannedHole {
            body: "header".to_owned(),
            join: self.joint.join,
            clearance_mm: self.joint.clearance_mm,
            outline: self.hole.points.clone(),
            place: None,
        }
    }
}

/// Solves the joint.
///
/// # Errors
/// Where a part of the tube misses the header.
pub fn saddle(job: &Resolved<Saddle>) -> Result<Plan, Problems> {
    job.asking(solved(job))
}

fn solved(job: &Resolved<Saddle>) -> Result<Plan, Problem> {
    let (joint, sheet) = (&job.joint, &job.sheet);
    let end = PlannedEnd::solve(NAME, joint.end(), sheet, SEAM_DEG, false)?.welded(sheet);
    let hole = hole_outline(&joint.drilling()).map_err(|problem| {
        let tell = |mm| sheet.units.show_telling(mm);
        problem.at(Place::found("the hole", None)).told(tell)
    })?;
    Ok(Plan {
        pieces: vec![PlannedPiece {
            name: "branch".to_owned(),
            quantity: 1,
            centre_line_mm: None,
            tip_to_tip_mm: None,
            cut_off_square_deg: Vec::new(),
            twist_deg: None,
        }],
        of: Planned::Saddle(Box::new(SaddlePlan {
            joint: joint.clone(),
            end,
            hole,
        })),
        sheet: sheet.clone(),
        questions: job.questions.clone(),
        warnings: job.warnings.clone(),
    })
}

/// From the base line to where the branch's axis meets the header's outer skin, along the branch, in millimetres.
pub(crate) fn base_to_skin(joint: &Saddle, base_t: f64) -> f64 {
    let (radius, sin) = (joint.header.radius(), joint.angle_deg.to_radians().sin());
    base_t - (radius * radius - joint.offset_mm * joint.offset_mm).max(0.0).sqrt() / sin
}
