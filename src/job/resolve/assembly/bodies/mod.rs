//! Bodies in space, a shape a file.

mod ball;
mod cone;
mod head;
mod heads;
mod plate;
mod round;

use std::sync::Arc;

use glam::{DAffine3, DMat3, DVec3};

use crate::body::{Body, Placed, Unroll};
use crate::job::raw::{self, Named, Word};
use crate::job::{BodyInSpace, Lap, PartingLine, SkinFrom, Stack, TYPED, across, usual_zero};
use crate::measure::Size;
use crate::problem::Problem;

use super::shape::{Shape, shape};
use super::stacks::{spot, standing};
use super::{Reader, direction, give, given};

pub(super) use heads::heads;
pub(super) use round::round;

pub(super) fn resolve(reader: &mut Reader, body: &Named<raw::Body>, stacks: &[Stack]) -> Option<BodyInSpace> {
    let raw = &body.thing;
    let name = body.name.text.clone();
    let resolved = match shape(reader, raw)? {
        Shape::Cylinder => round::cylinder(reader, raw, name, stacks),
        Shape::Cone => cone::cone(reader, raw, name, stacks),
        Shape::Plane => plate::plate(reader, raw, name, stacks),
        Shape::Sphere => ball::ball(reader, raw, name, stacks),
        Shape::Head => head::head(reader, raw, name, stacks),
    };
    Some(BodyInSpace {
        note: raw.note.clone(),
        ..resolved?
    })
}

fn missing<T>(reader: &mut Reader, raw: &raw::Body, value: Option<T>, key: &str, what: &str) -> Option<T> {
    if value.is_none() {
        reader.refuse(&raw.here, Problem::new(format!("\"{key}\" is missing here")).help(what));
    }
    value
}

/// The place that a body is told by, which must be there.
fn needed_at(reader: &mut Reader, raw: &raw::Body, what: &str, stacks: &[Stack]) -> Option<DVec3> {
    missing(reader, raw, raw.at.as_ref(), "at", what).and_then(|place| spot(reader, place, stacks))
}

/// The direction that a body is told by, which must be there.
fn needed_out(reader: &mut Reader, raw: &raw::Body, what: &str) -> Option<DVec3> {
    missing(reader, raw, raw.out.as_ref(), "out", what).and_then(|words| direction(reader, words))
}

/// Where a body with an axis is.
struct Standing {
    /// Its end, with y along the axis and z towards the zero line.
    placement: DAffine3,
    length: f64,
    parting: Option<PartingLine>,
    laps: Vec<Lap>,
}

/// From `from` to `to`, or as a part of a stack, the zero line on the side of `zero`.
fn along_axis(reader: &mut Reader, raw: &raw::Body, stacks: &[Stack]) -> Option<Standing> {
    let zero = raw.zero.as_ref().map(|words| direction(reader, words));
    let (from, to, parting, laps) = if raw.stack.is_some() || raw.part.is_some() {
        missing(
            reader,
            raw,
            raw.stack.as_ref(),
            "stack",
            "name the stack that this body is a part of",
        )?;
        standing(reader, raw, stacks)?
    } else {
        let what = "where the body's axis begins and ends: [x, y, z] each";
        let from = missing(reader, raw, raw.from.as_ref(), "from", what);
        let to = missing(reader, raw, raw.to.as_ref(), "to", what);
        let from = from.and_then(|place| spot(reader, place, stacks));
        let to = to.and_then(|place| spot(reader, place, stacks));
        (from?, to?, None, Vec::new())
    };
    let length = (to - from).length();
    let axis = reader.take(
        &raw.here,
        (to - from)
            .try_normalize()
            .filter(|_| length >= 1.0)
            .ok_or_else(|| Problem::new("the body has no length").help("\"from\" and \"to\" must be different places")),
    )?;
    let zero = zero_line(reader, raw, zero, axis, "the axis")?;
    Some(Standing {
        placement: frame(from, axis, zero),
        length,
        parting,
        laps,
    })
}

/// Where the zero line is, seen along `axis`, which is called `along`: `zero` is the direction that was said, where one was, and `None` within
/// where its words were refused.
fn zero_line(
    reader: &mut Reader,
    raw: &raw::Body,
    zero: Option<Option<DVec3>>,
    axis: DVec3,
    along: &str,
) -> Option<DVec3> {
    let (Some(zero), Some(words)) = (zero, &raw.zero) else {
        // Nothing said: upwards, or towards +x on an upright body.
        return Some(usual_zero(axis));
    };
    let zero = zero?;
    let line = across(zero, axis, TYPED).ok_or_else(|| {
        let off = zero.angle_between(axis).to_degrees();
        Problem::new(format!("the zero line can't lie along {along}"))
            .figures(format!(
                "{:.2} degrees between them, at least 1 is needed",
                off.min(180.0 - off)
            ))
            .help("give a direction across it, such as the side where the seam is")
    });
    reader.take(&words[0], line)
}

/// The same begun so far along.
fn moved_up(placement: DAffine3, along: f64) -> DAffine3 {
    placement * DAffine3::from_translation(along * DVec3::Y)
}

/// y along `axis`, z towards `zero`.
fn frame(origin: DVec3, axis: DVec3, zero: DVec3) -> DAffine3 {
    DAffine3::from_mat3_translation(DMat3::from_cols(axis.cross(zero), axis, zero), origin)
}

fn header_size(reader: &mut Reader, raw: &raw::Body, word: Option<&Word>, key: &str) -> Option<Size> {
    let what = reader.result_units().either(
        "the outside diameter and wall, such as \"drum 55 gal\" or \"114.3mm x 3.6mm\"",
        "the outside diameter and wall, such as \"drum 55 gal\" or \"4-1/2in x 1/8in\"",
    );
    let word = missing(reader, raw, word, key, what)?;
    if raw.section.is_some() {
        reader.girth_and_wall(word)
    } else {
        reader.header(word)
    }
}

fn floor(reader: &mut Reader, raw: &raw::Body) -> Option<Option<f64>> {
    given(&raw.floor, None, |word| reader.length(word).map(Some))
}

/// A skin that is the same all round, laid flat from any line of it.
fn round_skin<B: Body + PartialEq + Unroll + Copy + Send + Sync + 'static>(body: B, placement: DAffine3) -> SkinFrom {
    Arc::new(move |round| Arc::new(Placed::new(body, placement * DAffine3::from_rotation_y(round))))
}
