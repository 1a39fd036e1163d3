//! A point of a tube's path on its card: what it is measured from, and what else it could be measured from.

use serde_json::{Value, json};

use super::form::{Form, Part, below, put, remove};
use super::kind::Kind;
use super::land::Landing;
use super::lengths::{about, units};
use super::skin;
use crate::job::edit::{Key, Way};

/// Its fields, and what makes another kind of point of it.
pub(super) fn point(form: &mut Form<'_>, way: &[Key], has_one_before: bool) {
    let (tree, kind) = (form.tree, |key: &str| form.tree.has(&below(way, key)));
    let (on, step, drain, fall) = (kind("on"), kind("step"), kind("drain"), kind("fall"));
    let of_point = Kind::each_of("tubes").and_then(|tube| tube.property("path")?.items());
    let keys: &[&str] = match (on, step) {
        (true, _) if drain => &["on", "round", "drain"],
        (true, _) if fall => &["on", "fall", "towards"],
        (_, true) if fall => &["step", "fall"],
        (true, _) => &["on", "along", "round", "out"],
        (_, true) => &["step"],
        _ => &["at"],
    };
    for key in keys {
        form.one(&below(way, *key), of_point.and_then(|point| point.property(key)));
    }
    form.parts.extend(skin::of_landing(form, way).map(Part::Skin));
    let first_body = tree.names(&["bodies".into()]).into_iter().find(|name| name != "note");
    if let Some(body) = first_body.filter(|_| !on) {
        let body = Value::from(body);
        let along = about(tree, 100.0);
        let json = format!("{{ \"on\": {body}, \"along\": {along}, \"round\": \"0deg\" }}");
        form.act("On a vessel instead", [put(way, &json)]);
    }
    if !step && has_one_before {
        let step = format!("{{ \"step\": [0, 0, {}] }}", about(tree, 300.0));
        form.act("A step instead", [put(way, &step)]);
    }
    if on || step {
        let at = format!("{{ \"at\": [0, 0, {}] }}", about(tree, 300.0));
        form.act("A place in space instead", [put(way, &at)]);
    }
    if on && (drain || fall) {
        form.act("Measured instead", measured(form, way));
    }
    if step && fall {
        form.act("Without a fall", [remove(&below(way, "fall"))]);
    }
    if on && !drain {
        let edits = instead_of(form, way, &["along", "out", "fall", "towards"]);
        let drain = put(&below(way, "drain"), "{ \"above_floor\": 0 }");
        form.act("It drains", edits.into_iter().chain([drain]));
    }
    if has_one_before && !fall && (on || step) {
        let edits = instead_of(form, way, &["along", "round", "out", "drain"]);
        let level = step.then(|| put(&[way, &["step".into(), 2.into()]].concat(), "0"));
        let gentle = units(tree).either("\"20mm/m\"", "\"1/4in/ft\"");
        let fall = put(&below(way, "fall"), gentle);
        form.act("It falls to there", edits.into_iter().chain(level).chain([fall]));
    }
}

/// A place that was solved for, as one measures it.
fn measured(form: &Form<'_>, way: &[Key]) -> Vec<Value> {
    let gone = instead_of(form, way, &["drain", "fall", "towards"]);
    let landing = form.job.and_then(|job| Landing::of(form.tree, job, way));
    let words = landing.and_then(|landing| Some(landing.words(form.tree, way, landing.place?)));
    let [along, round] = words.unwrap_or_else(|| [about(form.tree, 100.0), "0deg".to_owned()]);
    let typed = [("along", along), ("round", round)]
        .map(|(key, words)| json!({ "type": { "at": below(way, key), "words": words } }));
    gone.into_iter().chain(typed).collect()
}

/// What takes away those of these keys that are there.
fn instead_of(form: &Form<'_>, way: &[Key], keys: &[&str]) -> Vec<Value> {
    let ways = keys.iter().map(|key| below(way, *key)).filter(|way| form.tree.has(way));
    ways.map(|way: Way| remove(&way)).collect()
}
