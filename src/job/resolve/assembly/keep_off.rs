//! What must be kept off on a body: its words, and what of it stands in a tube's way.

use std::f64::consts::TAU;
use std::sync::Arc;

use glam::{DAffine3, DMat3, DVec3};

use crate::body::{Placed, Plane, SolidPlate};
use crate::job::limits::MOST_ON_A_SKIN;
use crate::job::raw::{self, Word};
use crate::job::{Assembly, BodyInSpace, FlatSkins, GrownPart, KeepOff, SkinFrom, Strip};
use crate::phrase::Phrase;
use crate::problem::{Problem, quoted};

use super::points::along_help;
use super::{Reader, find_body, give, given, mark, round_of};

/// No rib, lip or ring stands out farther, in millimetres.
const FARTHEST_OUT: f64 = 500.0;

/// What is to be kept off on a body; `None` where a word was refused.
pub(super) fn resolve(reader: &mut Reader, raw: &[raw::KeepOff], body: &BodyInSpace) -> Option<Vec<KeepOff>> {
    if let Some(first) = raw.first().filter(|_| body.flat.is_none()) {
        let problem = Problem::new("on a ball nothing can be kept off")
            .help("leave \"keep_off\" out, and measure from the tube's end what is in its way");
        return reader.refused(&first.here, problem);
    }
    if let Some(one_more) = raw.get(MOST_ON_A_SKIN) {
        let problem = Problem::new("there is too much to be kept off on this body");
        let problem = problem.figures(format!("{}, at most {MOST_ON_A_SKIN}", raw.len()));
        return reader.refused(&one_more.here, problem.help("give those that holes or tubes come near"));
    }
    let all: Vec<Option<KeepOff>> = raw.iter().map(|raw| one(reader, raw, body)).collect();
    all.into_iter().collect()
}

/// Whatever names what is to be kept off on a body that was refused is not at fault.
pub(super) fn break_all(reader: &mut Reader, body: &raw::Named<raw::Body>) {
    let names = body.thing.keep_off.iter().filter_map(|keep| keep.name.as_ref());
    for name in names {
        let whole = format!("{} of {}", name.text, body.name.text);
        reader
            .broken
            .extend([name.text.clone(), whole].map(|name| ("body", name)));
    }
}

fn one(reader: &mut Reader, raw: &raw::KeepOff, body: &BodyInSpace) -> Option<KeepOff> {
    let out_mm = given(&raw.out, 0.0, |word| out(reader, word));
    let strip = match (&raw.along, &raw.round, &raw.wide) {
        (Some(along), None, None) => round_it(reader, along, body),
        (None, Some(round), Some(wide)) => along_it(reader, round, wide, body),
        _ => {
            let problem = Problem::new("a strip to be kept off is given in one of two ways").help(
                "\"along\": [from, to] for what runs round the body, or \"round\" and \"wide\" for what runs along it",
            );
            reader.refused(&raw.here, problem)
        }
    };
    Some(KeepOff {
        name: raw.name.as_ref()?.text.clone(),
        strip: strip?,
        out_mm: out_mm?,
    })
}

fn out(reader: &mut Reader, word: &Word) -> Option<f64> {
    let out = reader.length(word)?;
    let problem = Problem::new("nothing can stand out of the skin by that much");
    reader.within(word, out, [0.0, FARTHEST_OUT], problem, give)
}

/// What runs round the body.
fn round_it(reader: &mut Reader, along: &[Word; 2], body: &BodyInSpace) -> Option<Strip> {
    let [from, to] = along.each_ref().map(|word| reader.length(word));
    let (from, to) = (from?, to?);
    let figures = Phrase::default().length(from).words(" to ").length(to);
    let problem = match body.reach_along() {
        _ if from >= to => {
            Problem::new("a strip begins before it ends")
                .figures(figures)
                .help(if body.outside.is_flat() {
                    "give the lower place first"
                } else {
                    "give the place nearer to the body's end first"
                })
        }
        Some([low, high]) if from < low || to > high => Problem::new(format!("this strip is not on \"{}\"", body.name))
            .figures(
                figures
                    .words(", the body reaches from ")
                    .length(low)
                    .words(" to ")
                    .length(high),
            )
            .help(along_help(body)),
        _ => return Some(Strip::Round([from, to])),
    };
    reader.refused(&along[0], problem)
}

/// What runs along the body.
fn along_it(reader: &mut Reader, round: &Word, wide: &Word, body: &BodyInSpace) -> Option<Strip> {
    let at = mark(reader, round);
    let wide_mm = reader.length(wide);
    let (at, wide_mm) = (at?, wide_mm?);
    let angle = round_of(reader, round, at, body, 0.0)?;
    let widest = body.surface.girth(0.0).map_or(f64::INFINITY, |girth| girth / 2.0);
    if !(angle.is_finite() && wide_mm > 0.0 && wide_mm <= widest) {
        let figures = Phrase::default().length(wide_mm);
        let figures = if widest.is_finite() {
            figures.words(", half the girth is ").length(widest)
        } else {
            figures
        };
        let problem = Problem::new("a strip along a body is wider than nothing and no wider than half its girth")
            .figures(figures)
            .help("give how wide it is along the skin");
        return reader.refused(wide, problem);
    }
    Some(Strip::Along { round: angle, wide_mm })
}

/// What is to be kept off as a thing of its own, which can be in a tube's way; `None` where it isn't known where it ends.
pub(super) fn as_body(body: &BodyInSpace, index: usize, keep: &KeepOff) -> Option<BodyInSpace> {
    let thing = match (body.length_mm(), body.outside.edges_mm()) {
        (Some(length), _) => on_round_body(body, keep, length)?,
        (_, Some(edges)) => on_plate(body, keep, edges),
        _ => return None,
    };
    Some(BodyInSpace {
        name: format!("{} of {}", keep.name, body.name),
        keep_off: Vec::new(),
        found: Vec::new(),
        laps: Vec::new(),
        of_body: Some((index, keep.out_mm)),
        if_round: body.if_round.clone().filter(|_| thing.outside.edges_mm().is_none()),
        bore_mm2: None,
        floor_mm: None,
        parting: None,
        ..thing
    })
}

/// A ring round a body so many millimetres long, or a bar along it.
fn on_round_body(body: &BodyInSpace, keep: &KeepOff, length: f64) -> Option<BodyInSpace> {
    match keep.strip {
        Strip::Round([from, to]) => {
            // What is parted goes with its ribs.
            let to = to.min(length);
            if from >= to {
                return None;
            }
            let GrownPart { surface, outside } = body.grown.as_ref()?(keep.out_mm, [from, to]);
            Some(BodyInSpace {
                placement: body.placement * DAffine3::from_translation(from * DVec3::Y),
                surface,
                outside,
                ..body.clone()
            })
        }
        Strip::Along { round, wide_mm } => {
            let [near, far] = [0.0, length].map(|along| body.surface.site(along, round));
            let (along, normal) = ((far.point - near.point).normalize(), near.normal);
            // Flat across: its foot goes in to where the skin is at its sides.
            let girth = body.surface.girth(0.0).unwrap_or(f64::INFINITY);
            let sides = TAU * wide_mm * wide_mm / (8.0 * girth);
            let middle = near.point.midpoint(far.point) + keep.out_mm * normal;
            let across = DMat3::from_cols(along.cross(normal), along, normal);
            let size = [wide_mm, (far.point - near.point).length()];
            let placement = DAffine3::from_mat3_translation(across, middle);
            Some(slab(body, placement, size, keep.out_mm + 2.0 * sides))
        }
    }
}

/// A bar across a plate with edges, or up it.
fn on_plate(body: &BodyInSpace, keep: &KeepOff, [wide, high]: [f64; 2]) -> BodyInSpace {
    let (middle, size) = match keep.strip {
        Strip::Round([from, to]) => (DVec3::new(0.0, from.midpoint(to), keep.out_mm), [wide, to - from]),
        Strip::Along { round, wide_mm } => (DVec3::new(round, 0.0, keep.out_mm), [wide_mm, high]),
    };
    let placement = body.placement * DAffine3::from_translation(middle);
    slab(body, placement, size, keep.out_mm)
}

/// A flat thing, its top where it is placed.
fn slab(body: &BodyInSpace, placement: DAffine3, size: [f64; 2], thickness: f64) -> BodyInSpace {
    let below = |depth: f64| -> SkinFrom {
        let lower = placement * DAffine3::from_translation(-depth * DVec3::Z);
        Arc::new(move |_| Arc::new(Placed::new(Plane, lower)))
    };
    BodyInSpace {
        placement,
        surface: Arc::new(Placed::new(Plane, placement)),
        flat: Some(FlatSkins {
            outer: below(0.0),
            inner: Some((below(thickness), thickness)),
        }),
        outside: Arc::new(SolidPlate {
            edges_mm: Some(size),
            thickness_mm: thickness,
        }),
        ..body.clone()
    }
}

/// The body that a distance is to be kept to: one of its name, or what is kept off on one.
pub(super) fn find_kept(reader: &mut Reader, word: &Word, assembly: &Assembly) -> Option<usize> {
    let bodies = &assembly.bodies;
    let whole = bodies.iter().position(|body| body.name == word.text);
    let called = |body: &BodyInSpace| {
        let of = body.of_body.map(|(of, _)| &bodies[of].name)?;
        body.name.strip_suffix(&format!(" of {of}")).map(str::to_owned)
    };
    let parts: Vec<usize> = (0..bodies.len())
        .filter(|index| called(&bodies[*index]).as_ref() == Some(&word.text))
        .collect();
    match (whole, parts.as_slice()) {
        (Some(index), _) | (None, &[index]) => Some(index),
        (None, []) => find_body(reader, word, assembly),
        (None, several) => {
            let names: Vec<String> = several.iter().map(|index| quoted(&bodies[*index].name)).collect();
            let problem = Problem::new(format!(
                "several bodies have something of the name {}",
                quoted(&word.text)
            ));
            reader.refused(word, problem.help(format!("say which: {}", names.join(", "))))
        }
    }
}
