//! `girthline facets`

use super::common::{DrawFlags, word};
use crate::job::raw::{self, Word};
use crate::job::resolve;
use crate::plan;
use crate::problem::Problems;

/// Chop-saw facets against the true curve, and better saw settings.
///
/// The tube is first cut parallel to the header. A line is scribed round it, --scribe back from that
/// cut. One flat cut at the front and one at the back each just touch the line and slope towards the end.
/// All saw angles are degrees off square.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The tube that is cut: outside diameter and wall.
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    branch: String,
    /// The pipe or drum that it lands on.
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    header: String,
    /// Between the centre lines, 10 to 90 degrees; 90 by default.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    angle: Option<String>,
    /// From the first cut back to the scribed line: a length, or a share of the diameter; 1/3od by default.
    #[arg(long, value_name = "LENGTH|SHAREod", allow_hyphen_values = true)]
    scribe: Option<String>,
    /// Saw angle of both cuts, 45 by default.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    saw: Option<String>,
    /// Saw angle of the front cut alone.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    saw_front: Option<String>,
    /// Saw angle of the back cut alone.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    saw_back: Option<String>,
    /// The steepest that the saw can be set, 45 by default.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    saw_limit: Option<String>,
    /// The widest gap that can be welded, 0.8 mm by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    gap: Option<String>,
    /// How far the tube is pushed in by rounding the corners off; by default, what makes it good.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    round: Option<String>,
    #[command(flatten)]
    draw: DrawFlags,
}

impl Args {
    pub(super) fn run(self) -> Result<Vec<String>, Problems> {
        let joint = raw::Facets {
            branch: Word::flag("--branch", &self.branch),
            header: Word::flag("--header", &self.header),
            angle: word("--angle", self.angle.as_ref()),
            scribe: word("--scribe", self.scribe.as_ref()),
            saw: word("--saw", self.saw.as_ref()),
            saw_front: word("--saw-front", self.saw_front.as_ref()),
            saw_back: word("--saw-back", self.saw_back.as_ref()),
            saw_limit: word("--saw-limit", self.saw_limit.as_ref()),
            gap: word("--gap", self.gap.as_ref()),
            round: word("--round", self.round.as_ref()),
        };
        let job = resolve::facets(&joint, &self.draw.raw())?;
        let usual = format!(
            "facets-{}-on-{:.0}",
            job.joint.joint.branch.short_name(),
            job.joint.joint.header.od_mm
        );
        self.draw.write(&usual, &plan::facets(&job)?)
    }
}
