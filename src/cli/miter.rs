//! `girthline miter`

use super::common::{DrawFlags, word};
use super::outcome::Outcome;
use crate::job::raw::{self, Word};
use crate::job::resolve;
use crate::plan;
use crate::problem::{Place, Problem, Problems};

/// A mitered turn in two or more pieces.
///
/// Cuts go straight through the wall, as a saw's do. The long side is on the outside of the turn.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The tube: outside diameter and wall, or sides, wall and corners: "square 50mm x 3mm r 6mm", "square 2in x 1/8in r 1/4in".
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    tube: String,
    /// By how much the centre line turns in all, in degrees.
    #[arg(
        long,
        value_name = "DEGREES",
        allow_hyphen_values = true,
        required_unless_present = "angle"
    )]
    turn: Option<String>,
    /// What others would ask for: it could be the turn's or the saw's.
    #[arg(long, hide = true, allow_hyphen_values = true, conflicts_with = "turn")]
    angle: Option<String>,
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
    pub(super) fn run(self) -> Result<Outcome, Problems> {
        if let Some(angle) = self.angle {
            return Err(angle_of_what(angle).into());
        }
        let joint = raw::Miter {
            tube: Word::flag("--tube", &self.tube),
            turn: Word::flag("--turn", self.turn.unwrap_or_default()),
            turned: word("--turned", self.turned.as_ref()),
            pieces: word("--pieces", self.pieces.as_ref()),
            radius: word("--radius", self.radius.as_ref()),
        };
        let job = resolve::miter(&joint, &self.draw.raw())?;
        self.draw.write(&plan::miter(&job)?)
    }
}

/// A miter has two angles.
fn angle_of_what(typed: String) -> Problem {
    Problem::new("a mitered turn is told by how far its centre line turns")
        .help("the saw is set to half of the turn where it has two pieces: a turn of 90 degrees is cut at 45")
        .by("--turn DEGREES")
        .at(Place::Flag { flag: "--angle", typed })
}
