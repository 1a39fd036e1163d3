//! New things with figures within reach of what is there: the first question is never a vector.

use std::f64::consts::TAU;

use glam::DVec3;

use super::lengths::figure;
use crate::job::BodyInSpace;
use crate::job::edit::{Edit, Key, Tree, Way};
use crate::measure::MM_PER_INCH;
use crate::plan::Plan;

/// What an empty page begins with.
pub(super) const EMPTY: &str = "{\n  \"title\": \"A new job\",\n  \"units\": \"mm\"\n}\n";

/// The edits that add a thing, and where it will be; `from` and `to` are the bodies that a tube goes between, by name.
pub(super) fn begun(
    tree: &Tree<'_>,
    plan: Option<&Plan>,
    what: &str,
    from: &str,
    to: &str,
) -> Option<(Vec<Edit>, Way)> {
    let inches = tree
        .typed(&["units".into()])
        .is_some_and(|units| units.starts_with("in"));
    let beside = beside(plan, inches);
    let drum = |from: [f64; 3], to: [f64; 3]| {
        let zero = if from[2] == to[2] { "[0, 0, 1]" } else { "[0, -1, 0]" };
        let place = |place: [f64; 3]| place.map(figure).join(", ");
        let (from, to) = (place(from), place(to));
        format!(r#"{{ "shape": "cylinder", "size": "drum 55 gal", "from": [{from}], "to": [{to}], "zero": {zero} }}"#)
    };
    let long = if inches { 33.5 } else { 850.0 };
    let (section, name, json) = match what {
        "standing drum" => ("bodies", "drum", drum([beside, 0.0, 0.0], [beside, 0.0, long])),
        "lying drum" => {
            let high = if inches { 12.0 } else { 300.0 };
            ("bodies", "drum", drum([beside, 0.0, high], [beside, long, high]))
        }
        "plate on the floor" => {
            let (thick, wide) = if inches { ("0.25", "12") } else { ("6", "300") };
            let at = figure(beside);
            let json = format!(
                r#"{{ "shape": "plane", "size": {thick}, "at": [{at}, 0, 0], "out": [0, 0, 1], "wide": {wide}, "high": {wide} }}"#
            );
            ("bodies", "plate", json)
        }
        "stock" => (
            "stock",
            "tube",
            r#"{ "size": "fence 1-7/8 x 0.065in", "stick": "21ft", "kerf": "3mm" }"#.to_owned(),
        ),
        "tube" => return tube(tree, plan, from, to, inches),
        "keep clear" => {
            let tube = tree.names(&["tubes".into()]).into_iter().next()?;
            let body = tree.names(&["bodies".into()]).into_iter().next()?;
            let at: Way = vec!["keep_clear".into(), tree.count(&["keep_clear".into()]).into()];
            let json = serde_json::json!({ "tube": tube, "body": body, "by": if inches { "1in" } else { "25mm" } })
                .to_string();
            return Some((vec![Edit::Put { at: at.clone(), json }], at));
        }
        _ => return None,
    };
    let at: Way = vec![section.into(), free_name(tree, section, name).as_str().into()];
    Some((vec![Edit::Put { at: at.clone(), json }], at))
}

/// A name that nothing has yet: `drum`, `drum 2`. A tube's copies are called so too, so tubes are told by letters.
fn free_name(tree: &Tree<'_>, section: &str, name: &str) -> String {
    let is_free = |name: &String| {
        let sections = ["stock", section, "bodies", "tubes"];
        !sections
            .iter()
            .any(|section| tree.has(&[(*section).into(), name.as_str().into()]))
    };
    let letters = ('b'..='z').map(|letter| format!("{name} {letter}"));
    let mut names = std::iter::once(name.to_owned()).chain(letters);
    names
        .find(is_free)
        .unwrap_or_else(|| format!("{name} of {}", tree.names(&[section.into()]).len()))
}

/// To the right of all that is there, in the file's units.
fn beside(plan: Option<&Plan>, inches: bool) -> f64 {
    const ROOM_MM: f64 = 300.0;
    let bodies = plan.and_then(Plan::job).map(|job| &job.assembly.bodies);
    let reach = bodies
        .into_iter()
        .flatten()
        .filter(|body| body.of_tube.is_none())
        .map(|body| {
            let radius = body.surface.girth(0.0).map_or(0.0, |girth| girth / TAU);
            body.placement.translation.x + radius
        });
    let mm = reach
        .reduce(f64::max)
        .map_or(0.0, |reach| ((reach + 2.0 * ROOM_MM) / 50.0).ceil() * 50.0);
    if inches { (mm / MM_PER_INCH).round() } else { mm }
}

/// A tube from a body to another, each landed on where it faces the other; else straight out of it.
fn tube(tree: &Tree<'_>, plan: Option<&Plan>, from: &str, to: &str, inches: bool) -> Option<(Vec<Edit>, Way)> {
    let mut edits = Vec::new();
    let stock = tree.names(&["stock".into()]).into_iter().find(|name| name != "note");
    let stock = stock.unwrap_or_else(|| {
        let json = r#"{ "size": "fence 1-7/8 x 0.065in", "stick": "21ft", "kerf": "3mm" }"#.to_owned();
        edits.push(Edit::Put {
            at: vec!["stock".into(), "tube".into()],
            json,
        });
        "tube".to_owned()
    });
    let scale: f64 = if inches { MM_PER_INCH } else { 1.0 };
    let up = figure((300.0 / scale).round());
    let path = match (from, to) {
        ("", _) => format!(r#"{{ "at": [0, 0, 0] }}, {{ "step": [0, 0, {up}] }}"#),
        (from, "") => {
            let on = landing(plan, from, from, scale)?;
            format!("{{ {on} }}, {{ {on}, \"out\": {up} }}")
        }
        (from, to) => {
            let [on, end] = [(from, to), (to, from)].map(|(on, facing)| landing(plan, on, facing, scale));
            format!("{{ {} }}, {{ {} }}", on?, end?)
        }
    };
    let stock = serde_json::Value::from(stock);
    let at: Way = vec!["tubes".into(), Key::Name(free_name(tree, "tubes", "pipe"))];
    let json = format!(r#"{{ "stock": {stock}, "path": [ {path} ] }}"#);
    edits.push(Edit::Put { at: at.clone(), json });
    Some((edits, at))
}

/// Where a body faces another's middle, well within its ends; a body facing itself is landed on at its zero line.
fn landing(plan: Option<&Plan>, on: &str, facing: &str, scale: f64) -> Option<String> {
    const FROM_END: f64 = 0.1;
    let name = serde_json::Value::from(on);
    let bodies = &plan.and_then(Plan::job)?.assembly.bodies;
    let find = |name: &str| bodies.iter().find(|body| body.name == name);
    let (body, other) = (find(on)?, find(facing)?);
    let middle = |body: &BodyInSpace| match body.reach_along() {
        Some([low, high]) => body.placement.transform_point3(DVec3::Y * ((low + high) / 2.0)),
        None => body.placement.translation,
    };
    let (along, round) = if on == facing {
        (body.reach_along().map_or(0.0, |[low, high]| (low + high) / 2.0), 0.0)
    } else {
        body.surface.place_of(middle(other))
    };
    let along = body.reach_along().map_or(along, |[low, high]| {
        let rim = FROM_END * (high - low);
        along.clamp(low + rim, high - rim)
    });
    let along = figure((along / scale).round());
    let round = match body.surface.girth(0.0) {
        Some(_) => format!("\"{}deg\"", figure(round.to_degrees().round() + 0.0)),
        None => figure((round / scale).round()),
    };
    Some(format!(r#""on": {name}, "along": {along}, "round": {round}"#))
}
