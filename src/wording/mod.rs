//! Facts as sentences, the same ones for sheet, terminal, report and page.

mod facets;
mod front;
mod hole;
mod if_round;
mod job;
mod miter;
mod saddle;
mod tight_hole;
mod tube;

pub(crate) use facets::{joint_title, saw_both_ways};
pub(crate) use front::{front_words, twist_words};
pub(crate) use if_round::words as if_round_words;
pub(crate) use miter::setting;
pub(crate) use saddle::describe_joint;
pub(crate) use tube::{girth_note, side_notes};

use crate::plan::{Plan, Planned};

/// What is said of a plan.
pub struct Said {
    /// Names it, e.g. for the PDF's title.
    pub title: String,
    /// What the person must be told.
    pub notes: Vec<String>,
    /// Lines for the terminal.
    pub summary: Vec<String>,
}

/// Title, notes and summary, in the units that were asked for.
pub fn said(plan: &Plan) -> Said {
    match &plan.of {
        Planned::Saddle(of) => saddle::said(plan, of),
        Planned::Miter(of) => miter::said(plan, of),
        Planned::Facets(of) => facets::said(plan, of),
        Planned::Job(of) => job::said(plan, of),
    }
}
