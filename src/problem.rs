//! A problem: what is wrong, where, with which figures, and how to mend it.
//!
//! Problems are part of the product. The person reads them in a shop, so each one is a statement in
//! trade words, quotes what was typed, gives the figures and says what to do now. Everything that is
//! wrong is reported in one go.

use std::fmt;

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
    /// Where it stands, e.g. `--branch "60.3mm x 2mm"`.
    pub place: Option<String>,
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
    pub fn at(mut self, place: impl fmt::Display) -> Self {
        self.place.get_or_insert_with(|| place.to_string());
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
