//! The words as they were typed, each with its place. Nothing is decided here.

mod job_file;
mod vessel;

use std::fmt;

use crate::problem::Place;

pub use job_file::{Body, Corner, Coupling, Drain, End, JobFile, KeepClear, Named, Point, Repeat, Stock, Tube};
pub use vessel::{Measured, OnStack, OnTop, Section, Spot, Stack, StackPart};

/// A word and its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// As typed.
    pub text: String,
    /// Where.
    pub place: Place,
}

impl Word {
    /// What was given to a flag.
    pub fn flag(flag: &'static str, text: impl Into<String>) -> Self {
        let text = text.into();
        let typed = text.clone();
        Self {
            text,
            place: Place::Flag { flag, typed },
        }
    }
}

impl From<&Word> for Place {
    fn from(word: &Word) -> Self {
        word.place.clone()
    }
}

impl fmt::Display for Word {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.place.fmt(out)
    }
}

/// What can be said of the sheets of any job.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sheet {
    /// `in` or `mm`.
    pub units: Option<Word>,
    /// A paper's name, or width x height.
    pub paper: Option<Word>,
    /// A length.
    pub paper_thickness: Option<Word>,
    /// What the printed ruler measures, across and down.
    pub ruler_reads: Option<Word>,
    /// An azimuth.
    pub seam: Option<Word>,
    /// A whole number.
    pub stations: Option<Word>,
    /// Any text.
    pub label: Option<Word>,
}

/// A branch on a header.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saddle {
    /// A size.
    pub branch: Word,
    /// A size.
    pub header: Word,
    /// How far the branch is turned about its own axis: an angle.
    pub turned: Option<Word>,
    /// An angle.
    pub angle: Option<Word>,
    /// A length.
    pub offset: Option<Word>,
    /// `wall`, `outside` or `inside`.
    pub touch: Option<Word>,
    /// `set-on` or `set-in`.
    pub join: Option<Word>,
    /// A length.
    pub clearance: Option<Word>,
}

/// A mitered turn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Miter {
    /// A size.
    pub tube: Word,
    /// An angle.
    pub turn: Word,
    /// How far the tube is turned about its own axis: an angle.
    pub turned: Option<Word>,
    /// A whole number.
    pub pieces: Option<Word>,
    /// A length.
    pub radius: Option<Word>,
}

/// A branch cut flat on a chop saw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Facets {
    /// A size.
    pub branch: Word,
    /// A size.
    pub header: Word,
    /// An angle.
    pub angle: Option<Word>,
    /// A length, or a share of the diameter such as `1/3od`.
    pub scribe: Option<Word>,
    /// An angle for both sides.
    pub saw: Option<Word>,
    /// An angle.
    pub saw_front: Option<Word>,
    /// An angle.
    pub saw_back: Option<Word>,
    /// An angle.
    pub saw_limit: Option<Word>,
    /// A length.
    pub gap: Option<Word>,
    /// A length.
    pub round: Option<Word>,
}
