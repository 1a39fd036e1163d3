//! Bodies in space.

use std::f64::consts::PI;
use std::sync::Arc;

use glam::{DAffine3, DMat3, DVec3};

use crate::body::{Body, Cone, Cylinder, OutOfRound, Placed, Plane, Sphere, Unroll};
use crate::job::raw::{self, Named, Word};
use crate::job::{
    BodyInSpace, Extent, FlatSkins, Header, IfRound, PartingLine, SkinFrom, Stack, TYPED, across, usual_zero,
};
use crate::measure::Size;
use crate::problem::Problem;

use super::section::{Measured, section};
use super::shape::{Shape, shape};
use super::stacks::{spot, standing};
use super::{Reader, direction};

/// How wide or high a plate with edges may be, in millimetres.
const SMALLEST_PLATE: f64 = 1.0;
const LARGEST_PLATE: f64 = 20_000.0;

pub(super) fn resolve(reader: &mut Reader, body: &Named<raw::Body>, stacks: &[Stack]) -> Option<BodyInSpace> {
    let raw = &body.thing;
    let name = body.name.text.clone();
    match shape(reader, raw)? {
        Shape::Cylinder => cylinder(reader, raw, name, stacks),
        Shape::Cone => cone(reader, raw, name, stacks),
        Shape::Plane => plane(reader, raw, name, stacks),
        Shape::Sphere => sphere(reader, raw, name, stacks),
    }
}

fn missing<T>(reader: &mut Reader, raw: &raw::Body, value: Option<T>, key: &str, what: &str) -> Option<T> {
    if value.is_none() {
        reader.refuse(&raw.here, Problem::new(format!("\"{key}\" is missing here")).help(what));
    }
    value
}

/// Where a body with an axis is.
struct Standing {
    /// Its end, with y along the axis and z towards the zero line.
    placement: DAffine3,
    length: f64,
    parting: Option<PartingLine>,
}

/// From `from` to `to`, or as a part of a stack, the zero line on the side of `zero`.
fn along_axis(reader: &mut Reader, raw: &raw::Body, stacks: &[Stack]) -> Option<Standing> {
    let zero = raw.zero.as_ref().map(|words| direction(reader, words));
    let (from, to, parting) = if raw.stack.is_some() || raw.part.is_some() {
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
        (from?, to?, None)
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

/// y along `axis`, z towards `zero`.
fn frame(origin: DVec3, axis: DVec3, zero: DVec3) -> DAffine3 {
    DAffine3::from_mat3_translation(DMat3::from_cols(axis.cross(zero), axis, zero), origin)
}

fn header_size(reader: &mut Reader, raw: &raw::Body, word: Option<&Word>, key: &str) -> Option<Size> {
    let what = "the outside diameter and wall, such as \"drum 55 gal\" or \"114.3mm x 3.6mm\"";
    let word = missing(reader, raw, word, key, what)?;
    if raw.section.is_some() {
        reader.girth_and_wall(word)
    } else {
        reader.header(word)
    }
}

fn floor(reader: &mut Reader, raw: &raw::Body) -> Option<Option<f64>> {
    match &raw.floor {
        None => Some(None),
        Some(word) => reader.length(word).map(Some),
    }
}

/// A skin that is the same all round, laid flat from any line of it.
fn round_skin<B: Body + Unroll + Copy + Send + Sync + 'static>(body: B, placement: DAffine3) -> SkinFrom {
    Arc::new(move |round| Arc::new(Placed::new(body, placement * DAffine3::from_rotation_y(round))))
}

fn cylinder(reader: &mut Reader, raw: &raw::Body, name: String, stacks: &[Stack]) -> Option<BodyInSpace> {
    let size = header_size(reader, raw, raw.size.as_ref(), "size");
    let section = match (&raw.section, &size) {
        (Some(section), Some(size)) => Some(self::section(reader, section, size)),
        _ => None,
    };
    let placed = along_axis(reader, raw, stacks);
    let floor_mm = floor(reader, raw);
    let (size, placed) = (size?, placed?);
    let body = round(name, &size, placed.placement, placed.length);
    let body = match section {
        Some(section) => out_of_round(body, &section?, &size, placed.length),
        None => body,
    };
    Some(BodyInSpace {
        floor_mm: floor_mm?,
        parting: placed.parting,
        ..body
    })
}

/// A round body of a size; tubes that others land on too.
pub(super) fn round(name: String, size: &Size, placement: DAffine3, length: f64) -> BodyInSpace {
    let radius = size.od_mm / 2.0;
    let bore = size.wall_mm.map(|wall| radius - wall);
    let inner = size
        .wall_mm
        .map(|wall| (round_skin(Cylinder::new(radius - wall), placement), wall));
    BodyInSpace {
        name,
        size: Header::from(size.clone()).describe(size.units),
        placement,
        surface: Arc::new(Placed::new(Cylinder::new(radius), placement)),
        flat: Some(FlatSkins {
            outer: round_skin(Cylinder::new(radius), placement),
            inner,
        }),
        extent: Extent::Round {
            length,
            radii: (radius, radius),
        },
        edges_mm: None,
        of_tube: None,
        floor_mm: None,
        bore_mm2: bore.map(|bore| PI * bore * bore),
        if_round: None,
        parting: None,
    }
}

/// The same body with its real section instead of the `round` one of the same girth.
fn out_of_round(round: BodyInSpace, section: &Measured, size: &Size, length: f64) -> BodyInSpace {
    let placement = round.placement;
    let skin = |inset: f64| OutOfRound::new(section.contour.clone(), inset);
    let laid = |skin: OutOfRound| -> SkinFrom {
        Arc::new(move |round| Arc::new(Placed::new(skin.clone().laid_from(round), placement)))
    };
    let if_round = |inset: f64| -> Arc<dyn Body + Send + Sync> {
        let radius = size.od_mm / 2.0 - inset;
        Arc::new(Placed::new(Cylinder::new(radius), placement))
    };
    let reach = section.contour.reach();
    BodyInSpace {
        size: section.words.clone(),
        surface: Arc::new(Placed::new(skin(0.0), placement)),
        flat: Some(FlatSkins {
            outer: laid(skin(0.0)),
            inner: size.wall_mm.map(|wall| (laid(skin(wall)), wall)),
        }),
        extent: Extent::Round {
            length,
            radii: (reach, reach),
        },
        bore_mm2: size.wall_mm.map(|wall| skin(wall).area()),
        if_round: Some(IfRound {
            outer: if_round(0.0),
            inner: size.wall_mm.map(if_round),
        }),
        ..round
    }
}

fn cone(reader: &mut Reader, raw: &raw::Body, name: String, stacks: &[Stack]) -> Option<BodyInSpace> {
    let size = header_size(reader, raw, raw.size.as_ref(), "size");
    let size_to = header_size(reader, raw, raw.size_to.as_ref(), "size_to");
    let placed = along_axis(reader, raw, stacks);
    let floor_mm = floor(reader, raw);
    let (size, size_to, Standing { placement, length, .. }) = (size?, size_to?, placed?);
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
            round_skin(
                Cone::new(radius - wall * (1.0 + taper * taper).sqrt(), taper),
                placement,
            ),
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
            outer: round_skin(skin, placement),
            inner,
        }),
        extent: Extent::Round {
            length,
            radii: (radius, radius_to),
        },
        edges_mm: None,
        of_tube: None,
        floor_mm: floor_mm?,
        bore_mm2: None,
        if_round: None,
        parting: None,
    })
}

fn plane(reader: &mut Reader, raw: &raw::Body, name: String, stacks: &[Stack]) -> Option<BodyInSpace> {
    let at = missing(reader, raw, raw.at.as_ref(), "at", "a point of the plate: [x, y, z]")
        .and_then(|place| spot(reader, place, stacks));
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
    let edges_mm = edges(reader, raw);
    let (at, out) = (at?, out?);
    let along = zero_line(reader, raw, zero, out, "\"out\", straight out of the plate")?;
    let edges_mm = edges_mm?;
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
    let below = |wall: f64| -> SkinFrom {
        let lower = placement * DAffine3::from_translation(-wall * DVec3::Z);
        Arc::new(move |_| Arc::new(Placed::new(Plane, lower)))
    };
    Some(BodyInSpace {
        name,
        size: plate_words(wall, edges_mm),
        placement,
        surface: Arc::new(Placed::new(Plane, placement)),
        flat: Some(FlatSkins {
            outer: below(0.0),
            inner: wall.map(|wall| (below(wall), wall)),
        }),
        extent: Extent::Flat,
        edges_mm,
        of_tube: None,
        floor_mm: None,
        bore_mm2: None,
        if_round: None,
        parting: None,
    })
}

/// `plate, 400 x 300 mm, 6.00 mm`.
fn plate_words(wall: Option<f64>, edges_mm: Option<[f64; 2]>) -> String {
    let edges = edges_mm.map_or_else(String::new, |[wide, high]| format!(", {wide:.2} x {high:.2} mm"));
    let wall = wall.map_or_else(String::new, |wall| format!(", {wall:.2} mm"));
    format!("plate{edges}{wall}")
}

/// A plane's edges: both or neither; none within where there are none, and `None` where they were refused.
fn edges(reader: &mut Reader, raw: &raw::Body) -> Option<Option<[f64; 2]>> {
    let (wide, high) = match (&raw.wide, &raw.high) {
        (None, None) => return Some(None),
        (Some(wide), Some(high)) => (edge(reader, wide, "wide"), edge(reader, high, "high")),
        (Some(word), None) | (None, Some(word)) => {
            let missing = if raw.wide.is_some() { "high" } else { "wide" };
            reader.refuse(
                word,
                Problem::new(format!("a plate with edges needs \"{missing}\" too"))
                    .figures(format!("only {} is given", word.text))
                    .help("give both \"wide\" and \"high\", or neither: then the plate is endless"),
            );
            return None;
        }
    };
    Some(Some([wide?, high?]))
}

fn edge(reader: &mut Reader, word: &Word, key: &str) -> Option<f64> {
    let length = reader.length(word)?;
    if !(SMALLEST_PLATE..=LARGEST_PLATE).contains(&length) {
        reader.refuse(
            word,
            Problem::new(format!("a plate can't be that {key}"))
                .figures(format!("{length:.2} mm"))
                .help(format!("give {SMALLEST_PLATE:.0} to {LARGEST_PLATE:.0} mm")),
        );
        return None;
    }
    Some(length)
}

fn sphere(reader: &mut Reader, raw: &raw::Body, name: String, stacks: &[Stack]) -> Option<BodyInSpace> {
    let size = header_size(reader, raw, raw.size.as_ref(), "size");
    let at = missing(reader, raw, raw.at.as_ref(), "at", "the middle of the ball: [x, y, z]")
        .and_then(|place| spot(reader, place, stacks));
    let pole = raw.out.as_ref().map(|words| direction(reader, words));
    let zero = raw.zero.as_ref().map(|words| direction(reader, words));
    let pole = match pole {
        Some(pole) => pole?,
        None => DVec3::Z,
    };
    let (size, at, zero) = (
        size?,
        at?,
        zero_line(reader, raw, zero, pole, "the ball's pole, \"out\"")?,
    );
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
        edges_mm: None,
        of_tube: None,
        floor_mm: None,
        bore_mm2: None,
        if_round: None,
        parting: None,
    })
}
