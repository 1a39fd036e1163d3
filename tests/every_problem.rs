//! Every problem that the program can make says how to mend it: a new one without help fails here.

use std::fs;
use std::path::{Path, PathBuf};

/// Several problems that share the help behind the last of them, by the words of each that has none of its own.
const SHARED: [&str; 2] = ["has corners of a radius below 0", "has corners wider than half a side"];

/// What only the system or a fault of the program brings about.
const OF_THE_SYSTEM: [&str; 6] = [
    "the letters can't be put into the PDF",
    "the DXF can't be written",
    "the report can't be written",
    "the cut list can't be written",
    "the PDF can't be put together",
    "page {page}",
];

fn sources(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).expect("a folder");
    let mut found = Vec::new();
    for path in entries.map(|entry| entry.expect("an entry").path()) {
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
    found
}

/// Each problem that a source makes, from where it is made to the next one or the end of its function.
fn problems(source: &str) -> Vec<&str> {
    let code = source.split("\n#[cfg(test)]").next().unwrap_or_default();
    let starts = |from: usize| {
        let new = code[from..].find("Problem::new(");
        let output = code[from..].find("Problem::output(");
        [new, output].into_iter().flatten().min().map(|at| from + at)
    };
    let mut found = Vec::new();
    let mut next = starts(0);
    while let Some(start) = next {
        next = starts(start + 1);
        let function = ["\nfn ", "\npub", "\n    fn ", "\n    pub"]
            .iter()
            .filter_map(|end| code[start..].find(end));
        let end = function.map(|at| start + at).chain(next).min().unwrap_or(code.len());
        found.push(&code[start..end]);
    }
    found
}

#[test]
fn every_problem_says_how_to_mend_it() {
    let (mut count, mut without) = (0, Vec::new());
    for path in sources(Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/src"))) {
        let source = fs::read_to_string(&path).expect("text");
        // The equations' solver has a Problem of its own.
        if path.ends_with("problem.rs") || source.contains("use microlp") {
            continue;
        }
        for problem in problems(&source) {
            count += 1;
            let is_excused = SHARED.iter().chain(&OF_THE_SYSTEM).any(|words| problem.contains(words));
            if !problem.contains(".help(") && !is_excused {
                without.push(format!("{}: {}", path.display(), &problem[..problem.len().min(160)]));
            }
        }
    }
    assert!(count > 150, "only {count} problems were found");
    assert!(without.is_empty(), "no help:\n{}", without.join("\n"));
}

#[test]
fn a_problem_without_help_is_seen() {
    let source = "fn a() {\n    Problem::new(\"x\")\n}\n\nfn b() {\n    Problem::new(\"y\").help(\"z\")\n}\n";
    let found = problems(source);
    assert_eq!(found.len(), 2);
    assert!(!found[0].contains(".help(") && found[1].contains(".help("), "{found:?}");
}
