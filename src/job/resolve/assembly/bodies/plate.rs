//! A plate, with edges or endless.

use std::sync::Arc;

use glam::{DAffine3, DMat3, DVec3};

use super::{Reader, direction, give, needed_at, needed_out, zero_line};
use crate::body::{Placed, Plane, SolidPlate};
use crate::job::raw::{self, Word};
use crate::job::{BodyInSpace, FlatSkins, SkinFrom, Stack};
use crate::measure::Units;
use crate::phrase::Phrase;
use crate::problem::Problem;

/// How wide or high a plate with edges may be, in millimetres.
const SMALLEST_PLATE: f64 = 1.0;
const LARGEST_PLATE: f64 = 20_000.0;
/// How thin and how thick a plate may be, in millimetres.
const THICKNESSES: [f64; 2] = [0.1, 500.0];

pub(super) fn plate(reader: &mut Reader, raw: &raw::Body, name: String, stacks: &[Stack]) -> Option<BodyInSpace> {
    let at = needed_at(reader, raw, "a point of the plate: [x, y, z]", stacks);
    let out = needed_out(reader, raw, "straight out of the plate: three numbers");
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
    let [thinnest, thickest] = reader.result_units().round_range(THICKNESSES);
    if let (Some(word), Some(wall)) = (&raw.size, wall.filter(|wall| !(thinnest..=thickest).contains(wall))) {
        return reader.refused(
            word,
            Problem::new("a plate can't be that thick")
                .figures(Phrase::default().length(wall))
                .help(format!("give {}", reader.result_units().show_range(thinnest, thickest))),
        );
    }
    let below = |wall: f64| -> SkinFrom {
        let lower = placement * DAffine3::from_translation(-wall * DVec3::Z);
        Arc::new(move |_| Arc::new(Placed::new(Plane, lower)))
    };
    let flat = FlatSkins {
        outer: below(0.0),
        inner: wall.map(|wall| (below(wall), wall)),
    };
    let surface = Arc::new(Placed::new(Plane, placement));
    let outside = Arc::new(SolidPlate {
        edges_mm,
        thickness_mm: wall.unwrap_or(0.0),
    });
    Some(BodyInSpace {
        inner: flat.inner_body(),
        flat: Some(flat),
        ..BodyInSpace::new(
            name,
            plate_words(wall, edges_mm, reader.result_units()),
            placement,
            surface,
            outside,
        )
    })
}

/// `plate, 400 x 300 mm, 6.00 mm`.
fn plate_words(wall: Option<f64>, edges_mm: Option<[f64; 2]>, units: Units) -> String {
    let edges = edges_mm.map_or_else(String::new, |[wide, high]| {
        format!(", {} x {} {}", units.decimal(wide), units.decimal(high), units.name())
    });
    let wall = wall.map_or_else(String::new, |wall| format!(", {}", units.show_decimal(wall)));
    format!("plate{edges}{wall}")
}

/// A plane's edges: both or neither; none within where there are none, and `None` where they were refused.
fn edges(reader: &mut Reader, raw: &raw::Body) -> Option<Option<[f64; 2]>> {
    let (wide, high) = match (&raw.wide, &raw.high) {
        (None, None) => return Some(None),
        (Some(wide), Some(high)) => (edge(reader, wide, "wide"), edge(reader, high, "high")),
        (Some(word), None) | (None, Some(word)) => {
            let missing = if raw.wide.is_some() { "high" } else { "wide" };
            return reader.refused(
                word,
                Problem::new(format!("a plate with edges needs \"{missing}\" too"))
                    .figures(format!("only {} is given", word.text))
                    .help("give both \"wide\" and \"high\", or neither: then the plate is endless"),
            );
        }
    };
    Some(Some([wide?, high?]))
}

fn edge(reader: &mut Reader, word: &Word, key: &str) -> Option<f64> {
    let length = reader.length(word)?;
    let problem = Problem::new(format!("a plate can't be that {key}"));
    reader.within(word, length, [SMALLEST_PLATE, LARGEST_PLATE], problem, give)
}
