//! The flags of a branch on a header, which several commands have.

use super::common::word;
use crate::job::raw::{self, Word};

/// What lands on what. Both sizes are needed, unless a command that can do without says otherwise.
#[derive(Debug, clap::Args)]
pub(super) struct LandingFlags {
    /// The tube that is cut: outside diameter and wall, or (where it is coped) sides, wall and corners: "rect 60mm x 40mm x 3mm r 5mm", "rect 3in x 2in x 1/8in r 1/4in".
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true, required = true)]
    branch: Option<String>,
    /// The pipe or drum that it lands on; a wall is needed for set-in only. For a saddle also a dished head: "head 600mm x 6mm DIN 28011".
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true, required = true)]
    header: Option<String>,
    /// Between the centre lines, on a head between branch and skin, 10 to 90 degrees; 90 by default.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    angle: Option<String>,
}

/// The same with all that can be said of a coped end.
#[derive(Debug, clap::Args)]
pub(super) struct JointFlags {
    #[command(flatten)]
    landing: LandingFlags,
    /// How far a tube with sides is turned about its own axis, its front side from the acute angle's side to the right; 0 by default.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    turned: Option<String>,
    /// How far the centre lines pass each other; 0 by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    offset: Option<String>,
    /// wall: no part of the wall has to be forced (usual). outside: knife edge at the outer skin. inside: handbook convention.
    #[arg(long, value_name = "PART")]
    touch: Option<String>,
    /// set-on: on the header's skin, the hole matches the bore (usual). set-in: through the hole, flush with the inner skin.
    #[arg(long, value_name = "HOW")]
    join: Option<String>,
    /// Left between a set-on end and the header, square to the header's skin; 0 to 10 mm, 0 by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    root_gap: Option<String>,
}

/// How an end is cut flat.
#[derive(Debug, clap::Args)]
pub(super) struct FlatCutFlags {
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
}

impl FlatCutFlags {
    pub(super) fn raw(&self) -> raw::FlatCuts {
        raw::FlatCuts {
            scribe: word("--scribe", self.scribe.as_ref()),
            saw: word("--saw", self.saw.as_ref()),
            saw_front: word("--saw-front", self.saw_front.as_ref()),
            saw_back: word("--saw-back", self.saw_back.as_ref()),
        }
    }
}

impl LandingFlags {
    pub(super) fn branch(&self) -> Word {
        Word::flag("--branch", self.branch.as_deref().unwrap_or_default())
    }

    pub(super) fn header(&self) -> Word {
        Word::flag("--header", self.header.as_deref().unwrap_or_default())
    }

    pub(super) fn angle(&self) -> Option<Word> {
        word("--angle", self.angle.as_ref())
    }
}

impl JointFlags {
    /// The words; a clearance belongs to the hole.
    pub(super) fn raw(&self, clearance: Option<Word>) -> raw::Saddle {
        raw::Saddle {
            branch: self.landing.branch(),
            header: self.landing.header(),
            turned: word("--turned", self.turned.as_ref()),
            angle: self.landing.angle(),
            offset: word("--offset", self.offset.as_ref()),
            touch: word("--touch", self.touch.as_ref()),
            join: word("--join", self.join.as_ref()),
            clearance,
            root_gap: word("--root-gap", self.root_gap.as_ref()),
        }
    }
}
