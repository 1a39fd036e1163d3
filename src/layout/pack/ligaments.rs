//! What is left between the holes of a body, found without holding every hole against every other.

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use kurbo::Point;

use super::placed_hole::PlacedHole;
use crate::body::Development;
use crate::layout::polygon::{Outline, clearance_within};

/// The holes of all bodies, those of each in the order in which they come on its flat skin from below.
pub(super) struct Ligaments<'a> {
    holes: &'a [PlacedHole],
    by_body: BTreeMap<usize, Row>,
}

/// The holes of a body.
#[derive(Default)]
struct Row {
    /// In the order of their heights on the flat skin.
    images: Vec<Image>,
    /// The farthest that any of them reaches from its middle, in millimetres.
    reach: f64,
}

/// A hole as it is met on the flat skin, there or a turn on.
struct Image {
    hole: usize,
    turns: f64,
    middle: Point,
}

impl<'a> Ligaments<'a> {
    pub(super) fn new(holes: &'a [PlacedHole]) -> Self {
        let mut by_body: BTreeMap<usize, Row> = BTreeMap::new();
        for (index, hole) in holes.iter().enumerate() {
            let row = by_body.entry(hole.hole.body).or_default();
            row.reach = row.reach.max(hole.reach);
            let turns: &[f64] = match hole.shape {
                Development::Plane => &[0.0],
                _ => &[-1.0, 0.0, 1.0],
            };
            row.images.extend(turns.iter().map(|turns| Image {
                hole: index,
                turns: *turns,
                middle: hole.shape.turned(*turns) * hole.middle,
            }));
        }
        for row in by_body.values_mut() {
            row.images.sort_by(|a, b| a.middle.y.total_cmp(&b.middle.y));
        }
        Self { holes, by_body }
    }

    /// The nearest other hole in the same body, and the ligament to it in millimetres.
    pub(super) fn nearest(&self, index: usize) -> Option<(&'a PlacedHole, f64)> {
        // The one that may be nearest gives a limit, within which the others are looked for.
        let mut likely: Option<(&Image, f64)> = None;
        for (image, least) in self.around(index) {
            if likely.is_some_and(|(_, known)| known <= least.any) {
                break;
            }
            let least = least.of_this;
            if likely.is_none_or(|(_, known)| least < known) {
                likely = Some((image, least));
            }
        }
        let (first, _) = likely?;
        let mut best = (first.hole, self.ligament(index, first, f64::INFINITY));
        for (image, least) in self.around(index) {
            if best.1 <= least.any {
                break;
            }
            if least.of_this < best.1 {
                let ligament = self.ligament(index, image, best.1);
                if ligament < best.1 {
                    best = (image.hole, ligament);
                }
            }
        }
        Some((&self.holes[best.0], best.1))
    }

    /// The holes before this one that overlap it, and by how much in millimetres, below 0.
    pub(super) fn overlaps(&self, index: usize) -> Vec<(&'a PlacedHole, f64)> {
        let mut found: BTreeMap<usize, f64> = BTreeMap::new();
        let near = self.around(index).take_while(|(_, least)| least.any <= 0.0);
        for (image, least) in near {
            if image.hole < index && least.of_this <= 0.0 {
                let apart = self.ligament(index, image, f64::INFINITY);
                if apart <= 0.0 {
                    let known = found.entry(image.hole).or_insert(apart);
                    *known = known.min(apart);
                }
            }
        }
        found
            .into_iter()
            .map(|(hole, apart)| (&self.holes[hole], apart))
            .collect()
    }

    /// The other holes, those that are nearest in height first, and the least that they can be apart.
    fn around(&self, index: usize) -> impl Iterator<Item = (&Image, Least)> {
        let hole = &self.holes[index];
        let row = &self.by_body[&hole.hole.body];
        let (below, above) = row
            .images
            .split_at(row.images.partition_point(|image| image.middle.y < hole.middle.y));
        let (mut below, mut above) = (below.iter().rev().peekable(), above.iter().peekable());
        let off = |image: &&Image| (image.middle.y - hole.middle.y).abs();
        let outwards = std::iter::from_fn(move || match (below.peek(), above.peek()) {
            (Some(lower), Some(upper)) if off(lower) <= off(upper) => below.next(),
            (Some(_), None) => below.next(),
            _ => above.next(),
        });
        outwards
            .filter(move |image| image.hole != index && self.is_straight(hole, image))
            .map(move |image| {
                let other = &self.holes[image.hole];
                let least = Least {
                    any: (image.middle.y - hole.middle.y).abs() - hole.reach - row.reach,
                    of_this: image.middle.distance(hole.middle) - hole.reach - other.reach,
                };
                (image, least)
            })
    }

    /// Whether the straight line to an image lies on the skin.
    fn is_straight(&self, hole: &PlacedHole, image: &Image) -> bool {
        let round = self.holes[image.hole].hole.round - hole.hole.round;
        hole.shape.spans(round / TAU + image.turns)
    }

    /// What is left between a hole and an image, where it is below `limit`.
    fn ligament(&self, index: usize, image: &Image, limit: f64) -> f64 {
        let (mine, other) = (&self.holes[index], &self.holes[image.hole]);
        let moved: Outline;
        let theirs = if image.turns == 0.0 {
            &other.on_skin
        } else {
            moved = other.on_skin.moved(other.shape.turned(image.turns));
            &moved
        };
        clearance_within(&mine.on_skin, theirs, limit)
    }
}

/// The least that outlines can be apart, in millimetres.
#[derive(Clone, Copy)]
struct Least {
    /// This and all that come after it.
    any: f64,
    of_this: f64,
}
