//! Bodies in space.

use std::sync::Arc;

use glam::{DAffine3, DMat3, DVec3};

use crate::body::{Body, Cone, Cylinder, Placed, Plane, Sphere, Unroll};
use crate::job::raw::{self, Named, Word};
use crate::job::{BodyInSpace, Extent, FlatSkins, Header, SkinAt, usual_zero};
use crate::measure::Size;
use crate::problem::Problem;

use super::{Reader, direction, lengths};

/// Which shape a body has.
#[derive(Debug, Clone, Copy)]
enum Shape {
    Cylinder,
    Plane,
    Cone,
    Sphere,
}

const SHAPES: [(&str, Shape); 4] = [
    ("cylinder", Shape::Cylinder),
    ("plane", Shape::Plane),
    ("cone", Shape::Cone),
    ("sphere", Shape::Sphere),
];

pub(super) fn resolve(reader: &mut Reader, body: &Named<raw::Body>) -> Option<BodyInSpace> {
    let raw = &body.thing;
    let shape = raw.shape.as_ref().and_then(|word| reader.choice(word, &SHAPES))?;
    let name = body.name.text.clone();
    match shape {
        Shape::Cylinder => cylinder(reader, raw, name),
        Shape::Cone => cone(reader, raw, name),
        Shape::Plane => plane(reader, raw, name),
        Shape::Sphere => sphere(reader, raw, name),
    }
}

fn missing<T>(reader: &mut Reader, raw: &raw::Body, value: Option<T>, key: &str, what: &str) -> Option<T> {
    if value.is_none() {
        reader.refuse(&raw.here, Problem::new(format!("\"{key}\" is missing here")).help(what));
    }
    value
}

/// From `from` to `to`, the zero line on the side of `zero`: the placement, and the length.
fn along_axis(reader: &mut Reader, raw: &raw::Body) -> Option<(DAffine3, f64)> {
    let what = "where the body's axis begins and ends: [x, y, z] each";
    let from = missing(reader, raw, raw.from.as_ref(), "from", what);
    let to = missing(reader, raw, raw.to.as_ref(), "to", what);
    let zero = raw.zero.as_ref().map(|words| direction(reader, words));
    let (from, to) = (
        from.and_then(|words| lengths(reader, words))?,
        to.and_then(|words| lengths(reader, words))?,
    );
    let length = (to - from).length();
    let axis = reader.take(
        &raw.here,
        (to - from)
            .try_normalize()
            .filter(|_| length >= 1.0)
            .ok_or_else(|| Problem::new("the body has no length").help("\"from\" and \"to\" must be different places")),
    )?;
    let zero = zero_line(reader, raw, zero, axis)?;
    Some((frame(from, axis, zero), length))
}

/// Where the zero line is, seen along `axis`: `zero` is the direction that was said, where one was, and `None` within
/// where its words were refused.
fn zero_line(reader: &mut Reader, raw: &raw::Body, zero: Option<Option<DVec3>>, axis: DVec3) -> Option<DVec3> {
    let (Some(zero), Some(words)) = (zero, &raw.zero) else {
        // Nothing said: upwards, or towards +x on an upright body.
        return Some(usual_zero(axis));
    };
    let zero = zero?;
    let across = (zero - zero.dot(axis) * axis).try_normalize();
    reader.take(
        &words[0],
        across.ok_or_else(|| {
            Problem::new("the zero line can't lie along the axis")
                .help("give a direction across it, such as the side where the seam is")
        }),
    )
}

/// y along `axis`, z towards `zero`.
fn frame(origin: DVec3, axis: DVec3, zero: DVec3) -> DAffine3 {
    DAffine3::from_mat3_translation(DMat3::from_cols(axis.cross(zero), axis, zero), origin)
}

fn header_size(reader: &mut Reader, raw: &raw::Body, word: Option<&Word>, key: &str) -> Option<Size> {
    missing(
        reader,
        raw,
        word,
        key,
        "the outside diameter and wall, such as \"drum 55 gal\" or \"114.3mm x 3.6mm\"",
    )
    .and_then(|word| reader.header(word))
}

fn floor(reader: &mut Reader, raw: &raw::Body) -> Option<Option<f64>> {
    match &raw.floor {
        None => Some(None),
        Some(word) => reader.length(word).map(Some),
    }
}

/// A skin that can be put anywhere.
fn anywhere<B: Body + Unroll + Copy + Send + Sync + 'static>(body: B) -> SkinAt {
    Arc::new(move |placement| Arc::new(Placed::new(body, placement)))
}

fn cylinder(reader: &mut Reader, raw: &raw::Body, name: String) -> Option<BodyInSpace> {
    let size = header_size(reader, raw, raw.size.as_ref(), "size");
    let placed = along_axis(reader, raw);
    let floor_mm = floor(reader, raw);
    let (size, (placement, length), floor_mm) = (size?, placed?, floor_mm?);
    Some(round(name, &size, placement, length, floor_mm))
}

/// A round body of a size; tubes that others land on too.
pub(super) fn round(name: String, size: &Size, placement: DAffine3, length: f64, floor_mm: Option<f64>) -> BodyInSpace {
    let radius = size.od_mm / 2.0;
    let inner = size.wall_mm.map(|wall| (anywhere(Cylinder::new(radius - wall)), wall));
    BodyInSpace {
        name,
        size: Header::from(size.clone()).describe(size.units),
        placement,
        surface: Arc::new(Placed::new(Cylinder::new(radius), placement)),
        flat: Some(FlatSkins {
            outer: anywhere(Cylinder::new(radius)),
            inner,
        }),
        extent: Extent::Round {
            length,
            radii: (radius, radius),
        },
        of_tube: None,
        floor_mm,
    }
}

fn cone(reader: &mut Reader, raw: &raw::Body, name: String) -> Option<BodyInSpace> {
    let size = header_size(reader, raw, raw.size.as_ref(), "size");
    let size_to = header_size(reader, raw, raw.size_to.as_ref(), "size_to");
    let placed = along_axis(reader, raw);
    let floor_mm = floor(reader, raw);
    let (size, size_to, (placement, length)) = (size?, size_to?, placed?);
    let (radius, radius_to) = (size.od_mm / 2.0, size_to.od_mm / 2.0);
    let taper = (radius_to - radius) / length;
    if taper.abs() < 1e-9 {
        reader.refuse(
            &raw.here,
            Problem::new("a cone has two different sizes")
                .help("say \"shape\": \"cylinder\" where both ends are alike"),
        );
        return None;
    }
    let thinnest = radius.min(radius_to);
    if let Some(wall) = size
        .wall_mm
        .filter(|wall| wall * (1.0 + taper * taper).sqrt() >= thinnest)
    {
        let problem = Problem::new("the cone's wall leaves no bore at its narrow end");
        reader.refuse(
            &raw.here,
            problem.figures(format!(
                "{wall:.1} mm square to the skin, on a radius of {thinnest:.1} mm"
            )),
        );
        return None;
    }
    let skin = Cone::new(radius, taper);
    // Square to the skin the wall is measured; across the axis it is longer.
    let inner = size.wall_mm.map(|wall| {
        (
            anywhere(Cone::new(radius - wall * (1.0 + taper * taper).sqrt(), taper)),
            wall,
        )
    });
    Some(BodyInSpace {
        name,
        size: format!(
            "{} to {}",
            Header::from(size.clone()).describe(size.units),
            Header::from(size_to.clone()).describe(size_to.units)
        ),
        placement,
        surface: Arc::new(Placed::new(skin, placement)),
        flat: Some(FlatSkins {
            outer: anywhere(skin),
            inner,
        }),
        extent: Extent::Round {
            length,
            radii: (radius, radius_to),
        },
        of_tube: None,
        floor_mm: floor_mm?,
    })
}

fn plane(reader: &mut Reader, raw: &raw::Body, name: String) -> Option<BodyInSpace> {
    let at = missing(reader, raw, raw.at.as_ref(), "at", "a point of the plate: [x, y, z]")
        .and_then(|words| lengths(reader, words));
    let out = missing(
        reader,
        raw,
        raw.out.as_ref(),
        "out",
        "straight out of the plate: three numbers",
    )
    .and_then(|words| direction(reader, words));
    let zero = raw.zero.as_ref().map(|words| direction(reader, words));
    let wall = raw.size.as_ref().map(|word| reader.length(word));
    let (at, out) = (at?, out?);
    let along = zero_line(reader, raw, zero, out)?;
    let placement = DAffine3::from_mat3_translation(DMat3::from_cols(along.cross(out), along, out), at);
    let wall = match wall {
        Some(wall) => Some(wall?),
        None => None,
    };
    if let (Some(word), Some(wall)) = (&raw.size, wall.filter(|wall| !(0.1..=500.0).contains(wall))) {
        reader.refuse(
            word,
            Problem::new("a plate can't be that thick")
                .figures(format!("{wall:.2} mm"))
                .help("give 0.1 to 500 mm"),
        );
        return None;
    }
    let below = |wall: f64| -> SkinAt {
        Arc::new(move |placement: DAffine3| {
            Arc::new(Placed::new(
                Plane,
                placement * DAffine3::from_translation(-wall * DVec3::Z),
            ))
        })
    };
    Some(BodyInSpace {
        name,
        size: wall.map_or_else(|| "plate".to_owned(), |wall| format!("plate, {wall:.2} mm")),
        placement,
        surface: Arc::new(Placed::new(Plane, placement)),
        flat: Some(FlatSkins {
            outer: anywhere(Plane),
            inner: wall.map(|wall| (below(wall), wall)),
        }),
        extent: Extent::Flat,
        of_tube: None,
        floor_mm: None,
    })
}

fn sphere(reader: &mut Reader, raw: &raw::Body, name: String) -> Option<BodyInSpace> {
    let size = header_size(reader, raw, raw.size.as_ref(), "size");
    let at = missing(reader, raw, raw.at.as_ref(), "at", "the middle of the ball: [x, y, z]")
        .and_then(|words| lengths(reader, words));
    let pole = raw.out.as_ref().map(|words| direction(reader, words));
    let zero = raw.zero.as_ref().map(|words| direction(reader, words));
    let pole = match pole {
        Some(pole) => pole?,
        None => DVec3::Z,
    };
    let (size, at, zero) = (size?, at?, zero_line(reader, raw, zero, pole)?);
    let placement = frame(at, pole, zero);
    let surface: Arc<dyn crate::job::Surface> = Arc::new(Placed::new(Sphere::new(size.od_mm / 2.0), placement));
    debug_assert!(surface.site(0.0, 0.0).normal.dot(pole) > 0.99);
    Some(BodyInSpace {
        name,
        size: format!("ball, {}", Header::from(size.clone()).describe(size.units)),
        placement,
        surface,
        flat: None,
        extent: Extent::Ball(size.od_mm / 2.0),
        of_tube: None,
        floor_mm: None,
    })
}
