//! The text of a job file while it is read: what stands where, and the problems found in it.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::sync::Arc;

use jsonc_parser::ast::{Object, Value};
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};

use super::lines::Lines;
use super::not_json::not_json;
use crate::job::raw::Word;
use crate::problem::{Place, Problem, Problems};

/// Brackets within brackets, at most: no job needs more, and the parser's stack has an end.
const DEEPEST: usize = 32;

/// A document that is being read.
pub(super) struct Document<'a> {
    name: Arc<str>,
    text: &'a str,
    lines: Lines<'a>,
    /// All that is wrong.
    problems: RefCell<Problems>,
    /// Of these what spoils the thing that it stands in.
    spoiling: RefCell<Problems>,
    /// The ways to words that stand behind a key that was taken for another.
    guessed: RefCell<BTreeSet<String>>,
    /// The ways to things with a key that may be any.
    lacking: RefCell<BTreeSet<String>>,
}

/// What could be read of a document.
pub struct ReadSoFar<T> {
    /// None where the text is no JSON object.
    pub value: Option<T>,
    /// Everything that is wrong.
    pub problems: Problems,
    /// Of these those in whose things nothing else can be looked for. Unknown keys are not among them: they are read as the
    /// known one that was meant.
    pub spoiling: Problems,
    /// The ways to things of which an unknown key is not clear: what they lack may be that.
    pub lacking: BTreeSet<String>,
}

impl<'a> Document<'a> {
    pub(super) fn new(name: &str, text: &'a str) -> Self {
        Self {
            name: name.into(),
            text,
            lines: Lines::new(text),
            problems: RefCell::default(),
            spoiling: RefCell::default(),
            guessed: RefCell::default(),
            lacking: RefCell::default(),
        }
    }

    /// The outermost object; `None` where it is none, which is a problem that is kept.
    pub(super) fn parse(&self) -> Result<Option<Object<'a>>, Problems> {
        let value = parsed(self.text).map_err(|(at, problem)| problem.at(self.place(at, "")))?;
        match value {
            Some(Value::Object(object)) => Ok(Some(object)),
            _ => {
                let problem =
                    Problem::new("a job file is one JSON object").help("`girthline new` gives one to start from");
                Err(problem.at(self.place(0, "")).into())
            }
        }
    }

    /// What could be read, and every problem that was found.
    pub(super) fn so_far<T>(&self, value: Option<T>) -> ReadSoFar<T> {
        ReadSoFar {
            value,
            problems: self.problems.take(),
            spoiling: self.spoiling.take(),
            lacking: self.lacking.take(),
        }
    }

    fn place(&self, at: usize, path: &str) -> Place {
        let (line, column) = self.lines.place(at);
        Place::Word {
            file: self.name.clone(),
            line,
            column,
            path: path.to_owned(),
        }
    }

    pub(super) fn word(&self, at: usize, path: &str, text: String) -> Word {
        Word {
            text,
            place: self.place(at, path),
        }
    }

    /// Keeps what is wrong with a thing.
    pub(super) fn refuse(&self, at: usize, path: &str, problem: Problem) {
        let problem = problem.at(self.place(at, path));
        if self.guessed.borrow().contains(path) {
            // Of what was taken for something else that it is unknown is enough.
            self.spoiling.borrow_mut().add(problem);
            return;
        }
        self.refuse_at(problem);
    }

    /// The same, its place known.
    pub(super) fn refuse_at(&self, problem: Problem) {
        self.spoiling.borrow_mut().add(problem.clone());
        self.problems.borrow_mut().add(problem);
    }

    /// Keeps that a key is unknown: the thing that it stands in can be read.
    pub(super) fn refuse_key(&self, at: usize, path: &str, problem: Problem) {
        self.problems.borrow_mut().add(problem.at(self.place(at, path)));
    }

    /// That a key of the thing at this way is unknown, and it isn't clear which was meant.
    pub(super) fn lacks(&self, path: &str) {
        self.lacking.borrow_mut().insert(path.to_owned());
    }

    /// That what stands at this way is taken for what it isn't called.
    pub(super) fn guess(&self, path: String) {
        self.guessed.borrow_mut().insert(path);
    }
}

/// The outermost value of a text, if it holds any; else what is wrong with it, and at which byte.
pub(in crate::job) fn parsed(text: &str) -> Result<Option<Value<'_>>, (usize, Problem)> {
    if let Some(at) = too_deep(text) {
        let problem = Problem::new(format!("brackets stand more than {DEEPEST} deep in each other"))
            .help("no job needs so many: look for a bracket that is not closed");
        return Err((at, problem));
    }
    // Comments and a comma too many are forgiven; everything else is JSON.
    let strict = ParseOptions {
        allow_comments: true,
        allow_trailing_commas: true,
        allow_loose_object_property_names: false,
        allow_missing_commas: false,
        allow_single_quoted_strings: false,
        allow_hexadecimal_numbers: false,
        allow_unary_plus_numbers: false,
        allow_bare_decimal_point_numbers: false,
        allow_non_finite_numbers: false,
        allow_extended_string_escapes: false,
    };
    let parsed = parse_to_ast(text, &CollectOptions::default(), &strict)
        .map_err(|error| not_json(text, error.range().start, error.kind()))?;
    Ok(parsed.value)
}

/// A number of JSON as a tape would say it: 1.2e-16 is 0.00000000000000012.
pub(super) fn without_exponent(number: &str) -> String {
    let value = number.parse::<f64>().ok().filter(|value| value.is_finite());
    match value.filter(|_| number.contains(['e', 'E'])) {
        Some(value) => value.to_string(),
        None => number.to_owned(),
    }
}

/// The byte at which brackets are too deep in each other, strings not counted.
fn too_deep(text: &str) -> Option<usize> {
    let (mut depth, mut in_string, mut is_escaped) = (0_usize, false, false);
    for (at, byte) in text.bytes().enumerate() {
        match byte {
            _ if is_escaped => is_escaped = false,
            b'\\' if in_string => is_escaped = true,
            b'"' => in_string = !in_string,
            b'[' | b'{' if !in_string => depth += 1,
            b']' | b'}' if !in_string => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth > DEEPEST {
            return Some(at);
        }
    }
    None
}
