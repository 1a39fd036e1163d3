//! Everything that is known of a joint or of a whole job, as facts: figures without units or words. Solves nothing that
//! `solver` can be asked for, and draws nothing.

mod all_clashes;
mod apart;
mod clash;
mod compass;
mod cores;
mod covered;
mod cut_list;
mod datum;
mod drain;
mod earlier;
mod end;
mod facets;
mod falls;
mod flat_skin;
mod found;
mod gores;
mod hole;
mod hole_kinds;
mod hole_marks;
mod if_round;
mod in_the_way;
mod job;
mod kept_clear;
mod landing;
mod landing_moves;
mod leg;
mod ligaments;
mod marks;
mod miter;
mod near;
mod not_kept;
mod of_copies;
mod of_tube;
mod outline;
mod piece;
mod saddle;
mod shapes;
mod stands_out;
mod sticks;
mod strips;
mod telling_side;
mod trespass;
mod trial;
mod turns;
mod way_out;
mod weld;
mod whereabouts;

pub use clash::{Clash, clashes};
pub(crate) use compass::shared_gores;
pub use compass::{CompassHole, SeenAlong};
pub use covered::{Covered, MadeAfter, made_after};
pub use cut_list::{CutList, CutRow, StickRow};
pub use drain::{Drain, solve_drains};
pub use end::PlannedEnd;
pub use facets::{FacetStudy, FacetsPlan, Outcome, facets};
pub use falls::Fall;
pub use gores::{Gore, Gores, MOST_OFF_MM};
pub use hole::{HolePlace, PlannedHole};
pub use hole_marks::{HoleMark, HoleMarks};
pub use if_round::IfRound;
pub use in_the_way::{InTheWay, LandingPart, Move, Over, Towards};
pub use job::{JobPlan, batch, batch_after};
pub use kept_clear::KeptClear;
pub use marks::{CROWN_LINES, MarkedBy, Marks, Station};
pub use miter::{MiterPlan, miter};
pub use piece::PlannedPiece;
pub use saddle::{SaddlePlan, saddle};
pub use sticks::{Stick, StickPlan, plan_sticks};
pub use trial::{Deciding, FlatEnd, Grind, Guess, OtherEnd, PutRight, Stands, Stray, TrialPlan, trial, trial_of_job};
pub use weld::{AllWelds, EndWeld, TightPlace, WeldMass};

/// What the solver found, of which a plan's facts are made. Nothing past the plan asks the solver anything.
pub use crate::solver::{Corner, Direction, EndCurve, Gap, HoleOutline, Recipe, Round, SolvedPiece, TakeOff};
pub(crate) use end::printed_girth;

pub(crate) use datum::{Datum, Found};
pub(crate) use facets::MORE_CUTS;
pub(crate) use flat_skin::FlatSkin;
pub(crate) use hole::PlacedHole;
pub(crate) use hole_kinds::{HoleKind, kinds_of};
pub(crate) use outline::polyline;
pub(crate) use piece::{Kind, Like, SIDES, piece_ends};
pub(crate) use saddle::base_to_skin;
pub(crate) use telling_side::TellingSide;
pub(crate) use turns::Turn;
pub(crate) use weld::{STEEL_KG_M3, WIRE_LOST};
pub(crate) use whereabouts::Whereabouts;

use std::borrow::Cow;

use crate::job::SheetOptions;

/// What was asked, solved: the sheets, the report and all that is said are made of it.
pub struct Plan {
    /// What is known.
    pub of: Planned,
    /// The pieces of tube.
    pub pieces: Vec<PlannedPiece>,
    /// How it is marked and shown.
    pub sheet: SheetOptions,
    /// Whether a number was meant as it was read.
    pub questions: Vec<String>,
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
    /// A trial fit.
    Trial(Box<TrialPlan>),
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

    /// What is known of a trial fit, where one was asked about.
    pub fn trial(&self) -> Option<&TrialPlan> {
        match &self.of {
            Planned::Trial(of) => Some(of),
            _ => None,
        }
    }

    /// Each tube end, one after the other: those of a job are made when they are wanted.
    pub fn ends(&self) -> impl Iterator<Item = Cow<'_, PlannedEnd>> {
        let (of_joint, kinds) = match &self.of {
            Planned::Saddle(plan) => (Some(&plan.end), &[][..]),
            Planned::Miter(plan) => (Some(&plan.end), &[][..]),
            Planned::Facets(plan) => (Some(&plan.end), &[][..]),
            Planned::Trial(plan) => (Some(&plan.end), &[][..]),
            Planned::Job(job) => (None, job.kinds.as_slice()),
        };
        let of_job = kinds.iter().flat_map(|kind| piece_ends(kind, &self.sheet));
        of_joint.map(Cow::Borrowed).into_iter().chain(of_job.map(Cow::Owned))
    }

    /// Each hole, one after the other: those of a job are made when they are wanted.
    pub fn holes(&self) -> impl Iterator<Item = PlannedHole> {
        let (of_joint, job) = match &self.of {
            Planned::Saddle(plan) => (Some(plan.planned_hole()), None),
            Planned::Miter(_) | Planned::Facets(_) | Planned::Trial(_) => (None, None),
            Planned::Job(job) => (None, Some(job)),
        };
        let of_job = job
            .into_iter()
            .flat_map(|job| job.holes.iter().map(|hole| hole.planned(&job.assembly)));
        of_joint.into_iter().chain(of_job)
    }
}
