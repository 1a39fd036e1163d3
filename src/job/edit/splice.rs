//! Which bytes of a text are replaced when something is put in or taken out.

use std::ops::Range;

use jsonc_parser::ast::Value;
use jsonc_parser::common::Ranged;

use super::laid_out::{Line, laid_out};
use super::place::Key;
use super::tree::{Tree, children};
use super::{not_there, text_of};
use crate::problem::Problem;

/// Bytes, and what takes their place.
pub(super) type Splice = (Range<usize>, String);

/// The text with all of them, which don't overlap.
pub(super) fn spliced(text: &str, mut splices: Vec<Splice>) -> String {
    splices.sort_by_key(|(range, _)| (range.start, range.end));
    let (mut whole, mut done) = (String::with_capacity(text.len()), 0);
    for (range, words) in splices {
        whole.push_str(&text[done..range.start]);
        whole.push_str(&words);
        done = range.end;
    }
    whole.push_str(&text[done..]);
    whole
}

/// A value in the place of another, or a new one with all that must hold it.
pub(super) fn put(tree: &Tree<'_>, at: &[Key], json: &str) -> Result<Vec<Splice>, Problem> {
    if let Some(old) = tree.value(at) {
        let range = old.range();
        let words = laid_out(json, &Line::of(tree.text, range.start))?;
        return Ok(vec![(range.start..range.end, words)]);
    }
    let known = (0..at.len()).rev().find(|known| tree.has(&at[..*known])).unwrap_or(0);
    let holder = tree.value(&at[..known]).ok_or_else(|| not_there(at))?;
    // What must hold it and isn't there either.
    let mut json = json.to_owned();
    for key in at[known + 1..].iter().rev() {
        json = match key {
            Key::Name(name) => format!("{{ {}: {json} }}", text_of(name)),
            Key::Index(0) => format!("[ {json} ]"),
            Key::Index(_) => return Err(not_there(at)),
        };
    }
    match (holder, &at[known]) {
        (Value::Object(_), Key::Name(name)) => add(tree, holder, &format!("{}: ", text_of(name)), &json),
        (Value::Array(list), Key::Index(index)) if *index == list.elements.len() => add(tree, holder, "", &json),
        _ => Err(not_there(at)),
    }
}

/// A new last one.
fn add(tree: &Tree<'_>, holder: &Value<'_>, name: &str, json: &str) -> Result<Vec<Splice>, Problem> {
    let (text, whole) = (tree.text, holder.range());
    let Some((_, last, _)) = children(holder).last() else {
        return add_first(text, whole.start..whole.end, name, json);
    };
    let line = Line::of(text, last.start);
    let first = children(holder).next().map_or(last.start, |(_, first, _)| first.start);
    if !text[whole.start..first].contains('\n') {
        let words = format!(", {name}{}", laid_out(json, &line)?);
        return Ok(vec![(last.end..last.end, words)]);
    }
    let words = format!("{}{}{name}{}", line.end, line.indent, laid_out(json, &line)?);
    let after = After::new(text, last.end);
    Ok(match after.comma {
        Some(comma) => {
            let end = after.line_end.max(comma + 1);
            vec![(end..end, format!("{words},"))]
        }
        None if after.line_end == last.end => vec![(last.end..last.end, format!(",{words}"))],
        None => vec![
            (last.end..last.end, ",".to_owned()),
            (after.line_end..after.line_end, words),
        ],
    })
}

/// The first one in an object or list that is empty but for notes.
fn add_first(text: &str, whole: Range<usize>, name: &str, json: &str) -> Result<Vec<Splice>, Problem> {
    let line = Line::of(text, whole.start);
    let inner = line.deeper();
    let words = format!("{}{}{name}{}", inner.end, inner.indent, laid_out(json, &inner)?);
    let within = whole.start + 1..whole.end - 1;
    if text[within.clone()].trim().is_empty() {
        return Ok(vec![(within, format!("{words}{}{}", line.end, line.indent))]);
    }
    Ok(vec![(within.start..within.start, words)])
}

/// A value before another of a list.
pub(super) fn insert(tree: &Tree<'_>, at: &[Key], json: &str) -> Result<Vec<Splice>, Problem> {
    let Some((Key::Index(index), holder)) = at.split_last() else {
        return Err(not_there(at));
    };
    let list = tree.value(holder).ok_or_else(|| not_there(at))?;
    let Some((_, next, _)) = children(list).nth(*index) else {
        return put(tree, at, json);
    };
    let line = Line::of(tree.text, next.start);
    let between = if line.begins_at(tree.text, next.start) {
        format!("{}{}", line.end, line.indent)
    } else {
        " ".to_owned()
    };
    let words = format!("{},{between}", laid_out(json, &line)?);
    Ok(vec![(next.start..next.start, words)])
}

/// Takes a value out, and whatever held nothing else; a whole tube, body or the like stays, and so does what is in a list.
pub(super) fn emptied(tree: &Tree<'_>, at: &[Key]) -> Result<Vec<Splice>, Problem> {
    let lowest = if at[0] == Key::from("sheet") { 1 } else { 3 };
    let held_only = |deep: &usize| matches!(at[deep - 1], Key::Name(_)) && tree.names(&at[..*deep]).len() == 1;
    let gone = (lowest..at.len()).rev().take_while(held_only).last();
    remove(tree, &at[..gone.unwrap_or(at.len())])
}

/// Takes a value out, its name and its comma with it.
pub(super) fn remove(tree: &Tree<'_>, at: &[Key]) -> Result<Vec<Splice>, Problem> {
    let text = tree.text;
    let (key, holder) = at.split_last().ok_or_else(|| not_there(at))?;
    let holder = tree.value(holder).ok_or_else(|| not_there(at))?;
    let all: Vec<Range<usize>> = children(holder).map(|(_, range, _)| range).collect();
    let mut keys = children(holder).map(|(key, ..)| key);
    let index = match key {
        Key::Index(index) => (*index < all.len()).then_some(*index),
        Key::Name(_) => keys.position(|known| known == *key),
    };
    let index = index.ok_or_else(|| not_there(at))?;
    let this = all[index].clone();
    let after = After::new(text, this.end);
    if let (Some(next), Some(comma)) = (all.get(index + 1), after.comma) {
        // Up to what comes next, be it a note of its own.
        let end = after.line_end.max(comma + 1);
        let rest = &text[end..next.start];
        let start = end + rest.len() - rest.trim_start().len();
        return Ok(vec![(this.start..start, String::new())]);
    }
    let Some(before) = index.checked_sub(1).map(|index| all[index].clone()) else {
        let whole = holder.range();
        let end = after.comma.map_or(this.end, |comma| comma + 1);
        let is_alone =
            text[whole.start + 1..this.start].trim().is_empty() && text[end..whole.end - 1].trim().is_empty();
        let range = if is_alone {
            whole.start + 1..whole.end - 1
        } else {
            this.start..end
        };
        return Ok(vec![(range, String::new())]);
    };
    let of_before = After::new(text, before.end);
    let comma = of_before.comma.unwrap_or(before.end);
    // A note behind the one before stays with it.
    let start = of_before.line_end.max(comma + 1);
    let start = if text[comma + 1..start].trim().is_empty() {
        comma + 1
    } else {
        start
    };
    Ok(match after.comma {
        Some(own) => vec![(start..own + 1, String::new())],
        None => vec![(comma..comma + 1, String::new()), (start..this.end, String::new())],
    })
}

/// What follows a value: its comma, and where its line ends, notes on it included.
struct After {
    comma: Option<usize>,
    line_end: usize,
}

impl After {
    fn new(text: &str, from: usize) -> Self {
        let (mut comma, mut line_end, mut is_on_line) = (None, from, true);
        let mut at = from;
        while let Some(byte) = text.as_bytes().get(at) {
            let rest = &text[at..];
            let length = match byte {
                b',' if comma.is_none() => {
                    comma = Some(at);
                    1
                }
                b'/' if rest.starts_with("//") => rest.find('\n').unwrap_or(rest.len()),
                b'/' => rest.find("*/").map_or(rest.len(), |end| end + 2),
                b'\n' => {
                    is_on_line = false;
                    1
                }
                b' ' | b'\t' | b'\r' => 1,
                _ => break,
            };
            at += length;
            if is_on_line && !matches!(byte, b' ' | b'\t' | b'\r') {
                line_end = at - usize::from(text[..at].ends_with('\r'));
            }
        }
        Self { comma, line_end }
    }
}
