//! `girthline miter`

use super::common::{DrawFlags, word};
use crate::job::raw::{self, Word};
use crate::job::resolve;
use crate::layout::pack;
use crate::problem::Problems;

/// A mitered turn in two or more pieces.
///
/// Cuts go straight through the wall, as a saw's do. The long side is on the outside of the turn.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The tube: outside diameter and wall.
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    tube: String,
    /// By how much the centre line turns in all, in degrees.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    turn: String,
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
            pieces: word("--pieces", self.pieces.as_ref()),
            radius: word("--radius", self.radius.as_ref()),
        };
        let job = resolve::miter(&joint, &self.draw.raw())?;
        let usual = format!("miter-{:.0}-turn-{:.0}", job.joint.tube.od_mm, job.joint.turn_deg);
        self.draw.write(&usual, pack::miter(&job)?, &job.sheet)
    }
}
