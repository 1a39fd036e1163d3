//! What is wrong and what to know, with the way to what it is about.

use serde::Serialize;

use crate::job::edit::{Key, Tree, Way};
use crate::job::read::plain;
use crate::problem::{Place, Problem};

/// A problem and where it stands.
#[derive(Debug, Serialize)]
pub(super) struct Wrong {
    pub(super) what: String,
    pub(super) figures: Option<String>,
    pub(super) help: Option<String>,
    /// The way to the field.
    pub(super) at: Way,
    /// From 1, where there is one.
    pub(super) line: Option<usize>,
}

/// Something to know, and the things that it names.
#[derive(Debug, Serialize)]
pub(super) struct Note {
    pub(super) words: String,
    pub(super) about: Vec<Way>,
}

/// Problems as they stand on the page, of a text.
pub(super) fn wrongs<'p>(text: &str, problems: impl Iterator<Item = &'p Problem>) -> Vec<Wrong> {
    let text = plain(text);
    let tree = Tree::new(&text).ok();
    problems.map(|problem| wrong(problem, tree.as_ref())).collect()
}

/// One of them, where its text can be read.
pub(super) fn wrong(problem: &Problem, tree: Option<&Tree<'_>>) -> Wrong {
    let place = problem.place.as_deref().and_then(word_of);
    Wrong {
        what: problem.what.clone(),
        figures: problem.figures.as_ref().map(ToString::to_string),
        help: problem.help.clone(),
        at: place
            .zip(tree)
            .map_or_else(Way::new, |((line, column), tree)| tree.way_at(line, column)),
        line: place.map(|(line, _)| line),
    }
}

fn word_of(place: &Place) -> Option<(usize, usize)> {
    match place {
        Place::Word { line, column, .. } => Some((*line, *column)),
        Place::Found { word, .. } => word_of(word.as_deref()?),
        Place::Flag { .. } | Place::File(_) => None,
    }
}

/// Every tube, body and stack with the way to it, long names first.
pub(super) fn named_things(tree: &Tree<'_>) -> Vec<(String, Way)> {
    let sections = ["tubes", "bodies", "stacks"];
    let things = sections.into_iter().flat_map(|section| {
        let names = tree.names(&[section.into()]).into_iter();
        names.map(move |name| (name.clone(), vec![section.into(), Key::Name(name)]))
    });
    let mut things: Vec<(String, Way)> = things.filter(|(name, _)| name != "note").collect();
    things.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
    things
}

/// The things that are named in words, in the order in which they are; a name within a longer one is not meant.
pub(super) fn about(words: &str, things: &[(String, Way)]) -> Vec<Way> {
    let mut free = words.to_owned();
    let mut found = Vec::new();
    for (name, way) in things.iter().filter(|(name, _)| !name.is_empty()) {
        let is_letter = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
        let at = free.match_indices(name.as_str()).find(|(at, _)| {
            !is_letter(free[..*at].chars().next_back()) && !is_letter(free[at + name.len()..].chars().next())
        });
        if let Some((at, _)) = at {
            free.replace_range(at..at + name.len(), &"\u{0}".repeat(name.len()));
            found.push((at, way.clone()));
        }
    }
    found.sort_by_key(|(at, _)| *at);
    found.into_iter().map(|(_, way)| way).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_leads_to_what_it_names_and_not_to_what_its_name_is_a_part_of() {
        let text = r#"{ "bodies": { "drum": {}, "upper drum": {}, "rum": {} }, "tubes": { "riser": {} } }"#;
        let tree = Tree::new(text).expect("JSON");
        let things = named_things(&tree);
        let of = |words: &str| about(words, &things).concat();
        let expected: Way = vec!["tubes".into(), "riser".into(), "bodies".into(), "upper drum".into()];
        assert_eq!(of("CLASH: riser 3 against upper drum, 2 mm apart"), expected);
        assert_eq!(of("drums and risers"), Way::new());
    }
}
