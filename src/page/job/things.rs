//! The row of chips: what there is in a job, and how each thing does.

use serde::Serialize;

use super::told::{Note, Wrong};
use crate::job::edit::{Key, Tree, Way};

/// Things of one kind.
#[derive(Debug, Serialize)]
pub(super) struct Section {
    title: &'static str,
    chips: Vec<Chip>,
}

/// One of them.
#[derive(Debug, Serialize)]
struct Chip {
    at: Way,
    name: String,
    /// `x6`, where there is more to say than a name.
    says: String,
    /// `plain`, `note` or `wrong`.
    state: &'static str,
}

/// All sections in the order in which one makes a job.
pub(super) fn sections(tree: &Tree<'_>, problems: &[Wrong], notes: &[Note]) -> Vec<Section> {
    let state = |at: &[Key]| {
        if problems.iter().any(|wrong| wrong.at.starts_with(at)) {
            "wrong"
        } else if notes.iter().any(|note| note.about.iter().any(|way| way == at)) {
            "note"
        } else {
            "plain"
        }
    };
    let chip = |at: Way, name: String, says: String| Chip {
        state: state(&at),
        at,
        name,
        says,
    };
    let named = |section: &'static str| {
        let names = tree.names(&[section.into()]).into_iter().filter(|name| name != "note");
        let chips = names.map(|name| {
            let at: Way = vec![section.into(), name.as_str().into()];
            let times = tree.typed(&[at.as_slice(), &["repeat".into(), "times".into()]].concat());
            chip(at, name, times.map_or_else(String::new, |times| format!("x{times}")))
        });
        chips.collect::<Vec<_>>()
    };
    let kept = (0..tree.count(&["keep_clear".into()])).map(|index| {
        let at: Way = vec!["keep_clear".into(), index.into()];
        let typed = |key: &str| tree.typed(&[at.as_slice(), &[key.into()]].concat()).unwrap_or_default();
        let name = format!("{} from {}", typed("tube"), typed("body"));
        chip(at.clone(), name, typed("by"))
    });
    let paper = tree.typed(&["sheet".into(), "paper".into()]).unwrap_or_default();
    let mut paper = chip(vec!["sheet".into()], "Title and paper".to_owned(), paper);
    if ["title", "units"].iter().any(|key| state(&[(*key).into()]) == "wrong") {
        paper.state = "wrong";
    }
    let vessels = named("bodies").into_iter().chain(named("stacks"));
    [
        ("Vessels", vessels.collect()),
        ("Tubes", named("tubes")),
        ("Stock", named("stock")),
        ("Keep clear", kept.collect()),
        ("Paper", vec![paper]),
    ]
    .map(|(title, chips)| Section { title, chips })
    .into()
}
