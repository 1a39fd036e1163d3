//! A problem: what is wrong, where, with which figures, and how to mend it.
//!
//! Problems are part of the product. The person reads them in a shop, so each one is a statement in
//! trade words, quotes what was typed, gives the figures and says what to do now. Everything that is
//! wrong is reported in one go.

use std::fmt;
use std::path::Path;
use std::sync::Arc;

/// More characters of what was typed are not quoted.
const QUOTED: usize = 60;

/// What was typed, in quotes: to 60 characters, and without any that would move the cursor of a terminal.
pub fn quoted(typed: &str) -> String {
    let mut quoted = String::from("\"");
    for c in typed.chars().take(QUOTED) {
        if is_unseen(c) {
            quoted.extend(c.escape_unicode());
        } else {
            quoted.push(c);
        }
    }
    if typed.chars().nth(QUOTED).is_some() {
        quoted.push_str("...");
    }
    quoted.push('"');
    quoted
}

/// What moves or hides other letters instead of being one: control characters, line separators, and the marks that turn the
/// direction of writing.
pub(crate) fn is_unseen(letter: char) -> bool {
    let turns =
        matches!(letter, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}');
    letter.is_control() || turns
}

/// Where a problem is, so that whoever shows it can lead there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// A flag of the command line.
    Flag {
        /// `--branch`.
        flag: &'static str,
        /// What was given to it.
        typed: String,
    },
    /// A word of a job file.
    Word {
        /// The file's name.
        file: Arc<str>,
        /// From 1.
        line: usize,
        /// From 1, in characters.
        column: usize,
        /// The way to the value: `tubes.riser.path[0].along`; empty for the whole.
        path: String,
    },
    /// A file or folder as a whole.
    File(String),
    /// Something found in the geometry.
    Found {
        /// What it is found at: `tube "riser 3"`.
        at: String,
        /// The word that it comes from, where that is known.
        word: Option<Box<Place>>,
    },
}

impl Place {
    /// Something found in the geometry, such as `tube "riser 3"`, and the word that it comes from.
    pub fn found(at: impl Into<String>, word: Option<&Self>) -> Self {
        Self::Found {
            at: at.into(),
            word: word.cloned().map(Box::new),
        }
    }
}

impl From<&Path> for Place {
    fn from(path: &Path) -> Self {
        Self::File(path.display().to_string())
    }
}

impl fmt::Display for Place {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Flag { flag, typed } => write!(out, "{flag} {}", quoted(typed)),
            Self::Word {
                file,
                line,
                column,
                path,
            } if path.is_empty() => write!(out, "{file}:{line}:{column}"),
            Self::Word {
                file,
                line,
                column,
                path,
            } => write!(out, "{file}:{line}:{column}  {path}"),
            Self::File(name) => out.write_str(name),
            Self::Found { at, word: None } => out.write_str(at),
            Self::Found { at, word: Some(word) } => write!(out, "{word}, {at}"),
        }
    }
}

/// Whose turn it is to mend a problem; decides the exit code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// What was typed or measured can't be right: exit code 2.
    Input,
    /// The files could not be written: exit code 1.
    Output,
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Whose turn it is.
    pub cause: Cause,
    /// The statement, e.g. "the branch is wider than the header it lands on".
    pub what: String,
    /// Where it stands.
    pub place: Option<Box<Place>>,
    /// The numbers behind it.
    pub figures: Option<String>,
    /// What to do now.
    pub help: Option<String>,
}

impl Problem {
    /// A problem with the input.
    pub fn new(what: impl Into<String>) -> Self {
        Self {
            cause: Cause::Input,
            what: what.into(),
            place: None,
            figures: None,
            help: None,
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

    /// Gives the numbers behind it.
    #[must_use]
    pub fn figures(mut self, figures: impl Into<String>) -> Self {
        self.figures = Some(figures.into());
        self
    }

    /// Says how to mend it.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "error: {}", self.what)?;
        if let Some(place) = &self.place {
            write!(out, "\n  --> {place}")?;
        }
        if let Some(figures) = &self.figures {
            write!(out, "\n   |  {figures}")?;
        }
        if let Some(help) = &self.help {
            write!(out, "\n   |  help: {help}")?;
        }
        Ok(())
    }
}

/// All the problems of one run, in the order in which they were found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Problems(Vec<Problem>);

impl Problems {
    /// None yet.
    pub fn none() -> Self {
        Self::default()
    }

    /// Adds one, unless the very same was found before.
    pub fn add(&mut self, problem: Problem) {
        if !self.0.contains(&problem) {
            self.0.push(problem);
        }
    }

    /// Takes the value out of a result; a problem is kept and `None` returned.
    pub fn take<T>(&mut self, result: Result<T, Problem>) -> Option<T> {
        result.map_err(|problem| self.add(problem)).ok()
    }

    /// `value` where it is there and nothing is wrong, else the problems.
    ///
    /// # Errors
    /// The problems found so far.
    pub fn unless_any<T>(self, value: Option<T>) -> Result<T, Self> {
        match value {
            Some(value) if self.0.is_empty() => Ok(value),
            _ => Err(self),
        }
    }

    /// Each of them.
    pub fn iter(&self) -> impl Iterator<Item = &Problem> {
        self.0.iter()
    }

    /// 2 where the input is at fault, 1 where only writing failed.
    pub fn exit_code(&self) -> u8 {
        if self.0.iter().any(|problem| problem.cause == Cause::Input) {
            2
        } else {
            1
        }
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.0.iter().enumerate() {
            if index > 0 {
                out.write_str("\n\n")?;
            }
            problem.fmt(out)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_is_quoted_to_60_characters_and_moves_no_cursor() {
        assert_eq!(quoted("48.3"), "\"48.3\"");
        assert_eq!(quoted("é".repeat(60).as_str()), format!("\"{}\"", "é".repeat(60)));
        assert_eq!(quoted(&"x".repeat(61)), format!("\"{}...\"", "x".repeat(60)));
        assert_eq!(quoted("a\u{1b}[2Jb\n\u{202e}"), "\"a\\u{1b}[2Jb\\u{a}\\u{202e}\"");
    }

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
