//! The text of a job file while it is read: what stands where, and the problems found in it.

use std::cell::RefCell;
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
    pub(super) problems: RefCell<Problems>,
}

impl<'a> Document<'a> {
    pub(super) fn new(name: &str, text: &'a str) -> Self {
        Self {
            name: name.into(),
            text,
            lines: Lines::new(text),
            problems: RefCell::new(Problems::none()),
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
    pub(super) fn so_far<T>(&self, value: Option<T>) -> (Option<T>, Problems) {
        (value, self.problems.take())
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

    pub(super) fn refuse(&self, at: usize, path: &str, problem: Problem) {
        self.problems.borrow_mut().add(problem.at(self.place(at, path)));
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
