//! All that is wrong, each thing once.

use std::collections::HashSet;
use std::hash::{BuildHasher, RandomState};

use super::{Cause, Problem};

/// All the problems of one run, in the order in which they were found.
///
/// One cause has one message, however many places it shows at; the first few messages are told in full.
#[derive(Debug, Clone, Default)]
pub struct Problems {
    pub(super) found: Vec<Problem>,
    /// What was found, so that the same isn't kept twice.
    known: HashSet<u64>,
    hasher: RandomState,
}

impl Problems {
    /// None yet.
    pub fn none() -> Self {
        Self::default()
    }

    /// Adds one, unless the very same was found before.
    pub fn add(&mut self, problem: Problem) {
        if self.known.insert(self.hasher.hash_one(&problem)) {
            self.found.push(problem);
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
            Some(value) if self.found.is_empty() => Ok(value),
            _ => Err(self),
        }
    }

    /// The same with all their lengths told.
    #[must_use]
    pub fn told(self, tell: impl Fn(f64) -> String) -> Self {
        let mut told = Self::none();
        for problem in self.found {
            told.add(problem.told(&tell));
        }
        told
    }

    /// Each of them.
    pub fn iter(&self) -> impl Iterator<Item = &Problem> {
        self.found.iter()
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// The same behind what is to be asked first.
    #[must_use]
    pub(crate) fn behind(self, doubts: &[Problem]) -> Self {
        let mut all = Self::none();
        doubts.iter().cloned().for_each(|doubt| all.add(doubt));
        all.add_all(&self);
        all
    }

    /// Adds all of others.
    pub fn add_all(&mut self, others: &Self) {
        others.iter().cloned().for_each(|problem| self.add(problem));
    }

    /// 2 where the input is at fault, 1 where only writing failed.
    pub fn exit_code(&self) -> u8 {
        if self.found.iter().any(|problem| problem.cause == Cause::Input) {
            2
        } else {
            1
        }
    }
}

impl PartialEq for Problems {
    fn eq(&self, other: &Self) -> bool {
        self.found == other.found
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        let mut problems = Self::none();
        problems.add(problem);
        problems
    }
}
