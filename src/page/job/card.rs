//! The card of a thing: a sentence with fields that change the job's text by place, and all that can be said besides.

use serde::Serialize;

use super::end;
use super::form::{Form, Part, below, put, remove};
use super::kind::Kind;
use super::lengths::about;
use super::point::point;
use super::{skin, trial, vessel};
use crate::job::edit::{Key, Tree, Way};
use crate::plan::JobPlan;

/// A card.
#[derive(Debug, Serialize)]
pub(super) struct Card {
    at: Way,
    /// What it is about.
    kind: &'static str,
    /// Its name, where it has one that can be changed.
    name: Option<String>,
    parts: Vec<Part>,
    /// What is rarely said besides.
    more: Vec<Part>,
    remove: Option<[serde_json::Value; 1]>,
}

/// The card of the thing that is, or is in, a place; `None` where there is none.
pub(super) fn card(tree: &Tree<'_>, job: Option<&JobPlan>, at: &[Key]) -> Option<Card> {
    let Key::Name(section) = at.first()? else { return None };
    let is_whole = matches!(section.as_str(), "sheet" | "title" | "units" | "note");
    let at: Way = at.iter().take(if is_whole { 1 } else { 2 }).cloned().collect();
    if !is_whole && (at.len() < 2 || !tree.has(&at)) {
        return None;
    }
    let (mut form, mut more) = (Form::new(tree, job), Form::new(tree, job));
    let kind = if is_whole {
        let of_things = ["stock", "stacks", "bodies", "tubes", "keep_clear", "sheet"];
        form.all(&[], Kind::file(), &of_things);
        more.all(&["sheet".into()], Kind::file().property("sheet")?, &[]);
        "Title and paper"
    } else {
        of_thing(&mut form, &mut more, section, &at)?
    };
    let name = match &at[..] {
        [_, Key::Name(name)] => Some(name.clone()),
        _ => None,
    };
    Some(Card {
        remove: (!is_whole).then(|| [remove(&at)]),
        at,
        kind,
        name,
        parts: form.parts,
        more: more.parts,
    })
}

/// What can be said of a thing of a section, and what rarely is: its kind.
fn of_thing(form: &mut Form<'_>, more: &mut Form<'_>, section: &str, at: &[Key]) -> Option<&'static str> {
    let of_each = Kind::each_of(section);
    Some(match section {
        "bodies" => {
            vessel::sentence(form, at);
            skin::of_vessel(form, at);
            let shape = form.tree.typed(&below(at, "shape")).unwrap_or_default();
            more.all(at, of_each?, vessel::not_of(&shape));
            "Vessel"
        }
        "stacks" => {
            form.all(at, of_each?, &[]);
            "Stack"
        }
        "stock" => {
            form.words("Tube of the size");
            form.one(&below(at, "size"), of_each?.property("size"));
            form.words("comes in sticks of");
            form.one(&below(at, "stick"), of_each?.property("stick"));
            more.all(at, of_each?, &["size", "stick"]);
            "Stock"
        }
        "tubes" => {
            tube(form, at);
            trial::of_tube(form, at);
            end::rest(more, at);
            more.all(at, of_each?, &["stock", "path", "start", "end"]);
            "Tube"
        }
        "keep_clear" => {
            form.all(at, of_each?, &[]);
            "Keep clear"
        }
        _ => return None,
    })
}

/// The sentence of a tube: from where, by which way, to where, and how its ends are made.
fn tube(form: &mut Form<'_>, at: &[Key]) {
    form.words("A tube of");
    form.gap(&below(at, "stock"), "Stock", "what it is cut from", Vec::new());
    let path = below(at, "path");
    let count = form.tree.count(&path);
    for index in 0..count {
        let way = below(&path, index);
        form.heading(match index {
            0 => "It begins",
            _ if index + 1 == count => "It ends",
            _ => "Then",
        });
        point(form, &way, index > 0);
        if index == 0 || index + 1 == count {
            end::sentence(form, at, index == 0, &way);
        }
        if count > 2 {
            form.act("Take this point out", [remove(&way)]);
        }
    }
    let last = below(&path, count);
    form.heading("Farther on");
    let step = format!("{{ \"step\": [0, 0, {}] }}", about(form.tree, 300.0));
    form.act("Add a step", [put(&last, &step)]);
}
