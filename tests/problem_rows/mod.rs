//! The table of problems: how its rows are read, asked and compared.
//!
//! A row begins with `== FILE: SENTENCE`, as the source has them. Then what is asked: `run:` a command (`_` stands for a space
//! within a word); `job:` the job of tests/problems/job.json with the changes that follow, each `PATH: JSON` (`!` takes it out,
//! `!many N JSON` is a list of so many); `text:` or `bytes:` a whole job file; `file:` a file that is there already; `edits:`
//! changes of that job. Then what must be said: `what:`, `at:`, `figures:` and `help:`, whole; one that is missing says nothing.

#![allow(unreachable_pub, reason = "a part of one test")]

use std::fs;
use std::path::Path;

use girthline::job::edit::{Edit, edited};
use serde_json::{Value, json};

/// What is said of a problem.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Said {
    pub what: String,
    pub at: String,
    pub figures: String,
    pub help: String,
}

/// What brings the problem about, besides the command.
#[derive(Debug, Clone, Default)]
pub enum Asked {
    #[default]
    Nothing,
    Job(Vec<String>),
    Bytes(Vec<u8>),
    Edits(String),
}

/// A row of the table.
#[derive(Debug, Clone, Default)]
pub struct Row {
    pub file: String,
    pub kind: String,
    pub run: String,
    pub files: Vec<String>,
    pub asked: Asked,
    pub says: Said,
}

const JOB: &str = include_str!("../problems/job.json");

fn folder() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/problems"))
}

/// All of them.
pub fn rows() -> Vec<Row> {
    let mut files: Vec<_> = fs::read_dir(folder())
        .expect("the table")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "txt"))
        .collect();
    files.sort();
    let texts = files.iter().map(|path| fs::read_to_string(path).expect("text"));
    let mut rows: Vec<Row> = Vec::new();
    for line in texts.flat_map(|text| text.lines().map(str::to_owned).collect::<Vec<_>>()) {
        match line.strip_prefix("== ") {
            Some(head) => {
                let (file, kind) = head.split_once(": ").expect("a file and a sentence");
                rows.push(Row {
                    file: file.to_owned(),
                    kind: kind.to_owned(),
                    run: "batch job.json --check".to_owned(),
                    ..Row::default()
                });
            }
            None if line.is_empty() => {}
            None => rows.last_mut().expect("a head").read(&line),
        }
    }
    rows
}

impl Row {
    fn read(&mut self, line: &str) {
        let (key, value) = line.split_once(':').expect("a key");
        let value = value.trim_start();
        match key {
            "run" => self.run = value.to_owned(),
            "file" => self.files.push(value.to_owned()),
            "job" => self.asked = Asked::Job(Vec::new()),
            "text" => self.asked = Asked::Bytes(value.as_bytes().to_vec()),
            "bytes" => {
                let bytes = value
                    .split(' ')
                    .map(|byte| u8::from_str_radix(byte, 16).expect("a byte"));
                self.asked = Asked::Bytes(bytes.collect());
            }
            "edits" => self.asked = Asked::Edits(value.to_owned()),
            "what" => self.says.what = value.to_owned(),
            "at" => self.says.at = value.to_owned(),
            "figures" => self.says.figures = value.to_owned(),
            "help" => self.says.help = value.to_owned(),
            _ => match &mut self.asked {
                Asked::Job(changes) => changes.push(line.to_owned()),
                _ => panic!("{line}"),
            },
        }
    }
}

impl Asked {
    /// The job file, where there is one.
    pub fn job(&self) -> Option<Vec<u8>> {
        match self {
            Self::Job(changes) => {
                let job = patched(changes);
                Some(serde_json::to_vec_pretty(&job).expect("JSON"))
            }
            Self::Bytes(bytes) => Some(bytes.clone()),
            Self::Nothing | Self::Edits(_) => None,
        }
    }
}

/// The keys and numbers of a path.
fn steps(path: &str) -> Vec<String> {
    path.split(['.', '['])
        .map(|step| step.trim_end_matches(']').to_owned())
        .collect()
}

/// The job with changes.
pub fn patched(changes: &[String]) -> Value {
    let mut job: Value = serde_json::from_str(JOB).expect("JSON");
    for change in changes {
        let (path, value) = change.split_once(": ").expect("a path and a value");
        let steps = steps(path);
        let (last, way) = steps.split_last().expect("a path");
        let mut at = &mut job;
        for step in way {
            at = match step.parse::<usize>() {
                Ok(index) => &mut at[index],
                Err(_) => &mut at[step.as_str()],
            };
        }
        let value = (value != "!").then(|| value_of(value));
        match (at, value) {
            (Value::Array(list), Some(value)) => {
                let index: usize = last.parse().expect("a number");
                list.truncate(list.len().max(index));
                if index == list.len() {
                    list.push(value);
                } else {
                    list[index] = value;
                }
            }
            (at, Some(value)) => at[last.as_str()] = value,
            (at, None) => {
                at.as_object_mut()
                    .expect("an object")
                    .shift_remove(last.as_str())
                    .expect(path);
            }
        }
    }
    job
}

fn value_of(words: &str) -> Value {
    let Some((count, of)) = words.strip_prefix("!many ").and_then(|rest| rest.split_once(' ')) else {
        return serde_json::from_str(words).unwrap_or_else(|error| panic!("{words}: {error}"));
    };
    let count: usize = count.parse().expect("a number");
    let one = |number: usize| {
        let mut one: Value = serde_json::from_str(of).expect("JSON");
        if one.get("name").is_some() {
            one["name"] = json!(format!("{} {number}", one["name"].as_str().expect("a name")));
        }
        if let Some(z) = one.get("at").and_then(|at| at[2].as_u64()) {
            one["at"][2] = json!(z + 100 * number as u64);
        }
        one
    };
    (1..=count).map(one).collect()
}

/// Each problem that is said on the terminal; of its places the first.
pub fn said_of(err: &str) -> Vec<Said> {
    let mut all: Vec<Said> = Vec::new();
    for line in err.lines() {
        if let Some(what) = line.strip_prefix("error: ") {
            all.push(Said {
                what: what.to_owned(),
                ..Said::default()
            });
            continue;
        }
        let Some(said) = all.last_mut() else { continue };
        if let Some(at) = line.strip_prefix("  --> ") {
            if said.at.is_empty() {
                said.at = at.to_owned();
            }
        } else if let Some(help) = line.strip_prefix("   |  help: ") {
            said.help = help.to_owned();
        } else if let Some(figures) = line.strip_prefix("   |  ") {
            said.figures = figures.to_owned();
        }
    }
    all
}

/// What is said of edits of the job.
pub fn said_of_edits(edits: &str) -> Vec<Said> {
    let edits: Vec<Edit> = serde_json::from_str(edits).expect("edits");
    let problem = edited(JOB, &edits).expect_err("a problem");
    said_of(&problem.to_string())
}

impl Said {
    /// The same with its line and column taken away, where its path leads there in the job's text; the path of what is found in
    /// geometry has the name of its thing behind it.
    pub fn led_into(self, text: &str) -> Result<Self, String> {
        let Some(rest) = self.at.strip_prefix("job.json:") else {
            return Ok(self);
        };
        let (numbers, path) = rest.split_once("  ").unwrap_or((rest, ""));
        let (line, column) = numbers.split_once(':').ok_or("no column")?;
        let [line, column]: [usize; 2] = [line, column].map(|number| number.parse().unwrap_or(0));
        let stands: String = text
            .lines()
            .nth(line.wrapping_sub(1))
            .and_then(|line| line.get(column.wrapping_sub(1)..))
            .ok_or_else(|| format!("there is no {numbers} in the text"))?
            .to_owned();
        let way = path.split(", ").next().unwrap_or_default();
        if !way.is_empty() && !leads_to(text, way, &stands) {
            return Err(format!("at {numbers} stands {stands:?}, which is not {way}"));
        }
        let at = if path.is_empty() { numbers } else { path }.to_owned();
        Ok(Self { at, ..self })
    }
}

/// Whether what stands at a place of the text is what the way leads to, or its key.
fn leads_to(text: &str, way: &str, stands: &str) -> bool {
    let Ok(job) = serde_json::from_str::<Value>(text) else {
        return true;
    };
    let steps = steps(way);
    let key = steps
        .last()
        .is_some_and(|last| stands.starts_with(&format!("\"{last}\":")));
    let mut at = Some(&job);
    for step in &steps {
        at = at.and_then(|at| match step.parse::<usize>() {
            Ok(index) => at.get(index),
            Err(_) => at.get(step.as_str()),
        });
    }
    let value = at.is_some_and(|value| {
        let words = serde_json::to_string_pretty(value).expect("JSON");
        let first = words.lines().next().unwrap_or_default();
        stands.starts_with(first)
    });
    key || value
}

/// The kinds of problems that a source makes, each with its code to the next one or the end of its function. A kind is the
/// first text in it; of one that has none there, what makes the text.
pub fn kinds_of(source: &str) -> Vec<(String, String)> {
    let code = source.split("\n#[cfg(test)]").next().unwrap_or_default();
    let starts = |from: usize| {
        let kinds = ["Problem::new(", "Problem::output("];
        let found = kinds
            .iter()
            .filter_map(|kind| Some((code[from..].find(kind)? + from, kind.len())));
        found.min()
    };
    let mut found = Vec::new();
    let mut next = starts(0);
    while let Some((start, length)) = next {
        next = starts(start + 1);
        let function = ["\nfn ", "\npub", "\n    fn ", "\n    pub"]
            .iter()
            .filter_map(|end| code[start..].find(end));
        let end = function
            .map(|at| start + at)
            .chain(next.map(|next| next.0))
            .min()
            .unwrap_or(code.len());
        let made = code[start + length..].trim_start();
        let made = made.strip_prefix("format!(").map_or(made, str::trim_start);
        let kind = made.strip_prefix('"').map_or_else(
            || format!("{{{}}}", made.split(')').next().unwrap_or_default()),
            text_of,
        );
        found.push((kind, code[start..end].to_owned()));
    }
    found
}

/// A text of Rust, from behind its first quote to its last.
fn text_of(made: &str) -> String {
    let mut text = String::new();
    let mut letters = made.chars();
    while let Some(letter) = letters.next().filter(|letter| *letter != '"') {
        text.push(match letter {
            '\\' => letters.next().unwrap_or('\\'),
            plain => plain,
        });
    }
    text
}
