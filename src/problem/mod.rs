//! A problem: what is wrong, where, with which figures, and how to mend it.
//!
//! Problems are part of the product. The person reads them in a shop, so each one is a statement in
//! trade words, quotes what was typed, gives the figures and says what to do now. Everything that is
//! wrong is reported in one go.

mod place;
mod problems;
mod quoted;
mod shown;

use std::num::NonZeroU32;

use crate::phrase::Phrase;

pub use place::Place;
pub use problems::Problems;
pub(crate) use quoted::is_unseen;
pub use quoted::{quoted, shortened};

/// Whose turn it is to mend a problem; decides the exit code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cause {
    /// What was typed or measured can't be right: exit code 2.
    Input,
    /// What was typed may be meant otherwise: asked beside what is wrong, and no fault by itself.
    Doubt,
    /// The files could not be written: exit code 1.
    Output,
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Problem {
    /// Whose turn it is.
    pub cause: Cause,
    /// The statement, e.g. "the branch is wider than the header it lands on".
    pub what: String,
    /// Where it stands.
    pub place: Option<Box<Place>>,
    /// The other of two words that are at odds.
    pub against: Option<Box<Place>>,
    /// The numbers behind it.
    pub figures: Option<Phrase>,
    /// What to do now, without a word of how the command line is told.
    pub help: Option<String>,
    /// The flags or the command by which the command line follows the help: `--join set-in`.
    pub by: Option<&'static str>,
    /// How bad it is, in millimetres by the bits of a short number: of copies of a tube with one cause the worst is told. Nothing is not bad.
    pub(crate) how_bad: Option<NonZeroU32>,
}

impl Problem {
    /// A problem with the input.
    pub fn new(what: impl Into<String>) -> Self {
        Self {
            cause: Cause::Input,
            what: what.into(),
            place: None,
            against: None,
            figures: None,
            help: None,
            by: None,
            how_bad: None,
        }
    }

    /// A question about what was typed, asked only beside problems.
    pub(crate) fn doubt(what: impl Into<String>) -> Self {
        Self {
            cause: Cause::Doubt,
            ..Self::new(what)
        }
    }

    /// A problem with writing a file.
    pub fn output(what: impl Into<String>) -> Self {
        Self {
            cause: Cause::Output,
            ..Self::new(what)
        }
    }

    /// Says where it stands; a place that is already known is kept, as the inner one is the nearer.
    #[must_use]
    pub fn at(mut self, place: impl Into<Place>) -> Self {
        self.place.get_or_insert_with(|| Box::new(place.into()));
        self
    }

    /// Names what the place that found the problem didn't know by name: `unnamed` stands for it in the statement.
    #[must_use]
    pub(crate) fn naming(self, unnamed: &str, name: &str) -> Self {
        Self {
            what: self.what.replace(unnamed, name),
            ..self
        }
    }

    /// Names the other of two words that are at odds.
    #[must_use]
    pub fn against(self, place: impl Into<Place>) -> Self {
        Self {
            against: Some(Box::new(place.into())),
            ..self
        }
    }

    /// Gives the numbers behind it.
    #[must_use]
    pub fn figures(mut self, figures: impl Into<Phrase>) -> Self {
        self.figures = Some(figures.into());
        self
    }

    /// The same with its lengths told.
    #[must_use]
    pub fn told(mut self, tell: impl Fn(f64) -> String) -> Self {
        self.figures = self.figures.map(|figures| figures.told(&tell, &tell).into());
        self
    }

    /// Says how to mend it.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Says how bad it is, in millimetres: more is worse.
    #[must_use]
    pub(crate) fn how_bad(mut self, mm: f64) -> Self {
        self.how_bad = NonZeroU32::new((mm as f32).to_bits());
        self
    }

    /// Whether it is known to be worse than another of its kind.
    pub(crate) fn is_worse_than(&self, other: &Self) -> bool {
        let mm = |problem: &Self| problem.how_bad.map(|bits| f32::from_bits(bits.get()));
        mm(self).zip(mm(other)).is_some_and(|(mm, other)| mm > other)
    }

    /// The same as the worst of several.
    #[must_use]
    pub(crate) fn at_worst(mut self) -> Self {
        if self.how_bad.is_some() {
            self.figures = self.figures.map(|figures| Phrase::from("at worst: ").phrase(figures));
        }
        self
    }

    /// Says how the command line is told to do what the help says; the page has a field for it.
    #[must_use]
    pub fn by(mut self, flags: &'static str) -> Self {
        self.by = Some(flags);
        self
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;

    #[test]
    fn the_nearer_place_is_kept_and_every_kind_is_printed() {
        let word = Place::Word {
            file: "job.json".into(),
            line: 3,
            column: 7,
            path: "tubes.riser".to_owned(),
        };
        let flag = Place::Flag {
            flag: "--out",
            typed: "x".to_owned(),
        };
        let kept = Problem::new("it is wrong").at(word.clone()).at(flag.clone());
        assert_eq!(kept.place.as_deref(), Some(&word));
        assert_eq!(word.to_string(), "job.json:3:7  tubes.riser");
        assert_eq!(flag.to_string(), "--out \"x\"");
        assert_eq!(Place::from(Path::new("a/b.pdf")).to_string(), "a/b.pdf");
        let found = Place::found("tube \"riser 3\"", Some(&word));
        assert_eq!(found.to_string(), "job.json:3:7  tubes.riser, tube \"riser 3\"");
    }
}
