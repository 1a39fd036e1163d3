//! Where a problem is.

use std::fmt;
use std::path::Path;
use std::sync::Arc;

use super::quoted::quoted;

/// Where a problem is, so that whoever shows it can lead there.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Place {
    /// A flag of the command line, or the field of that name on the page.
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
