//! Every kind of problem that the program can make, held to what it says, where, with which figures, and how to mend it. The
//! table is in tests/problems; a kind that is made somewhere in the sources and has no row there fails here.

mod problem_rows;
mod support;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use problem_rows::{Asked, Row, Said, kinds_of, patched, rows, said_of};
use support::Shop;

/// What only the page, the system or a fault of the program brings about: of these it is held that they say how to mend it.
#[rustfmt::skip]
const UNREACHED: [(&str, &str, &str); 32] = [
    ("cli/common.rs", "a PDF can't be shown on a terminal", "standard output is a terminal"),
    ("cli/mod.rs", "standard output can't be written", "faults.rs: a full disk"),
    ("job/edit/tree.rs", "a job file is one JSON object", "the page"),
    ("layout/panel.rs", "this can't be drawn: a place in it is not a number", "a fault of the program"),
    ("layout/sheets/laid.rs", "this would take too many sheets", "its own test: 30,000 sheets take long"),
    ("output/fonts.rs", "the sheets can't print U+{code:04X}", "refused at the door"),
    ("output/fonts.rs", "the letters can't be put into the PDF", "a fault of the program"),
    ("output/pdf.rs", "the PDF can't be put together", "a fault of the program"),
    ("page/made.rs", "the file can't be written", "a fault of the program"),
    ("page/mod.rs", "the system has no randomness to make a token of", "the system"),
    ("page/mod.rs", "the page can't be served on this port", "page_safety.rs: another program has the port"),
    ("page/mod.rs", "the page can't be served", "the system"),
    ("page/network.rs", "{what}", "page_network.rs: which addresses there are is the machine's"),
    ("page/job/disk.rs", "the job file can't be {done}", "page_job.rs"),
    ("page/job/edits.rs", "a {what} can't be begun here", "the page"),
    ("page/job/edits.rs", "what the tube lands on can't be drawn as it stands", "the page"),
    ("page/job/files.rs", "there are no sheets of this by itself", "the page"),
    ("page/job/mod.rs", "the page asked for something that the program doesn't know", "the page"),
    ("page/job/vessel.rs", "{} can't be measured on this vessel", "the page"),
    ("plan/drain.rs", "a drain must land on a body", "refused at the door"),
    ("plan/drain.rs", "a drain needs a body in which a hole can be cut", "refused at the door"),
    ("plan/drain.rs", "a part of the drain's wall misses its body", "its hole misses it, too"),
    ("plan/drain.rs", "no place was found for this drain", "none is known that has no place"),
    ("plan/end.rs", "the cut can't be told in numbers", "a fault of the program"),
    ("plan/facets.rs", "a part of the tube's wall passes beside the header", "refused at the door"),
    ("plan/trial/end_of_job.rs", "a part of the tube's wall passes beside {on}", "refused when it is cut"),
    ("plan/trial/mod.rs", "a part of the tube's wall passes beside the header", "refused at the door"),
    ("solver/among.rs", "the cut has no longest and shortest place", "a fault of the program"),
    ("solver/compass.rs", "the hole's outline doesn't go round the place where the tube's axis meets the skin", "its end misses the skin, too"),
    ("solver/covered.rs", "the edge of what covers this hole was lost", "a fault of the program"),
    ("solver/fit.rs", "the cut can't be drawn as a smooth curve", "a fault of the program"),
    ("solver/tube_end.rs", "the cut has no longest and shortest place", "a fault of the program"),
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

/// Each kind of problem, by its file and its sentence, with the code that makes it.
fn all_kinds() -> Vec<(String, String, String)> {
    let src = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/src"));
    let mut found = Vec::new();
    for path in sources(src) {
        let source = fs::read_to_string(&path).expect("text");
        let name = path.strip_prefix(src).expect("within").display().to_string();
        // The equations' solver has a Problem of its own.
        if name.starts_with("problem/") || source.contains("use microlp") {
            continue;
        }
        found.extend(
            kinds_of(&source)
                .into_iter()
                .map(|(kind, code)| (name.clone(), kind, code)),
        );
    }
    found
}

#[test]
fn every_kind_of_problem_has_a_row_in_the_table() {
    let mut places: BTreeMap<(String, String), [usize; 2]> = BTreeMap::new();
    for (file, kind, _) in all_kinds() {
        places.entry((file, kind)).or_default()[0] += 1;
    }
    for row in rows() {
        places.entry((row.file, row.kind)).or_default()[1] += 1;
    }
    for (file, kind, _) in UNREACHED {
        places.entry((file.to_owned(), kind.to_owned())).or_default()[1] += 1;
    }
    let total: usize = places.values().map(|[made, _]| made).sum();
    assert!(total > 250, "only {total} kinds were found");
    let without: Vec<_> = places.iter().filter(|(_, [made, rows])| made > rows).collect();
    assert!(without.is_empty(), "made, and not in the table:\n{without:#?}");
    let unmade: Vec<_> = places.iter().filter(|(_, [made, _])| *made == 0).collect();
    assert!(unmade.is_empty(), "in the table, and made nowhere:\n{unmade:#?}");
}

#[test]
#[cfg(unix)]
fn every_problem_says_what_where_with_which_figures_and_how_to_mend_it() {
    let mut wrong = Vec::new();
    for row in rows() {
        if let Err(words) = held(&row) {
            wrong.push(format!("{}: {}\n{words}", row.file, row.kind));
        }
    }
    assert!(wrong.is_empty(), "{} rows:\n\n{}", wrong.len(), wrong.join("\n\n"));
}

/// Asks as the row says; all that is said must be what it says, and nothing else.
fn held(row: &Row) -> Result<(), String> {
    let all = match &row.asked {
        Asked::Edits(edits) => problem_rows::said_of_edits(edits),
        asked => {
            let shop = Shop::open();
            for file in &row.files {
                shop.write(file, b"older");
            }
            if let Some(job) = asked.job() {
                shop.write("job.json", &job);
            }
            let run = shop.run(&row.run);
            let all = said_of(&run.err());
            if let Some(text) = asked.job().and_then(|job| String::from_utf8(job).ok()) {
                all.into_iter()
                    .map(|said| said.led_into(&text))
                    .collect::<Result<_, _>>()?
            } else {
                all
            }
        }
    };
    let [said] = all.as_slice() else {
        return Err(format!("{} problems: {all:#?}", all.len()));
    };
    for (which, part) in [("what", &said.what), ("at", &said.at), ("help", &said.help)] {
        if part.is_empty() && !(which == "at" && row.says.at.is_empty()) {
            return Err(format!("it has no {which}: {said:#?}"));
        }
    }
    if *said != row.says {
        return Err(format!("wanted {:#?}\nsaid   {said:#?}", row.says));
    }
    Ok(())
}

/// Kinds whose place is what was asked as a whole.
#[test]
fn nearly_every_problem_has_a_place() {
    let placeless: Vec<String> = rows()
        .into_iter()
        .filter(|row| row.says.at.is_empty() && !matches!(row.asked, Asked::Edits(_)))
        .map(|row| row.kind)
        .collect();
    assert_eq!(placeless, PLACELESS);
}

/// Of whole sheets, which no one word is to blame for.
const PLACELESS: [&str; 0] = [];

#[test]
fn what_cannot_be_brought_about_here_says_how_to_mend_it_too() {
    for (file, kind, code) in all_kinds() {
        if UNREACHED.iter().any(|(of, what, _)| (*of, *what) == (&file, &kind)) {
            let is_of_the_system = ["the letters can't be put", "the PDF can't be put together"];
            let is_excused = is_of_the_system.iter().any(|words| kind.starts_with(words));
            assert!(code.contains(".help(") || is_excused, "{file}: {kind}");
        }
    }
}

#[test]
fn a_kind_is_its_sentence_and_ends_with_its_function() {
    let source = "fn a() {\n    Problem::new(\"x\")\n}\n\nfn b() {\n    Problem::output(format!(\"y \\\"{z}\\\"\")).help(\"z\")\n}\n\nfn c() {\n    Problem::new(what)\n}\n";
    let found = kinds_of(source);
    let kinds: Vec<&str> = found.iter().map(|(kind, _)| kind.as_str()).collect();
    assert_eq!(kinds, ["x", "y \"{z}\"", "{what}"]);
    assert!(
        !found[0].1.contains(".help(") && found[1].1.contains(".help("),
        "{found:?}"
    );
}

#[test]
fn a_row_is_told_from_what_is_said_otherwise() {
    let said = |text: &str| said_of(text).into_iter().next().expect("one");
    let whole = said("error: it is wrong\n  --> --branch \"1\"\n   |  1 of 2\n   |  help: mend it");
    assert_eq!(
        whole,
        Said {
            what: "it is wrong".into(),
            at: "--branch \"1\"".into(),
            figures: "1 of 2".into(),
            help: "mend it".into()
        }
    );
    for less in [
        "error: it is wrong\n   |  1 of 2\n   |  help: mend it",
        "error: it is wrong\n  --> --branch \"1\"\n   |  help: mend it",
        "error: it is wrong\n  --> --branch \"1\"\n   |  1 of 2",
    ] {
        assert_ne!(said(less), whole, "{less}");
    }
    // A place in a job must be where its path leads.
    let job = "{\n  \"tubes\": { \"t\": { \"stock\": \"a\" } }\n}";
    let at = |place: &str| said(&format!("error: x\n  --> job.json:{place}\n   |  help: y")).led_into(job);
    assert_eq!(at("2:30  tubes.t.stock").expect("there").at, "tubes.t.stock");
    assert!(at("2:20  tubes.t.stock").is_err() && at("1:1  tubes.t.stock").is_err());
    assert_eq!(
        patched(&["tubes.t.stock: !".to_owned()])["tubes"]["t"].get("stock"),
        None
    );
}
