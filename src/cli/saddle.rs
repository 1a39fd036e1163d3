//! `girthline saddle`

use super::common::{DrawFlags, word};
use super::joint::JointFlags;
use super::outcome::Outcome;
use crate::job::raw::{OnHead, Sheet};
use crate::job::resolve;
use crate::plan;
use crate::problem::{Problem, Problems};
use crate::wording::said;

/// A branch on a header: wrap for the branch's end, pattern for the hole.
///
/// Front is the side of the acute angle. Seen from the far end of the branch with the front up, a
/// positive offset is to the right. The width of a tube with sides is from its left to its right, its height from front
/// to back.
///
/// On a dished head ("head 600mm x 6mm DIN 28011") the pack is that of a job with one branch: the angle is that between branch and skin on
/// the apex's side, so that it leans towards the apex (at the apex towards the zero line).
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
    /// On a head: over its skin from the apex to where the branch's axis meets it; 0, the apex, by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    along: Option<String>,
    /// On a head: round from its zero line, to the right as seen from outside; a length, or degrees such as 30deg; 0 by default.
    #[arg(long, value_name = "LENGTH|DEGREES", allow_hyphen_values = true)]
    round: Option<String>,
    /// On a head: how long the branch is along its middle, from the skin to its square end.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    length: Option<String>,
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
        let on_head = OnHead {
            along: word("--along", self.along.as_ref()),
            round: word("--round", self.round.as_ref()),
            length: word("--length", self.length.as_ref()),
            joint,
        };
        if resolve::is_head(&on_head.joint.header) {
            let plan = plan::batch(&resolve::on_head(&on_head, &sheet)?, &|_, _| ())?;
            return self
                .draw
                .write_with("saddle-on-head", &plan, &said(&plan), Vec::new(), None);
        }
        let OnHead {
            along,
            round,
            length,
            joint,
        } = on_head;
        if let Some(word) = [along, round, length].into_iter().flatten().next() {
            let problem = Problem::new("this says where on a dished head a branch lands, and the header is round")
                .help("leave it out, or give a head as the header")
                .by("--header \"head 600mm x 6mm DIN 28011\"");
            return Err(problem.at(&word).into());
        }
        let job = resolve::saddle(&joint, &sheet)?;
        self.draw.write(&plan::saddle(&job)?)
    }
}
