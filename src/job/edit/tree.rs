//! A job file's text as its parser sees it: what stands where.

use std::ops::Range;

use jsonc_parser::ast::{ObjectProp, Value};
use jsonc_parser::common::Ranged;

use super::place::{Key, Way};
use crate::job::read::parsed;
use crate::letters::composed;
use crate::problem::Problem;

/// The values of a text, each with its place.
pub struct Tree<'a> {
    pub(super) text: &'a str,
    root: Value<'a>,
}

impl<'a> Tree<'a> {
    /// Of a text without a byte order mark.
    ///
    /// # Errors
    /// Where it is not one JSON object.
    pub fn new(text: &'a str) -> Result<Self, Problem> {
        match parsed(text).map_err(|(_, problem)| problem)? {
            Some(root @ Value::Object(_)) => Ok(Self { text, root }),
            _ => Err(Problem::new("a job file is one JSON object").help("open another one, or begin anew")),
        }
    }

    pub(super) fn value(&self, at: &[Key]) -> Option<&Value<'a>> {
        at.iter().try_fold(&self.root, |value, key| child(value, key))
    }

    /// What is typed there, where it is a text or a number.
    pub fn typed(&self, at: &[Key]) -> Option<String> {
        match self.value(at)? {
            Value::StringLit(text) => Some(text.value.to_string()),
            Value::NumberLit(number) => Some(number.value.to_owned()),
            _ => None,
        }
    }

    /// Whether there is anything.
    pub fn has(&self, at: &[Key]) -> bool {
        self.value(at).is_some()
    }

    pub(super) fn is_text(&self, at: &[Key]) -> bool {
        matches!(self.value(at), Some(Value::StringLit(_)))
    }

    /// The names in an object, in their order; none of anything else.
    pub fn names(&self, at: &[Key]) -> Vec<String> {
        match self.value(at) {
            Some(Value::Object(object)) => object.properties.iter().map(name).collect(),
            _ => Vec::new(),
        }
    }

    /// How many values are in a list; 0 of anything else.
    pub fn count(&self, at: &[Key]) -> usize {
        match self.value(at) {
            Some(Value::Array(array)) => array.elements.len(),
            _ => 0,
        }
    }

    /// The way to the innermost value in which a byte stands, a name's to what bears it.
    pub fn way_to(&self, byte: usize) -> Way {
        let (mut way, mut value) = (Vec::new(), &self.root);
        loop {
            let next = children(value).find(|(_, range, _)| range.contains(&byte));
            let Some((key, _, inner)) = next else { return way };
            way.push(key);
            value = inner;
        }
    }

    /// The same of a line and a column, both from 1, in characters.
    pub fn way_at(&self, line: usize, column: usize) -> Way {
        let before = self.text.split_inclusive('\n').take(line.saturating_sub(1));
        let start: usize = before.map(str::len).sum();
        let within = self.text[start..].char_indices().nth(column.saturating_sub(1));
        self.way_to(start + within.map_or(0, |(at, _)| at))
    }
}

/// The values within, with what they are found by and all the bytes that are theirs, in their order.
pub(super) fn children<'v, 'a>(
    value: &'v Value<'a>,
) -> Box<dyn Iterator<Item = (Key, Range<usize>, &'v Value<'a>)> + 'v> {
    match value {
        Value::Object(object) => Box::new(object.properties.iter().map(|property| {
            let range = property.range;
            (Key::Name(name(property)), range.start..range.end, &property.value)
        })),
        Value::Array(array) => Box::new(array.elements.iter().enumerate().map(|(index, value)| {
            let range = value.range();
            (Key::Index(index), range.start..range.end, value)
        })),
        _ => Box::new(std::iter::empty()),
    }
}

fn child<'v, 'a>(value: &'v Value<'a>, key: &Key) -> Option<&'v Value<'a>> {
    match (value, key) {
        (Value::Object(object), Key::Name(wanted)) => {
            let mut properties = object.properties.iter();
            let found = properties.find(|property| composed(property.name.as_str()) == composed(wanted));
            found.map(|property| &property.value)
        }
        (Value::Array(array), Key::Index(index)) => array.elements.get(*index),
        _ => None,
    }
}

fn name(property: &ObjectProp<'_>) -> String {
    property.name.as_str().to_owned()
}
