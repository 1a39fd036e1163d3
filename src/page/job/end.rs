//! How a tube's end is made: what is asked depends on what it is on.

use super::form::{Form, below, called};
use super::kind::Kind;
use crate::job::edit::{Key, Way};

/// Words of the file, each as it is said.
type Said = &'static [(&'static str, &'static str)];

const JOINED_ON: Said = &[
    ("", "set on the skin (usual)"),
    ("set-on", "set on the skin"),
    ("set-in", "set in, through the wall"),
];
const JOINED_FREE: Said = &[
    ("", "square (usual)"),
    ("square", "cut square"),
    ("miter", "mitered to another tube"),
];
const TOUCHES: Said = &[
    ("", "as usual"),
    ("wall", "wall"),
    ("outside", "outside"),
    ("inside", "inside"),
];
const MADE_ON: Said = &[
    ("", "nothing"),
    ("end", "the end is cut"),
    ("hole", "the hole is cut"),
    ("both", "both are cut"),
];
const MADE_FREE: Said = &[("", "nothing"), ("end", "the end is cut")];

/// What most ends need to be asked; `point` is the way to the point of the path at which it is.
pub(super) fn sentence(form: &mut Form<'_>, tube: &[Key], is_start: bool, point: &[Key]) {
    let at = below(tube, if is_start { "start" } else { "end" });
    let is_on = form.tree.has(&below(point, "on"));
    let (joined, made) = if is_on {
        (JOINED_ON, MADE_ON)
    } else {
        (JOINED_FREE, MADE_FREE)
    };
    form.gap(&below(&at, "join"), "Joined", "", choices(joined));
    let join = form.tree.typed(&below(&at, "join")).unwrap_or_default();
    let mut word = |key: &str, label: &str, hint: &str, said: Said| {
        form.gap(&below(&at, key), label, hint, choices(said));
    };
    if join == "set-in" {
        word(
            "clearance",
            &called("clearance"),
            "added to the radius of the hole",
            &[],
        );
    }
    if join == "miter" {
        word("to", "Mitered to", "the tube that it meets", &[]);
    }
    if is_on {
        let hint = "which part of the wall decides";
        word("touch", "Cut so that it touches", hint, TOUCHES);
    }
    word("made", &called("made"), "no pattern of it is printed", made);
}

/// What is rarely asked of ends that are set on something.
pub(super) fn rest(form: &mut Form<'_>, tube: &[Key]) {
    let path = below(tube, "path");
    let last = form.tree.count(&path).saturating_sub(1);
    let of_tube = Kind::each_of("tubes");
    for (key, point, heading) in [("start", 0, "Where it begins"), ("end", last, "Where it ends")] {
        let at = below(tube, key);
        let is_set_in = form
            .tree
            .typed(&below(&at, "join"))
            .is_some_and(|join| join == "set-in");
        if is_set_in || !form.tree.has(&on(&path, point)) {
            continue;
        }
        let of_end = of_tube.and_then(|tube| tube.property(key));
        form.heading(heading);
        for key in ["also", "root_gap"] {
            form.one(&below(&at, key), of_end.and_then(|end| end.property(key)));
        }
    }
}

fn on(path: &[Key], point: usize) -> Way {
    below(&below(path, point), "on")
}

fn choices(said: Said) -> Vec<(String, String)> {
    let owned = |(word, said): &(&str, &str)| ((*word).to_owned(), (*said).to_owned());
    said.iter().map(owned).collect()
}
