//! A drum or a pipe, round or out of round.

use std::f64::consts::PI;
use std::sync::Arc;

use glam::DAffine3;

use super::super::section::{Measured, section};
use super::{Reader, along_axis, floor, header_size, moved_up, round_skin};
use crate::body::{Cylinder, Frustum, OutOfRound, Placed, Prism};
use crate::job::{BodyInSpace, FlatSkins, GrownPart, Header, SkinFrom, Stack, TakenForRound, raw};
use crate::measure::Size;

pub(super) fn cylinder(reader: &mut Reader, raw: &raw::Body, name: String, stacks: &[Stack]) -> Option<BodyInSpace> {
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
        laps: placed.laps,
        ..body
    })
}

/// A round body of a size; tubes that others land on too.
pub(in super::super) fn round(name: String, size: &Size, placement: DAffine3, length: f64) -> BodyInSpace {
    let radius = size.od_mm / 2.0;
    let bore = size.wall_mm.map(|wall| radius - wall);
    let inner = size
        .wall_mm
        .map(|wall| (round_skin(Cylinder::new(radius - wall), placement), wall));
    let flat = FlatSkins {
        outer: round_skin(Cylinder::new(radius), placement),
        inner,
    };
    let surface = Arc::new(Placed::new(Cylinder::new(radius), placement));
    let outside = Arc::new(Frustum {
        length_mm: length,
        radii_mm: [radius; 2],
    });
    let words = Header::from(size.clone()).describe(size.units);
    BodyInSpace {
        inner: flat.inner_body(),
        flat: Some(flat),
        bore_mm2: bore.map(|bore| PI * bore * bore),
        grown: Some(Arc::new(move |by, [from, to]| GrownPart {
            surface: Arc::new(Placed::new(Cylinder::new(radius + by), moved_up(placement, from))),
            outside: Arc::new(Frustum {
                length_mm: to - from,
                radii_mm: [radius + by; 2],
            }),
        })),
        ..BodyInSpace::new(name, words, placement, surface, outside)
    }
}

/// The same body with its real section instead of the `round` one of the same girth.
fn out_of_round(round: BodyInSpace, section: &Measured, size: &Size, length: f64) -> BodyInSpace {
    let placement = round.placement;
    let skin = |inset: f64| OutOfRound::new(section.contour.clone(), inset);
    let laid = |skin: OutOfRound| -> SkinFrom {
        Arc::new(move |round| Arc::new(Placed::new(skin.clone().laid_from(round), placement)))
    };
    let if_round = |inset: f64| Arc::new(Placed::new(Cylinder::new(size.od_mm / 2.0 - inset), placement));
    let flat = FlatSkins {
        outer: laid(skin(0.0)),
        inner: size.wall_mm.map(|wall| (laid(skin(wall)), wall)),
    };
    BodyInSpace {
        size: section.words.clone(),
        surface: Arc::new(Placed::new(skin(0.0), placement)),
        inner: flat.inner_body(),
        flat: Some(flat),
        outside: Arc::new(Prism::new(skin(0.0), length)),
        bore_mm2: size.wall_mm.map(|wall| skin(wall).area()),
        grown: {
            let contour = section.contour.clone();
            Some(Arc::new(move |by, [from, to]| {
                let grown = OutOfRound::new(contour.clone(), -by);
                GrownPart {
                    surface: Arc::new(Placed::new(grown.clone(), moved_up(placement, from))),
                    outside: Arc::new(Prism::new(grown, to - from)),
                }
            }))
        },
        if_round: Some(TakenForRound {
            outer: if_round(0.0),
            inner: size.wall_mm.map(|wall| if_round(wall) as _),
        }),
        ..round
    }
}
