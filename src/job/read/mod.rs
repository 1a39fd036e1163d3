//! A job file's text to its words, each with its line, column and path.

mod document;
mod encoding;
mod lines;
mod node;
mod not_json;
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
use node::Node;

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
        Ok(root) => document.so_far(root.map(|root| job(&Node::root(&document, root)))),
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

fn job(root: &Node<'_>) -> JobFile {
    root.is_a::<JobFile>();
    JobFile {
        here: Some(root.here()),
        title: root.printed_word("title", LONGEST_TITLE),
        units: root.word("units"),
        sheet: root.child("sheet").map_or_else(Sheet::default, |node| sheet(&node)),
        root_gap: root.word("root_gap"),
        weld_leg: root.word("weld_leg"),
        weld_throat: root.word("weld_throat"),
        stock: root.named("stock", stock),
        stacks: root.named("stacks", vessel::stack),
        bodies: root.named("bodies", vessel::body),
        tubes: root.named("tubes", tube),
        keep_clear: root.each("keep_clear", keep_clear),
        note: root.note(),
    }
}

fn sheet(node: &Node<'_>) -> Sheet {
    node.is_a::<Sheet>();
    Sheet {
        units: None,
        paper: node.word("paper"),
        paper_thickness: node.word("paper_thickness"),
        ruler_reads: node.word("ruler_reads"),
        seam: node.word("seam"),
        stations: node.word("stations"),
        fractions: node.word("fractions"),
        label: node.word("label"),
        without: node.words("without"),
        weld_leg: None,
        weld_throat: None,
    }
}

fn stock(node: &Node<'_>) -> Stock {
    node.is_a::<Stock>();
    Stock {
        size: node.needed_word("size"),
        stick: node.word("stick"),
        kerf: node.word("kerf"),
    }
}

fn tube(node: &Node<'_>) -> Tube {
    node.is_a::<Tube>();
    Tube {
        here: node.here(),
        stock: node.needed_word("stock"),
        path: node.each("path", point),
        start: node.child("start").map_or_else(End::default, |node| end(&node)),
        end: node.child("end").map_or_else(End::default, |node| end(&node)),
        turned: node.word("turned"),
        corner: node.child("corner").map_or_else(Corner::default, |node| corner(&node)),
        coupling: node.child("coupling").map(|node| coupling(&node)),
        repeat: node.child("repeat").map(|node| repeat(&node)),
    }
}

fn point(node: &Node<'_>) -> Point {
    node.is_a::<Point>();
    Point {
        here: node.here(),
        on: node.word("on"),
        along: node.word("along"),
        round: node.word("round"),
        out: node.word("out"),
        step: node.triple("step"),
        at: vessel::spot(node, "at"),
        fall: node.word("fall"),
        towards: node.triple("towards"),
        drain: node.child("drain").and_then(|node| {
            node.is_a::<Drain>();
            Some(Drain {
                above_floor: node.needed_word("above_floor")?,
            })
        }),
    }
}

fn end(node: &Node<'_>) -> End {
    node.is_a::<End>();
    End {
        join: node.word("join"),
        to: node.word("to"),
        touch: node.word("touch"),
        clearance: node.word("clearance"),
        root_gap: node.word("root_gap"),
        also: node.words("also"),
        made: node.word("made"),
    }
}

fn corner(node: &Node<'_>) -> Corner {
    node.is_a::<Corner>();
    Corner {
        pieces: node.word("pieces"),
        radius: node.word("radius"),
    }
}

fn coupling(node: &Node<'_>) -> Coupling {
    node.is_a::<Coupling>();
    Coupling {
        at: node.needed_word("at"),
        gap: node.needed_word("gap"),
        sleeve: node.word("sleeve"),
    }
}

fn repeat(node: &Node<'_>) -> Repeat {
    node.is_a::<Repeat>();
    Repeat {
        times: node.needed_word("times"),
        step: node.triple("step"),
        turn: node.word("turn"),
        about: node.word("about"),
    }
}

fn keep_clear(node: &Node<'_>) -> KeepClear {
    node.is_a::<KeepClear>();
    KeepClear {
        tube: node.needed_word("tube"),
        body: node.needed_word("body"),
        by: node.needed_word("by"),
    }
}

#[cfg(test)]
mod tests {
    use super::read_job;

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
