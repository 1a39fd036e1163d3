//! `girthline saddle`

use super::common::{DrawFlags, word};
use super::joint::JointFlags;
use super::outcome::Outcome;
use crate::job::raw::Sheet;
use crate::job::resolve;
use crate::plan;
use crate::problem::Problems;

/// A branch on a header: wrap for the branch's end, pattern for the hole.
///
/// Front is the side of the acute angle. Seen from the far end of the branch with the front up, a
/// positive offset is to the right. The width of a tube with sides is from its left to its right, its height from front
/// to back.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    joint: JointFlags,
    /// Added to the radius of a set-in hole; 0 by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    clearance: Option<String>,
    /// The leg of the fillet weld, 0.5 to 50 mm: metal and wire are told for it.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    weld_leg: Option<String>,
    /// The same by its throat.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    weld_throat: Option<String>,
    #[command(flatten)]
    draw: DrawFlags,
}

impl Args {
    pub(super) fn run(self) -> Result<Outcome, Problems> {
        let joint = self.joint.raw(word("--clearance", self.clearance.as_ref()));
        let sheet = Sheet {
            weld_leg: word("--weld-leg", self.weld_leg.as_ref()),
            weld_throat: word("--weld-throat", self.weld_throat.as_ref()),
            ..self.draw.raw()
        };
        let job = resolve::saddle(&joint, &sheet)?;
        self.draw.write(&plan::saddle(&job)?)
    }
}
