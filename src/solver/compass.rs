//! The outline of a hole that can't be laid flat: how far it is from its middle in each direction.

use std::f64::consts::{PI, TAU};

use glam::{DVec2, DVec3};

use super::trace::passes_beside;
use crate::body::{Body, Line, rising_root};
use crate::job::RoundHole;
use crate::problem::Problem;
use crate::section::Profile;

/// Samples round the tube between which a direction is found.
const SAMPLES: usize = 720;

/// The outline in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction {
    /// At the middle in the skin, from the way to the body's zero line to the right as seen from outside, in radians.
    pub angle: f64,
    /// Straight from the middle to the outline, in millimetres; the farther of a set-in tube's two.
    pub opening_mm: f64,
    /// The place on the outline, in space.
    pub place: DVec3,
    /// Whether something else that the tube is cut to stands before the outline there.
    pub is_covered: bool,
}

/// The outline in `count` directions, the first towards the zero line.
///
/// # Errors
/// Where a line of the tube misses a skin, or the outline doesn't go round the middle.
pub fn compass_openings(hole: &RoundHole, count: usize) -> Result<Vec<Direction>, Problem> {
    let outlines = Outline::all(hole)?;
    in_directions(hole, &outlines, &evenly(count))
}

/// The same, and in the directions of the section's folds as well, so that its corners are there.
///
/// # Errors
/// As [`compass_openings`].
pub fn compass_outline(hole: &RoundHole, count: usize) -> Result<Vec<Direction>, Problem> {
    let outlines = Outline::all(hole)?;
    let mut angles = evenly(count);
    let folds = hole.section.folds();
    let of_folds = outlines.iter().flat_map(|outline| {
        folds
            .iter()
            .filter_map(|fold| Some(outline.angle(outline.place(*fold)?)))
    });
    angles.extend(of_folds.map(|angle| angle.rem_euclid(TAU)));
    angles.sort_by(f64::total_cmp);
    in_directions(hole, &outlines, &angles)
}

fn evenly(count: usize) -> Vec<f64> {
    (0..count).map(|number| TAU * number as f64 / count as f64).collect()
}

fn in_directions(hole: &RoundHole, outlines: &[Outline<'_>], angles: &[f64]) -> Result<Vec<Direction>, Problem> {
    let direction = |angle: &f64| {
        let angle = *angle;
        let places = outlines.iter().map(|outline| outline.in_direction(angle));
        let places: Vec<DVec3> = places.collect::<Option<_>>()?;
        let far = |place: &DVec3| place.distance(hole.middle);
        let place = places.into_iter().max_by(|a, b| far(a).total_cmp(&far(b)))?;
        Some(Direction {
            angle,
            opening_mm: far(&place),
            place,
            is_covered: is_covered(hole, place),
        })
    };
    let found: Option<Vec<Direction>> = angles.iter().map(direction).collect();
    found.ok_or_else(|| {
        Problem::new("the hole's outline doesn't go round the place where the tube's axis meets the skin")
            .help("let the tube stand steeper on the skin, or take a smaller one")
    })
}

/// Whether another body is met before the place on the way in along the tube.
fn is_covered(hole: &RoundHole, place: DVec3) -> bool {
    let line = Line {
        origin: place,
        direction: -hole.frame.axis,
    };
    let others = hole.others.iter().filter_map(|other| other.first_hit(&line));
    others.map(|hit| hit.distance).any(|distance| distance < 0.0)
}

/// What the tube cuts out of one skin, carried out square to the wall to the outer one.
struct Outline<'a> {
    hole: &'a RoundHole,
    skin: &'a dyn Body,
    /// Whether that is the outer one itself.
    is_outer: bool,
    /// By samples, the azimuth and the direction of the place there.
    samples: Vec<(f64, f64)>,
}

impl<'a> Outline<'a> {
    fn all(hole: &'a RoundHole) -> Result<Vec<Self>, Problem> {
        let outer = Self::new(hole, hole.outer.as_ref(), true);
        let inner = hole.inner.as_ref().map(|inner| Self::new(hole, inner.as_ref(), false));
        std::iter::once(outer).chain(inner).collect()
    }

    fn new(hole: &'a RoundHole, skin: &'a dyn Body, is_outer: bool) -> Result<Self, Problem> {
        let mut outline = Self {
            hole,
            skin,
            is_outer,
            samples: Vec::new(),
        };
        for sample in 0..SAMPLES {
            let azimuth = TAU * sample as f64 / SAMPLES as f64;
            let place = outline.place(azimuth).ok_or_else(|| passes_beside(azimuth, None))?;
            outline.samples.push((azimuth, outline.angle(place)));
        }
        // The same place once more: rounded otherwise it could be on the other side of a direction.
        outline.samples.push((TAU, outline.samples[0].1));
        Ok(outline)
    }

    /// On the outer skin.
    fn place(&self, azimuth: f64) -> Option<DVec3> {
        let RoundHole {
            frame, section, outer, ..
        } = self.hole;
        let wall = section.wall_line(azimuth, 0.0);
        let on_section = wall.origin + wall.outer * DVec2::from_angle(wall.facing);
        let line = Line {
            origin: frame.origin + frame.across(on_section),
            direction: -frame.axis,
        };
        let place = line.at(self.skin.first_hit(&line)?.distance);
        if self.is_outer {
            return Some(place);
        }
        let (along, round) = outer.place_of(place);
        Some(outer.site(along, round).point)
    }

    fn angle(&self, place: DVec3) -> f64 {
        let from = place - self.hole.middle;
        from.dot(self.hole.to_right()).atan2(from.dot(self.hole.to_zero))
    }

    /// The farthest place in a direction; `None` where there is none.
    fn in_direction(&self, angle: f64) -> Option<DVec3> {
        let off = |of: f64| (of - angle + PI).rem_euclid(TAU) - PI;
        let crossings = self.samples.windows(2).filter(|pair| {
            let [from, to] = [off(pair[0].1), off(pair[1].1)];
            // Not where it jumps from one half turn to the other, behind.
            (from < 0.0) != (to < 0.0) && (from - to).abs() < PI
        });
        let places = crossings.filter_map(|pair| {
            let ((from, at_from), (to, _)) = (pair[0], pair[1]);
            let way = if off(at_from) < 0.0 { 1.0 } else { -1.0 };
            let past = |azimuth: f64| {
                let place = self.place(azimuth);
                place.map_or(f64::NAN, |place| way * off(self.angle(place)))
            };
            self.place(rising_root(past, from, to))
        });
        let far = |place: &DVec3| place.distance(self.hole.middle);
        places.max_by(|a, b| far(a).total_cmp(&far(b)))
    }
}
