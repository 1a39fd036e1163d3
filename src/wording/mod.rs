//! Facts as sentences, the same ones for sheet, terminal, report and page.

mod clash;
mod compass;
mod copies;
mod ends;
mod facets;
mod falls;
mod front;
mod gores;
mod hole;
mod hole_ordinates;
mod if_round;
mod job;
mod keep_off;
mod made;
mod mark_out;
mod miter;
mod node;
mod ordinate_lines;
mod ordinates;
mod ordinates_of;
mod place;
mod root_gap;
mod saddle;
mod saw;
mod steep;
mod tight_hole;
mod trial;
mod tube;
mod understood;
mod usual_name;
mod ways;
mod weld;

pub(crate) use clash::ClashesOfTubes;
pub use clash::clash_name;
pub(crate) use compass::{compass_place, compass_table, compass_title, rim_words, seam_words};
pub(crate) use ends::{base_words, clocking_words, end_words, ends_of_piece, front_of_made};
pub(crate) use facets::joint_title;
pub(crate) use front::{TWISTS, twist_cell};
pub(crate) use gores::{gore_number, gores_places, gores_title, gores_words, no_gores};
pub(crate) use hole::{hole_number, line_a};
pub(crate) use hole_ordinates::{HoleOrdinates, hole_ordinates_of_joint, hole_ordinates_of_kind};
pub(crate) use if_round::words as if_round_words;
pub(crate) use keep_off::{KEEP_OFF_HEADS, keep_off_rows};
pub(crate) use made::made_already;
pub(crate) use mark_out::{TapeMeasure, compass_measures, measured_from, tape_measures, turned_on_words};
pub(crate) use node::order_words;
pub use ordinate_lines::ordinate_lines;
pub use ordinates::Ordinates;
pub(crate) use ordinates::{by_hand, of_miter, ordinates_beside_wrap};
pub use ordinates_of::ordinates_of;
pub(crate) use root_gap::root_gap_note;
pub(crate) use saddle::describe_joint;
pub(crate) use saw::{both_saw_angles, saw_angle, saw_both_ways};
pub(crate) use trial::{beyond, goes_in, ground_table, readings_table};
pub(crate) use tube::{girth_note, side_notes};
pub use understood::{header_words, tube_words};
pub use usual_name::usual_name;
pub use ways::{Way, ways};
pub(crate) use weld::{all_welds, short_weld, tight_sentence, weld_sentence};

use crate::plan::{Plan, Planned};

/// What is said of a plan.
pub struct Said {
    /// Names it, e.g. for the PDF's title.
    pub title: String,
    /// What can't be built.
    pub clashes: Vec<String>,
    /// Whether a number was meant as it was read.
    pub questions: Vec<String>,
    /// What else the person must be told.
    pub notes: Vec<String>,
    /// What there is to know of a single joint, each by its name; where it is a table, that is in the summary alone.
    pub facts: Vec<Fact>,
    /// Lines for the terminal.
    pub summary: Vec<String>,
    /// What the ends of each kind of piece of a job are: lines for the terminal, after these.
    pub ends: Vec<String>,
}

impl Said {
    /// All that the person must be told, what can't be built first.
    pub fn all_notes(&self) -> impl Iterator<Item = &String> {
        self.clashes.iter().chain(&self.questions).chain(&self.notes)
    }
}

/// Something to know, and what it is called.
pub type Fact = (&'static str, String);

/// Facts as lines for the terminal.
fn lines(facts: &[Fact]) -> impl Iterator<Item = String> {
    facts.iter().map(|(name, words)| format!("{name:<15}{words}"))
}

/// Title, notes and summary, in the units that were asked for.
pub fn said(plan: &Plan) -> Said {
    match &plan.of {
        Planned::Saddle(of) => saddle::said(plan, of),
        Planned::Miter(of) => miter::said(plan, of),
        Planned::Facets(of) => facets::said(plan, of),
        Planned::Trial(of) => trial::said(plan, of),
        Planned::Job(of) => job::said(plan, of),
    }
}
