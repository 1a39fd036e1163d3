//! `girthline miter`

use super::common::{DrawFlags, word};
use crate::job::raw::{self, Word};
use crate::job::resolve;
use crate::plan;
use crate::problem::Problems;

/// A mitered turn in two or more pieces.
///
/// Cuts go straight through the wall, as a saw's do. The long side is on the outside of the turn.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The tube: outside diameter and wall, or sides, wall and corners: "square 50mm x 3mm r 6mm".
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    tube: String,
    /// By how much the centre line turns in all, in degrees.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    turn: String,
    /// How far a tube with sides is turned about its own axis, its front side from the long side to the right; 0 by default.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    turned: Option<String>,
    /// Pieces in the turn, 2 by default.
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    pieces: Option<String>,
    /// Radius of the centre line's arc; gives the pieces' lengths.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    radius: Option<String>,
    #[command(flatten)]
    draw: DrawFlags,
}

impl Args {
    pub(super) fn run(self) -> Result<Vec<String>, Problems> {
        let joint = raw::Miter {
            tube: Word::flag("--tube", &self.tube),
            turn: Word::flag("--turn", &self.turn),
            turned: word("--turned", self.turned.as_ref()),
            pieces: word("--pieces", self.pieces.as_ref()),
            radius: word("--radius", self.radius.as_ref()),
        };
        let job = resolve::miter(&joint, &self.draw.raw())?;
        let usual = format!("miter-{}-turn-{:.0}", job.joint.tube.short_name(), job.joint.turn_deg);
        self.draw.write(&usual, &plan::miter(&job)?)
    }
}
