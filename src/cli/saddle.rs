//! `girthline saddle`

use super::common::{DrawFlags, word};
use crate::job::raw::{self, Word};
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
    /// The tube that is cut: outside diameter and wall, or sides, wall and corners: "rect 60mm x 40mm x 3mm r 5mm".
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    branch: String,
    /// The pipe or drum that it lands on; a wall is needed for set-in only.
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    header: String,
    /// How far a tube with sides is turned about its own axis, its front side from the acute angle's side to the right; 0 by default.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    turned: Option<String>,
    /// Between the centre lines, 10 to 90 degrees; 90 by default.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    angle: Option<String>,
    /// How far the centre lines pass each other; 0 by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    offset: Option<String>,
    /// wall: no part of the wall has to be forced (usual). outside: knife edge at the outer skin. inside: handbook convention.
    #[arg(long, value_name = "PART")]
    touch: Option<String>,
    /// set-on: on the header's skin, the hole matches the bore (usual). set-in: through the hole, flush with the inner skin.
    #[arg(long, value_name = "HOW")]
    join: Option<String>,
    /// Added to the radius of a set-in hole; 0 by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    clearance: Option<String>,
    #[command(flatten)]
    draw: DrawFlags,
}

impl Args {
    pub(super) fn run(self) -> Result<Vec<String>, Problems> {
        let joint = raw::Saddle {
            branch: Word::flag("--branch", &self.branch),
            header: Word::flag("--header", &self.header),
            turned: word("--turned", self.turned.as_ref()),
            angle: word("--angle", self.angle.as_ref()),
            offset: word("--offset", self.offset.as_ref()),
            touch: word("--touch", self.touch.as_ref()),
            join: word("--join", self.join.as_ref()),
            clearance: word("--clearance", self.clearance.as_ref()),
        };
        let job = resolve::saddle(&joint, &self.draw.raw())?;
        let usual = format!(
            "saddle-{}-on-{:.0}",
            job.joint.branch.short_name(),
            job.joint.header.od_mm
        );
        self.draw.write(&usual, &plan::saddle(&job)?)
    }
}
