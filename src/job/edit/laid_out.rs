//! How new values stand in a text: as job files are written, an object on a line where it has room there.

use jsonc_parser::ast::Value;
use jsonc_parser::common::Ranged;

use super::text_of;
use super::tree::children;
use crate::job::edit::place::Key;
use crate::job::read::parsed;
use crate::problem::Problem;

/// Letters of a line.
const ROOM: usize = 110;
/// Of what is within.
const STEP: &str = "  ";

/// The line that something stands on.
pub(super) struct Line {
    /// What it begins with.
    pub(super) indent: String,
    /// How lines end in this text.
    pub(super) end: &'static str,
}

impl Line {
    pub(super) fn of(text: &str, at: usize) -> Self {
        let start = text[..at].rfind('\n').map_or(0, |end| end + 1);
        let line = &text[start..];
        let indent = line.len() - line.trim_start_matches([' ', '\t']).len();
        Self {
            indent: line[..indent].to_owned(),
            end: if text.contains("\r\n") { "\r\n" } else { "\n" },
        }
    }

    /// Whether nothing stands on the line before a place.
    pub(super) fn begins_at(&self, text: &str, at: usize) -> bool {
        text[..at].ends_with(&format!("\n{}", self.indent))
    }

    pub(super) fn deeper(&self) -> Self {
        Self {
            indent: format!("{}{STEP}", self.indent),
            end: self.end,
        }
    }
}

/// A value as it stands on and below a line.
pub(super) fn laid_out(json: &str, line: &Line) -> Result<String, Problem> {
    match parsed(json).map_err(|(_, problem)| problem)? {
        Some(value) => Ok(lines(&value, json, line)),
        None => Err(Problem::new("there is no value to put in").help("give one, or take the field out")),
    }
}

fn lines(value: &Value<'_>, json: &str, line: &Line) -> String {
    let inline = on_one_line(value, json);
    let holds_any = children(value).next().is_some();
    if !holds_any || line.indent.len() + inline.chars().count() <= ROOM {
        return inline;
    }
    let inner = line.deeper();
    let each = children(value).map(|(key, _, value)| {
        let words = lines(value, json, &inner);
        format!("{}{}{}{words}", inner.end, inner.indent, named(&key))
    });
    let [open, close] = brackets(value);
    let each = each.collect::<Vec<_>>().join(",");
    format!("{open}{each}{}{}{close}", line.end, line.indent)
}

fn on_one_line(value: &Value<'_>, json: &str) -> String {
    let range = value.range();
    let (Value::Object(_) | Value::Array(_)) = value else {
        return json[range.start..range.end].to_owned();
    };
    let each = children(value).map(|(key, _, value)| format!("{}{}", named(&key), on_one_line(value, json)));
    let each = each.collect::<Vec<_>>().join(", ");
    let [open, close] = brackets(value);
    let has_room = !each.is_empty() && (matches!(value, Value::Object(_)) || each.contains('{'));
    let room = if has_room { " " } else { "" };
    format!("{open}{room}{each}{room}{close}")
}

fn named(key: &Key) -> String {
    match key {
        Key::Name(name) => format!("{}: ", text_of(name)),
        Key::Index(_) => String::new(),
    }
}

fn brackets(value: &Value<'_>) -> [char; 2] {
    match value {
        Value::Object(_) => ['{', '}'],
        _ => ['[', ']'],
    }
}
