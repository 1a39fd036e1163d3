//! Vessels of several bodies, which meet at seams: a drum and the heads that close it.

use std::f64::consts::TAU;

use super::{Assembly, Ending, Frame, Join, TubeEnd, TubeInSpace};
use crate::body::{Body, Line};
use crate::section::Profile;

/// Lines along the tube that are asked how far they come.
const LINES: usize = 180;

/// What the heads of a cylinder are called behind its name: where its axis begins, and where it ends.
pub(crate) const HEADS: [&str; 2] = ["from head", "to head"];

impl Assembly {
    /// Whether the two are one vessel.
    pub(crate) fn is_one_vessel(&self, one: usize, other: usize) -> bool {
        let seams = |body: usize| self.bodies[body].seams.iter().map(|seam| seam.other);
        one == other || seams(one).any(|body| body == other || seams(body).any(|body| body == other))
    }

    /// The heads over whose seams to the drum a tube reaches that lands on the drum, by index: with its wall, or with the hole for it.
    /// A head's skin goes on below its rim as the drum's, so that one is the skin of both there.
    pub(crate) fn heads_reached(&self, tube: &TubeInSpace, end: &TubeEnd) -> Vec<usize> {
        let Ending::Lands {
            body,
            join,
            clearance_mm,
            ..
        } = end.ending
        else {
            return Vec::new();
        };
        let drum = &self.bodies[body];
        let Some(length) = drum.length_mm().filter(|_| !drum.seams.is_empty()) else {
            return Vec::new();
        };
        let axis = end.into_tube();
        let frame = Frame::new(end.at, axis, drum.front_of(axis, end.at));
        let section = self.stock[tube.stock].tube.section.grown(clearance_mm);
        let inner = drum.inner.iter().filter(|_| join == Join::SetIn);
        let outer: &dyn Body = &drum.surface;
        let skins: Vec<&dyn Body> = std::iter::once(outer)
            .chain(inner.map(|inner| inner.as_ref() as _))
            .collect();
        let steps = (0..LINES).map(|step| TAU * step as f64 / LINES as f64);
        let places = steps.chain(section.folds()).flat_map(|azimuth| {
            let wall = section.wall_line(azimuth, 0.0);
            let line = Line {
                origin: end.at + frame.across(wall.origin) + wall.outer * frame.outward(wall.facing),
                direction: -axis,
            };
            let hits = skins
                .iter()
                .filter_map(move |skin| Some(line.at(skin.first_hit(&line)?.distance)));
            hits.map(|place| drum.surface.place_of(place).0).collect::<Vec<_>>()
        });
        let (low, high) = places.fold((f64::MAX, f64::MIN), |(low, high), along| {
            (low.min(along), high.max(along))
        });
        let is_reached = |along: f64| {
            if along < length / 2.0 {
                low < along
            } else {
                high > along
            }
        };
        let reached = drum.seams.iter().filter(|seam| is_reached(seam.along_mm));
        reached.map(|seam| seam.other).collect()
    }
}
