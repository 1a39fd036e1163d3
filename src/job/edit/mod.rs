//! A job file's text, changed by place: what an edit doesn't touch is kept byte for byte.

mod laid_out;
mod place;
mod rename;
mod splice;
mod tree;

pub use place::{Key, Way};
pub use tree::Tree;

use serde::Deserialize;

use crate::problem::{Problem, quoted};

/// One change.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Edit {
    /// Something was typed into a field: a bare number becomes a number unless a text stands there. What is not there yet
    /// is made; an emptied field takes its key away, and what held nothing else.
    Type {
        /// Where it goes.
        at: Way,
        /// As typed.
        words: String,
    },
    /// A value takes the place of another, or a new place; one past a list's end is added to it.
    Put {
        /// Where it goes.
        at: Way,
        /// The value, as JSON.
        json: String,
    },
    /// A value goes into a list before another.
    Insert {
        /// Of the one that it goes before.
        at: Way,
        /// The value, as JSON.
        json: String,
    },
    /// Something is taken out.
    Remove {
        /// Where it is.
        at: Way,
    },
    /// Stock, a stack, a body or a tube gets another name, and whatever names it follows.
    Rename {
        /// Where it is.
        at: Way,
        /// Its new name.
        name: String,
    },
}

/// The text with the changes, one after the other.
///
/// # Errors
/// Where the text is not JSON, a place is not there, or a name is taken.
pub fn edited(text: &str, edits: &[Edit]) -> Result<String, Problem> {
    let (mark, text) = match text.strip_prefix('\u{feff}') {
        Some(rest) => ("\u{feff}", rest),
        None => ("", text),
    };
    let mut text = text.to_owned();
    for edit in edits {
        text = apply(&text, edit)?;
    }
    Ok(format!("{mark}{text}"))
}

fn apply(text: &str, edit: &Edit) -> Result<String, Problem> {
    let tree = Tree::new(text)?;
    let splices = match edit {
        Edit::Type { at, words } if words.is_empty() => match at.split_last() {
            Some((Key::Name(_), _)) => tree.value(at).map_or(Ok(Vec::new()), |_| splice::emptied(&tree, at)),
            _ => splice::put(&tree, at, "\"\""),
        },
        Edit::Type { at, words } => splice::put(&tree, at, &word(words, tree.is_text(at))),
        Edit::Put { at, json } => splice::put(&tree, at, json),
        Edit::Insert { at, json } => splice::insert(&tree, at, json),
        Edit::Remove { at } => splice::remove(&tree, at),
        Edit::Rename { at, name } => rename::splices(&tree, at, name),
    };
    Ok(splice::spliced(text, splices?))
}

/// What was typed as JSON.
fn word(typed: &str, is_text: bool) -> String {
    let is_number = serde_json::from_str::<serde_json::Number>(typed).is_ok();
    if is_number && !is_text {
        return typed.to_owned();
    }
    text_of(typed)
}

/// A text as JSON.
fn text_of(words: &str) -> String {
    serde_json::Value::from(words).to_string()
}

fn not_there(at: &[Key]) -> Problem {
    let last = at.last().map_or_else(String::new, ToString::to_string);
    Problem::new(format!("{} is not there any more", quoted(&last))).help("undo, or open the job anew")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn way(path: &str) -> Way {
        let keys = path.split('/').filter(|key| !key.is_empty()).enumerate();
        // The outermost is an object, whatever its names look like.
        let key = |(deep, key): (usize, &str)| match key.parse() {
            Ok(index) if deep > 0 => Key::Index(index),
            _ => Key::from(key),
        };
        keys.map(key).collect()
    }

    fn changed(text: &str, edit: Edit) -> String {
        edited(text, &[edit]).unwrap_or_else(|problem| panic!("{problem}"))
    }

    fn typed(text: &str, at: &str, words: &str) -> String {
        let words = words.to_owned();
        changed(text, Edit::Type { at: way(at), words })
    }

    fn put(text: &str, at: &str, json: &str) -> String {
        let json = json.to_owned();
        changed(text, Edit::Put { at: way(at), json })
    }

    const TEXT: &str = "{\n  // mine\n  \"a\": { \"x\": 1.50, \"y\": \"2 in\" }, // why\n  \"2\": [1, 2.0,3],\n  \"b\": {},\r\n  \"1\": 1e1 // last\n}\n";

    #[test]
    fn a_word_changes_and_nothing_else_does() {
        assert_eq!(typed(TEXT, "a/x", "1.60"), TEXT.replace("1.50", "1.60"));
        assert_eq!(typed(TEXT, "a/x", "1-7/8"), TEXT.replace("1.50", "\"1-7/8\""));
        // A text stays one.
        assert_eq!(typed(TEXT, "a/y", "3"), TEXT.replace("2 in", "3"));
        assert_eq!(typed(TEXT, "2/1", "2.5"), TEXT.replace("2.0", "2.5"));
        assert_eq!(typed(TEXT, "a/x", "-1e999"), TEXT.replace("1.50", "\"-1e999\""));
    }

    #[test]
    fn what_is_new_stands_as_its_neighbours_do() {
        assert_eq!(
            typed(TEXT, "a/z", "7"),
            TEXT.replace("\"2 in\" }", "\"2 in\", \"z\": 7 }")
        );
        assert_eq!(
            typed(TEXT, "new/deep", "7"),
            TEXT.replace("1e1 // last\n", "1e1, // last\r\n  \"new\": { \"deep\": 7 }\n")
        );
        assert_eq!(put(TEXT, "2/3", "[ 4 ]"), TEXT.replace("2.0,3]", "2.0,3, [4]]"));
        assert_eq!(
            put(TEXT, "b/x", "{\"k\":  [1.0]}"),
            TEXT.replace("\"b\": {}", "\"b\": {\r\n    \"x\": { \"k\": [1.0] }\r\n  }")
        );
        assert_eq!(
            put("{\n \"a\": [\n  1,\n ]\n}", "a/1", "2"),
            "{\n \"a\": [\n  1,\n  2,\n ]\n}"
        );
    }

    #[test]
    fn what_is_taken_out_takes_its_comma_along_and_no_note_of_another() {
        let gone = |at: &str| changed(TEXT, Edit::Remove { at: way(at) });
        assert_eq!(gone("a/x"), TEXT.replace("\"x\": 1.50, ", ""));
        assert_eq!(gone("a/y"), TEXT.replace(", \"y\": \"2 in\"", ""));
        assert_eq!(gone("2/0"), TEXT.replace("[1, 2.0,3]", "[2.0,3]"));
        assert_eq!(gone("1"), TEXT.replace("{},\r\n  \"1\": 1e1 // last\n", "{} // last\n"));
        assert_eq!(gone("b"), TEXT.replace("  \"b\": {},\r\n", ""));
        assert_eq!(
            typed("{\"a\": {\"b\": {\"c\": {\"d\": 1}}}}", "a/b/c/d", ""),
            "{\"a\": {\"b\": {}}}"
        );
        assert_eq!(
            typed("{\"a\": {\"b\": {\"c\": 1}}}", "a/b/c", ""),
            "{\"a\": {\"b\": {}}}"
        );
        assert_eq!(typed("{\"sheet\": {\"paper\": \"a4\"}}", "sheet/paper", ""), "{}");
        assert_eq!(typed("{\"a\": 1}", "b", ""), "{\"a\": 1}");
    }

    #[test]
    fn a_name_changes_wherever_it_is_meant() {
        let text = r#"{ "stock": { "lower": {} }, "bodies": { "lower": {}, "upper": { "note": "lower" } },
            "tubes": { "r": { "stock": "lower", "path": [ { "on": "lower" }, { "on": "r 2" } ], "repeat": { "about": "lower" } } },
            "keep_clear": [ { "tube": "r", "body": "lower" } ] }"#;
        let nodes = r#"{ "bodies": { "lower": {} }, "tubes": { "r": {}, "s": { "end": { "also": [ "r 2", "lower", "r" ] } } },
            "keep_clear": [ { "tube": "s", "body": "seam of lower" } ] }"#;
        let of_node = |at: &str, name: &str| {
            let name = name.to_owned();
            edited(nodes, &[Edit::Rename { at: way(at), name }]).expect("a name")
        };
        assert_eq!(of_node("bodies/lower", "low"), nodes.replace("lower\"", "low\""));
        assert_eq!(
            of_node("tubes/r", "post"),
            nodes.replace("\"r\"", "\"post\"").replace("\"r 2\"", "\"post 2\"")
        );
        let renamed = |at: &str, name: &str| {
            let name = name.to_owned();
            edited(text, &[Edit::Rename { at: way(at), name }])
        };
        let low = renamed("bodies/lower", "low").expect("a name");
        assert_eq!(
            low,
            text.replace("\"bodies\": { \"lower\"", "\"bodies\": { \"low\"")
                .replace("\"on\": \"lower\"", "\"on\": \"low\"")
                .replace("\"about\": \"lower\"", "\"about\": \"low\"")
                .replace("\"body\": \"lower\"", "\"body\": \"low\"")
        );
        let post = renamed("tubes/r", "post").expect("a name");
        assert_eq!(post, text.replace("\"r\"", "\"post\"").replace("\"r 2\"", "\"post 2\""));
        assert!(renamed("bodies/lower", "upper").is_err() && renamed("bodies/gone", "x").is_err());
    }

    #[test]
    fn places_that_are_not_there_and_words_that_are_not_json_are_refused() {
        for (text, edit) in [
            ("{", Edit::Remove { at: way("a") }),
            (TEXT, Edit::Remove { at: way("gone") }),
            (TEXT, Edit::Remove { at: way("") }),
            (
                TEXT,
                Edit::Put {
                    at: way("a/x"),
                    json: "1, 2".to_owned(),
                },
            ),
            (
                TEXT,
                Edit::Put {
                    at: way("2/9"),
                    json: "1".to_owned(),
                },
            ),
            (
                TEXT,
                Edit::Put {
                    at: way("a/x/deeper"),
                    json: "1".to_owned(),
                },
            ),
            (
                TEXT,
                Edit::Insert {
                    at: way("a/x"),
                    json: "1".to_owned(),
                },
            ),
        ] {
            assert!(edited(text, std::slice::from_ref(&edit)).is_err(), "{edit:?}");
        }
    }

    #[test]
    fn a_place_is_found_by_where_it_stands() {
        let tree = Tree::new(TEXT).expect("JSON");
        let at = |words: &str| tree.way_to(TEXT.find(words).expect("there"));
        assert_eq!(at("1.50"), way("a/x"));
        assert_eq!(at("\"x\""), way("a/x"));
        assert_eq!(at("2.0"), vec![Key::Name("2".to_owned()), Key::Index(1)]);
    }
}
