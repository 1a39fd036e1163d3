//! Everything that is known of a joint or of a whole job, as facts: figures without units or words. Solves nothing that
//! `solver` can be asked for, and draws nothing.

mod apart;
mod clash;
mod cut_list;
mod drain;
mod end;
mod facets;
mod flat_skin;
mod hole;
mod if_round;
mod job;
mod leg;
mod ligaments;
mod marks;
mod miter;
mod outline;
mod piece;
mod saddle;
mod shapes;
mod sticks;

pub use clash::{Clash, clashes};
pub use cut_list::{CutList, CutRow, StickRow};
pub use drain::{Drain, solve_drains};
pub use end::PlannedEnd;
pub use facets::{FacetStudy, FacetsPlan, Outcome, facets};
pub use hole::{HolePlace, PlannedHole};
pub use if_round::IfRound;
pub use job::{JobPlan, batch};
pub use marks::{CROWN_LINES, Marks, Station};
pub use miter::{MiterPlan, miter};
pub use piece::PlannedPiece;
pub use saddle::{SaddlePlan, saddle};
pub use sticks::{Stick, StickPlan, plan_sticks};

pub(crate) use end::printed_girth;
pub(crate) use facets::MORE_CUTS;
pub(crate) use flat_skin::FlatSkin;
pub(crate) use hole::{LIKE_MM, PlacedHole};
pub(crate) use outline::polyline;
pub(crate) use piece::{Kind, SIDES, piece_ends};
pub(crate) use saddle::base_to_skin;

use crate::job::SheetOptions;

/// What was asked, solved: the sheets, the report and all that is said are made of it.
pub struct Plan {
    /// What is known.
    pub of: Planned,
    /// The pieces of tube.
    pub pieces: Vec<PlannedPiece>,
    /// How it is marked and shown.
    pub sheet: SheetOptions,
    /// What was noticed when the words were read.
    pub warnings: Vec<String>,
}

/// What is known of each of the things that can be asked.
pub enum Planned {
    /// A branch on a header.
    Saddle(Box<SaddlePlan>),
    /// A mitered turn.
    Miter(Box<MiterPlan>),
    /// A faceted end.
    Facets(Box<FacetsPlan>),
    /// A whole job.
    Job(Box<JobPlan>),
}

impl Plan {
    /// Of a whole job.
    pub fn job(&self) -> Option<&JobPlan> {
        match &self.of {
            Planned::Job(job) => Some(job),
            _ => None,
        }
    }

    /// What is known of a faceted end, where one was asked for.
    pub fn facets(&self) -> Option<&FacetStudy> {
        match &self.of {
            Planned::Facets(of) => Some(&of.study),
            _ => None,
        }
    }

    /// Something of each tube end, one after the other: those of a job are made when they are wanted.
    pub fn of_ends<T>(&self, of: impl Fn(&PlannedEnd) -> T) -> Vec<T> {
        let end = match &self.of {
            Planned::Saddle(plan) => &plan.end,
            Planned::Miter(plan) => &plan.end,
            Planned::Facets(plan) => &plan.end,
            Planned::Job(job) => {
                let ends = job.kinds.iter().flat_map(|kind| piece_ends(kind, &self.sheet));
                return ends.map(|end| of(&end)).collect();
            }
        };
        vec![of(end)]
    }

    /// Something of each hole, one after the other.
    pub fn of_holes<T>(&self, of: impl Fn(&PlannedHole) -> T) -> Vec<T> {
        match &self.of {
            Planned::Saddle(plan) => vec![of(&plan.planned_hole())],
            Planned::Miter(_) | Planned::Facets(_) => Vec::new(),
            Planned::Job(job) => job.holes.iter().map(|hole| of(&hole.planned(&job.assembly))).collect(),
        }
    }
}
