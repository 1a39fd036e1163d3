//! Where something stands in a job file's text.

use std::fmt;

use serde::{Deserialize, Serialize};

/// A step into an object or a list.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Key {
    /// In a list, from 0.
    Index(usize),
    /// In an object.
    Name(String),
}

/// The way from the whole to a value.
pub type Way = Vec<Key>;

impl From<&str> for Key {
    fn from(name: &str) -> Self {
        Self::Name(name.to_owned())
    }
}

impl From<usize> for Key {
    fn from(index: usize) -> Self {
        Self::Index(index)
    }
}

impl fmt::Display for Key {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Name(name) => out.write_str(name),
            Self::Index(index) => (index + 1).fmt(out),
        }
    }
}
