//! The heads that close a cylinder: one vessel of several bodies, which meet at seams.

use std::f64::consts::PI;

use glam::{DAffine3, DVec3};

use super::{Reader, frame, head, header_size};
use crate::job::raw::{self, Named, Word};
use crate::job::{BodyInSpace, HEADS, Seam};
use crate::problem::{Problem, quoted};

/// The heads of a body, each with where the body's seam to it is along it, in millimetres; `index` is the body's place among the
/// bodies. `None` where one was refused.
pub(in super::super) fn heads(
    reader: &mut Reader,
    raw: &Named<raw::Body>,
    body: &BodyInSpace,
    index: usize,
) -> Option<Vec<(BodyInSpace, f64)>> {
    let dishes = [&raw.thing.from_head, &raw.thing.to_head];
    let there = dishes.iter().filter_map(|dish| dish.as_ref());
    let Some(first) = there.clone().next() else {
        return no_flange(reader, &raw.thing).then(Vec::new);
    };
    require_one_vessel(reader, &raw.thing, first.word())?;
    let size = header_size(reader, &raw.thing, raw.thing.size.as_ref(), "size")?;
    let length = body.length_mm()?;
    let at_end = [
        body.placement * DAffine3::from_rotation_z(PI),
        body.placement * DAffine3::from_translation(length * DVec3::Y),
    ];
    let mut heads = Vec::new();
    for ((dish, called), (placement, along_mm)) in
        dishes.into_iter().zip(HEADS).zip(at_end.into_iter().zip([0.0, length]))
    {
        let Some(dish) = dish else { continue };
        let name = format!("{} {called}", body.name);
        require_free(reader, dish.word(), &name)?;
        // Its zero line is the cylinder's.
        let [out, zero] = [DVec3::Y, DVec3::Z].map(|way| placement.transform_vector3(way));
        let placement = frame(placement.translation, out, zero);
        let head = head::of_cylinder(reader, &raw.thing, dish, (name, &size), placement)?;
        let rim = placement.transform_point3(size.od_mm / 2.0 * DVec3::Z);
        let seam = Seam {
            other: index,
            name: body.name.clone(),
            along_mm: head.surface.place_of(rim).0,
        };
        let seams = vec![seam];
        heads.push((BodyInSpace { seams, ..head }, along_mm));
    }
    Some(heads)
}

/// A cylinder without heads has no flange.
fn no_flange(reader: &mut Reader, raw: &raw::Body) -> bool {
    let is_cylinder = raw.dish.is_none() && raw.out.is_none();
    let Some(word) = raw.flange.as_ref().filter(|_| is_cylinder) else {
        return true;
    };
    reader.refuse(
        word,
        Problem::new("a flange belongs to a head, and this cylinder has none")
            .help("leave it out, or close the cylinder with \"from_head\" or \"to_head\""),
    );
    false
}

/// A head closes what is round and ends where it is said.
fn require_one_vessel(reader: &mut Reader, raw: &raw::Body, word: &Word) -> Option<()> {
    let problem = if raw.section.is_some() {
        Problem::new("a head can't close a cylinder that is out of round")
            .help("leave \"section\" out, or give the head as a body of its own")
    } else if raw.stack.is_some() {
        Problem::new("a head can't close a part of a stack")
            .help("give the cylinder \"from\" and \"to\", or the head as a body of its own")
    } else {
        return Some(());
    };
    reader.refused(word, problem)
}

fn require_free(reader: &mut Reader, word: &Word, name: &str) -> Option<()> {
    if reader.number("body", name).is_none() && reader.number("body of the file", name).is_none() {
        return Some(());
    }
    reader.refused(
        word,
        Problem::new(format!("{} is the name of a body already", quoted(name)))
            .help("the cylinder's head would bear it: give that body another name"),
    )
}
