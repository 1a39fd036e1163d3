//! Which shape a body has, and which keys belong to it.

use crate::job::raw::{self, Word};
use crate::problem::Problem;

use super::Reader;

/// Which shape a body has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Shape {
    Cylinder,
    Plane,
    Cone,
    Sphere,
    Head,
}

const SHAPES: [(&str, Shape); 5] = [
    ("cylinder", Shape::Cylinder),
    ("plane", Shape::Plane),
    ("cone", Shape::Cone),
    ("sphere", Shape::Sphere),
    ("head", Shape::Head),
];

const WITH_AXIS: &[Shape] = &[Shape::Cylinder, Shape::Cone];
const WITH_POINT: &[Shape] = &[Shape::Plane, Shape::Sphere, Shape::Head];

/// The shape that is said; `None` where its word is wrong, or where a key belongs to another shape.
pub(super) fn shape(reader: &mut Reader, raw: &raw::Body) -> Option<Shape> {
    let shape = raw.shape.as_ref().and_then(|word| reader.choice(word, &SHAPES))?;
    let of_others = of_other_shapes(raw, shape);
    for (word, key, takers) in &of_others {
        let names: Vec<String> = takers.iter().map(|taker| format!("\"{}\"", name(*taker))).collect();
        let problem = Problem::new(format!(
            "\"{key}\" belongs to a body of the shape {}",
            names.join(" or ")
        ))
        .figures(format!("this is a {}", name(shape)))
        .help(instead(key, shape));
        reader.refuse(word, problem);
    }
    of_others.is_empty().then_some(shape)
}

/// Every key that is there and not for this shape, with the shapes that it is for.
fn of_other_shapes(raw: &raw::Body, shape: Shape) -> Vec<(&Word, &'static str, &'static [Shape])> {
    let keys: [(Option<&Word>, &'static str, &'static [Shape]); 15] = [
        (raw.size_to.as_ref(), "size_to", &[Shape::Cone]),
        (
            raw.section.as_ref().map(|section| &section.here),
            "section",
            &[Shape::Cylinder],
        ),
        (raw.stack.as_ref(), "stack", &[Shape::Cylinder]),
        (raw.part.as_ref(), "part", &[Shape::Cylinder]),
        (raw.from.as_ref().map(raw::Spot::word), "from", WITH_AXIS),
        (raw.to.as_ref().map(raw::Spot::word), "to", WITH_AXIS),
        (raw.floor.as_ref(), "floor", WITH_AXIS),
        (raw.at.as_ref().map(raw::Spot::word), "at", WITH_POINT),
        (raw.out.as_ref().map(|words| &words[0]), "out", WITH_POINT),
        (raw.dish.as_ref().map(raw::Dish::word), "dish", &[Shape::Head]),
        (raw.flange.as_ref(), "flange", &[Shape::Head, Shape::Cylinder]),
        (
            raw.from_head.as_ref().map(raw::Dish::word),
            "from_head",
            &[Shape::Cylinder],
        ),
        (raw.to_head.as_ref().map(raw::Dish::word), "to_head", &[Shape::Cylinder]),
        (raw.wide.as_ref(), "wide", &[Shape::Plane]),
        (raw.high.as_ref(), "high", &[Shape::Plane]),
    ];
    let there = keys
        .into_iter()
        .filter_map(|(word, key, takers)| Some((word?, key, takers)));
    there.filter(|(_, _, takers)| !takers.contains(&shape)).collect()
}

fn name(shape: Shape) -> &'static str {
    SHAPES
        .iter()
        .find(|(_, other)| *other == shape)
        .map_or("", |(name, _)| name)
}

/// What to say in place of a key that is of another shape.
fn instead(key: &str, shape: Shape) -> &'static str {
    match (key, shape) {
        ("from" | "to", Shape::Plane) => {
            "use \"at\", a point of the plate, and \"out\", the direction straight out of it"
        }
        ("from" | "to", Shape::Sphere) => "use \"at\", the middle of the ball",
        ("from" | "to", Shape::Head) => "use \"at\", the middle of the rim, and \"out\", the way to the apex",
        ("at" | "out", Shape::Cylinder | Shape::Cone) => {
            "use \"from\" and \"to\", where the axis begins and ends; \"zero\" is the direction of the zero line"
        }
        ("from_head" | "to_head", Shape::Cone) => {
            "leave it out: a head closes a round end of one diameter; give a body of the shape \"head\" there"
        }
        ("size_to", Shape::Cylinder) => "leave it out, or say \"shape\": \"cone\"",
        ("wide" | "high", _) => "leave it out: a body's edges follow from its size",
        ("floor", _) => "leave it out: a drain needs a round body that stands",
        ("stack" | "part", Shape::Cone) => "leave it out, and use \"from\" and \"to\"",
        ("stack" | "part", _) => "leave it out, and use \"at\"; a place on a stack can stand there",
        _ => "leave it out, or change the shape",
    }
}
