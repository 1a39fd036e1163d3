//! The words as they were typed, each with its place. Nothing is decided here.

mod job_file;
mod left_out;
mod said;
mod vessel;

use std::fmt;

use schemars::JsonSchema;

use crate::job::limits::LONGEST_LABEL;
use crate::problem::Place;

pub use job_file::{
    Body, Corner, Coupling, Dish, Drain, End, FoundHole, JobFile, KeepClear, KeepOff, MeasuredDish, Named, Point,
    Repeat, Stock, Tube,
};
pub(in crate::job) use left_out::{leads_into, way, ways};
pub use vessel::{Diameter, Offset, OnStack, OnTop, Section, Spot, Stack, StackPart};

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

/// What can be said of the sheets of any job. The descriptions are those of the JSON Schema.
#[derive(Debug, Clone, Default, PartialEq, Eq, JsonSchema)]
pub struct Sheet {
    /// `in` or `mm`, by a flag or a field; a file has them at its top.
    #[schemars(skip)]
    pub units: Option<Word>,
    /// One of a4, a3, letter, legal, tabloid, or WIDTHxHEIGHT.
    pub paper: Option<Word>,
    /// Of the wraps' paper.
    pub paper_thickness: Option<Word>,
    /// What the printed ruler measures: ACROSS,DOWN.
    pub ruler_reads: Option<Word>,
    /// An azimuth in degrees.
    pub seam: Option<Word>,
    /// How many there are round the girth.
    pub stations: Option<Word>,
    /// The finest part of an inch that is told as a fraction, 32 by default.
    #[schemars(extend("enum" = ["16", "32", "64", 16, 32, 64]))]
    pub fractions: Option<Word>,
    /// A line of your own, 60 letters or fewer.
    #[schemars(extend("maxLength" = LONGEST_LABEL))]
    pub label: Option<Word>,
    /// The size of every fillet by its legs, a length, by a flag or a field; a file has it at its top.
    #[schemars(skip)]
    pub weld_leg: Option<Word>,
    /// The same by its throat.
    #[schemars(skip)]
    pub weld_throat: Option<Word>,
    /// What to leave out: the tables for marking by hand, the patterns of holes (their tables are printed then), the gores (paper strips for holes in balls and heads), the cover.
    #[schemars(with = "Option<Vec<Word>>", extend("items" = { "enum": ["tables", "holes", "gores", "cover"] }))]
    pub without: Vec<Word>,
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
    /// A length.
    pub root_gap: Option<Word>,
}

/// A branch on a dished head.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnHead {
    /// Its words, with the head's size and dish for the header; no offset.
    pub joint: Saddle,
    /// A length over the skin from the apex.
    pub along: Option<Word>,
    /// A length or an angle.
    pub round: Option<Word>,
    /// A length.
    pub length: Option<Word>,
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

/// How an end is cut flat on a chop saw.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FlatCuts {
    /// A length, or a share of the diameter such as `1/3od`.
    pub scribe: Option<Word>,
    /// An angle for both sides.
    pub saw: Option<Word>,
    /// An angle; at the trial fit also several cuts, each with its line, or `none`: `50 at 16mm, 35 at 8mm`.
    pub saw_front: Option<Word>,
    /// Likewise.
    pub saw_back: Option<Word>,
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
    /// A length.
    pub root_gap: Option<Word>,
    /// How it is cut.
    pub cuts: FlatCuts,
    /// An angle.
    pub saw_limit: Option<Word>,
    /// A length.
    pub gap: Option<Word>,
    /// A length.
    pub round: Option<Word>,
}

/// A branch offered up to its header, and the gaps that were read.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    /// As it was cut for.
    pub joint: Saddle,
    /// How, where it wasn't coped.
    pub cuts: FlatCuts,
    /// A length by which flat cuts were rounded off.
    pub round: Option<Word>,
    /// What was read.
    pub read: Readings,
}

/// An end of a job's tube offered up to what it lands on, and the gaps that were read.
#[derive(Debug, Clone, PartialEq)]
pub struct EndTrial {
    /// A tube's name, with or without the number of a copy.
    pub tube: Word,
    /// `start` or `end`.
    pub end: Word,
    /// What was read.
    pub read: Readings,
}

/// Gaps that were read.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// Lengths, evenly spaced from the front to the right, or each with its place: `front 0, 22.5deg 0.4`. May be empty where
    /// gaps are given in words of their own.
    pub gaps: Word,
    /// Lengths in words of their own, each with its azimuth in degrees from the front to the right.
    pub apart: Vec<(f64, Word)>,
    /// A length.
    pub read_within: Option<Word>,
    /// A length.
    pub gap: Option<Word>,
}
