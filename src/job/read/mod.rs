//! A job file's text to its words, each with its line, column and path.

mod document;
mod encoding;
mod lines;
mod node;
mod not_json;
mod thing;
mod vessel;

pub use document::ReadSoFar;
pub(super) use document::parsed;
pub use encoding::text_of;
pub(super) use node::nearest;

use std::borrow::Cow;
use std::collections::BTreeSet;

use crate::job::limits::LONGEST_TITLE;
use crate::letters::composed;
use crate::problem::{Place, Problem, Problems};

use super::raw::{Corner, Coupling, Drain, End, JobFile, KeepClear, Point, Repeat, Sheet, Stock, Tube};
use document::Document;
use node::{Node, Thing};
use thing::{needed, note, said_elsewhere, things, whole};

/// A file larger than this is no job, in bytes.
pub const LARGEST: usize = 8 * 1024 * 1024;

/// Reads the words of a job file called `name`.
///
/// # Errors
/// What is not JSON; unknown keys, with the nearest known one; values of the wrong kind. All of them.
pub fn read_job(name: &str, text: &str) -> Result<JobFile, Problems> {
    let read = read_so_far(name, text);
    read.problems.unless_any(read.value)
}

/// The words of a job file called `name` as far as they can be read, and everything that is wrong with them.
pub fn read_so_far(name: &str, text: &str) -> ReadSoFar<JobFile> {
    let nothing = |problems: Problems| ReadSoFar {
        value: None,
        spoiling: problems.clone(),
        lacking: BTreeSet::new(),
        problems,
    };
    if text.len() > LARGEST {
        return nothing(too_large(name).into());
    }
    let text = plain(text);
    let document = Document::new(name, &text);
    match document.parse() {
        Ok(root) => document.so_far(root.map(|root| JobFile::read(&Node::root(&document, root)))),
        Err(problems) => nothing(problems),
    }
}

/// A file's text as its words are read, and as the places of problems count it: a byte order mark says what everybody takes
/// for granted; an accent may come as a letter of its own, which the sheets can't print.
pub fn plain(text: &str) -> Cow<'_, str> {
    composed(text.strip_prefix('\u{feff}').unwrap_or(text))
}

/// A file of more than [`LARGEST`] bytes; who reads one need read no further.
pub fn too_large(name: &str) -> Problem {
    Problem::new("this file is too large for a job")
        .at(Place::File(name.to_owned()))
        .figures(format!("more than {LARGEST} bytes"))
        .help("is it a job file? One job holds up to 20000 tubes, so split it into several")
}

things! {
    JobFile (here = |node: &Node<'_>, _| Some(node.here()), note = note):
        title = |node, key| node.printed_word(key, LONGEST_TITLE), units, sheet, root_gap, weld_leg, weld_throat, stock, stacks,
        bodies, tubes, keep_clear;
    Sheet (units = said_elsewhere, weld_leg = said_elsewhere, weld_throat = said_elsewhere):
        paper, paper_thickness, ruler_reads, seam, stations, fractions, label, without;
    Stock: size = needed, stick, kerf;
    Tube (here = whole): stock = needed, path, start, end, turned, corner, coupling, repeat;
    Point (here = whole): on, along, round, out, step, at, fall, towards, drain = drain;
    End: join, to, touch, clearance, root_gap, also, made;
    Corner: pieces, radius;
    Coupling: at = needed, gap = needed, sleeve;
    Repeat: times = needed, step, turn, about;
    KeepClear: tube = needed, body = needed, by = needed;
}

/// The keys of a drain.
const DRAIN: &[&str] = &["above_floor"];

fn drain(node: &Node<'_>, key: &str) -> Option<Drain> {
    let node = node.child(key)?;
    node.takes(DRAIN);
    let above_floor = node.needed_word("above_floor")?;
    Some(Drain { above_floor })
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use schemars::JsonSchema;

    use super::super::raw::{
        Body, Diameter, FoundHole, KeepOff, MeasuredDish, Offset, OnStack, OnTop, Section, Stack, StackPart,
    };
    use super::*;
    use crate::job::schema::{NOTE, schema};

    #[test]
    fn the_keys_that_are_read_are_those_that_the_schema_lists() {
        let job = ("", schema());
        let definitions = schema()["$defs"].as_object().into_iter().flatten();
        let definitions = definitions.map(|(name, definition)| (name.as_str(), definition));
        let objects = definitions.chain([job]).filter_map(|(name, definition)| {
            let keys = definition["properties"].as_object()?;
            Some((name.to_owned(), keys.keys().map(String::as_str).collect()))
        });
        let listed: BTreeMap<String, BTreeSet<&str>> = objects.collect();

        fn of<T: JsonSchema>(keys: &[&'static str]) -> (String, BTreeSet<&'static str>) {
            (
                T::schema_name().into_owned(),
                keys.iter().copied().chain([NOTE]).collect(),
            )
        }
        fn read<T: Thing + JsonSchema>() -> (String, BTreeSet<&'static str>) {
            of::<T>(T::KEYS)
        }
        let read = [
            (String::new(), read::<JobFile>().1),
            of::<Drain>(DRAIN),
            read::<Sheet>(),
            read::<Stock>(),
            read::<Tube>(),
            read::<Point>(),
            read::<End>(),
            read::<Corner>(),
            read::<Coupling>(),
            read::<Repeat>(),
            read::<KeepClear>(),
            read::<Body>(),
            read::<MeasuredDish>(),
            read::<KeepOff>(),
            read::<FoundHole>(),
            read::<OnStack>(),
            read::<Section>(),
            read::<Diameter>(),
            read::<Offset>(),
            read::<Stack>(),
            read::<OnTop>(),
            read::<StackPart>(),
        ];
        assert_eq!(BTreeMap::from(read), listed);
    }

    #[test]
    fn every_problem_is_found_with_its_line_column_and_path() {
        let text = "{\n  \"titel\": \"x\",\n  \"tubes\": {\n    \"riser\": { \"stock\": \"a\", \"path\": [ { \"alnog\": 3 }, 7 ] }\n  }\n}";
        let problems = read_job("frame.json", text).expect_err("three problems").to_string();
        assert!(
            problems.contains("frame.json:2:3  titel") && problems.contains("did you mean \"title\""),
            "{problems}"
        );
        assert!(
            problems.contains("frame.json:4:42  tubes.riser.path[0].alnog"),
            "{problems}"
        );
        assert!(problems.contains("tubes.riser.path[1]"), "{problems}");
    }

    #[test]
    fn what_is_not_json_is_refused_where_it_goes_wrong() {
        for text in ["", "{", "[1, 2", "{\"title\": }", "nonsense", "{\"a\": 1e999}"] {
            let problems = read_job("job.json", text).expect_err(text).to_string();
            assert!(problems.contains("job.json"), "{text}: {problems}");
        }
        let deep = "[".repeat(100_000);
        assert!(read_job("deep.json", &deep).is_err());
    }
}
