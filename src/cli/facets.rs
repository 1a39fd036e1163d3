//! `girthline facets`

use super::common::{DrawFlags, word};
use super::joint::{FlatCutFlags, LandingFlags};
use super::outcome::Outcome;
use crate::job::raw;
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
    #[command(flatten)]
    landing: LandingFlags,
    #[command(flatten)]
    cuts: FlatCutFlags,
    /// The steepest that the saw can be set, 45 by default.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    saw_limit: Option<String>,
    /// The widest gap that can be welded, 0.8 mm by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    gap: Option<String>,
    /// Left between end and header where the end would touch, 0 to 10 mm; 0 by default. The widest gap counts it in.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    root_gap: Option<String>,
    /// How far the tube is pushed in by rounding the corners off; by default, what makes it good.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    round: Option<String>,
    #[command(flatten)]
    draw: DrawFlags,
}

impl Args {
    pub(super) fn run(self) -> Result<Outcome, Problems> {
        let joint = raw::Facets {
            branch: self.landing.branch(),
            header: self.landing.header(),
            angle: self.landing.angle(),
            cuts: self.cuts.raw(),
            saw_limit: word("--saw-limit", self.saw_limit.as_ref()),
            gap: word("--gap", self.gap.as_ref()),
            root_gap: word("--root-gap", self.root_gap.as_ref()),
            round: word("--round", self.round.as_ref()),
        };
        let job = resolve::facets(&joint, &self.draw.raw())?;
        self.draw.write(&plan::facets(&job)?)
    }
}
