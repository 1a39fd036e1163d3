//! What a search for saw settings needs of a joint, and which recipes it may give.

use std::f64::consts::PI;

use super::extreme::close_in;
use super::facet::FacetedEnd;
use super::line::Lines;
use super::recipe::{Recipe, SideCuts, true_depth};
use crate::job::End;

/// What a search needs of a joint: the seat over half the girth; the joint has no offset, so that the
/// other half is its mirror image.
pub(super) struct Seat<'a> {
    end: &'a End,
    angle: f64,
    /// Azimuths in radians from 0 to half a turn, each with the wall's (y, t).
    rows: Vec<(f64, Vec<(f64, f64)>)>,
}

/// Radii through the wall at which the search looks. The gap that is reported looks everywhere.
const RADII: usize = 5;
/// Steps of the search round half the girth.
const AZIMUTHS: usize = 120;

impl<'a> Seat<'a> {
    pub(super) fn new(end: &'a End, angle: f64) -> Self {
        let azimuths = (0..=AZIMUTHS).map(|index| PI * index as f64 / AZIMUTHS as f64);
        Self {
            end,
            angle,
            rows: azimuths.map(|azimuth| (azimuth, row(end, azimuth))).collect(),
        }
    }

    /// The end that a recipe makes.
    pub(super) fn end(&self, recipe: &Recipe) -> FacetedEnd {
        recipe.end(self.end.tube.radius(), self.angle)
    }

    /// The clearance at evenly spaced azimuths over half the girth.
    pub(super) fn looks(&self, facets: &FacetedEnd) -> Vec<(f64, f64)> {
        self.rows
            .iter()
            .map(|(azimuth, row)| (*azimuth, clearance(facets, row)))
            .collect()
    }

    /// The peak (`sign` 1) or dip (-1) nearest to a look, and the clearance there.
    pub(super) fn closer(&self, facets: &FacetedEnd, azimuth: f64, sign: f64) -> (f64, f64) {
        let step = PI / AZIMUTHS as f64;
        let height = |azimuth: f64| sign * clearance(facets, &row(self.end, azimuth));
        let found = close_in(&height, azimuth - step, azimuth + step, 1e-7);
        (found, sign * height(found))
    }

    /// The largest gap at the looks.
    pub(super) fn largest_gap(&self, recipe: &Recipe) -> f64 {
        let facets = self.end(recipe);
        let clear = self.rows.iter().map(|(_, row)| clearance(&facets, row));
        let (low, high) = clear.fold((f64::MAX, f64::MIN), |(low, high), clear| {
            (low.min(clear), high.max(clear))
        });
        high - low
    }
}

/// The wall at an azimuth: (y, t of the body) at several radii.
fn row(end: &End, azimuth: f64) -> Vec<(f64, f64)> {
    let lines = Lines::at_the_body(&end.frame, end.landing.as_ref());
    let rays = lines.through(&end.tube.wall_line(azimuth));
    let place = |index: usize| {
        let radius = end.tube.bore_radius() + end.tube.wall_mm * index as f64 / (RADII - 1) as f64;
        let t = rays.meet(radius).map_or(f64::NAN, |hit| hit.t);
        (radius * azimuth.cos(), t)
    };
    (0..RADII).map(place).collect()
}

fn clearance(facets: &FacetedEnd, row: &[(f64, f64)]) -> f64 {
    row.iter().map(|&(y, t)| facets.t(y) - t).fold(f64::MAX, f64::min)
}

/// Which recipes a search may give, and how they are lists of numbers: scribe depths in millimetres and
/// slopes off square in turn, or for one cut a side one common depth and the two slopes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Form {
    pub(super) cuts_a_side: usize,
    /// The front's cuts serve the back too.
    pub(super) is_single: bool,
    deepest_mm: f64,
    pub(super) saw_limit_deg: f64,
    /// Of the true seat.
    depth_mm: f64,
    /// Of the tube.
    radius_mm: f64,
}

impl Form {
    /// For an end at `angle` radians between the axes.
    pub(super) fn new(end: &End, angle: f64, saw_limit_deg: f64, cuts_a_side: usize, is_single: bool) -> Self {
        let depth_mm = true_depth(end, angle);
        // Beyond twice the seat's depth and a diameter more there is no tube left to touch.
        let deepest_mm = 2.0 * depth_mm + end.tube.across_mm();
        Self {
            cuts_a_side,
            is_single,
            deepest_mm,
            saw_limit_deg,
            depth_mm,
            radius_mm: end.tube.radius(),
        }
    }

    pub(super) fn recipe(self, numbers: &[f64]) -> Recipe {
        let side = |sign: f64| -> SideCuts {
            let facets = self
                .facets()
                .into_iter()
                .filter(|facet| self.is_single || facet.sign == sign);
            facets
                .map(|facet| {
                    (
                        numbers[facet.depth],
                        numbers[facet.slope].atan().to_degrees().min(self.saw_limit_deg),
                    )
                })
                .take(self.cuts_a_side)
                .collect()
        };
        Recipe {
            front: side(1.0),
            back: side(-1.0),
        }
    }

    pub(super) fn numbers(self, recipe: &Recipe) -> Vec<f64> {
        let facets = self.facets();
        let mut numbers = vec![0.0; facets.iter().map(|facet| facet.slope + 1).max().unwrap_or(0)];
        for (facet, &(depth, saw)) in facets.iter().zip(recipe.front.iter().chain(&recipe.back)) {
            (numbers[facet.depth], numbers[facet.slope]) = (depth, saw.to_radians().tan());
        }
        numbers
    }

    /// The facets of the front, then of the back.
    fn facets(self) -> Vec<FacetTerms> {
        let count = self.cuts_a_side;
        let number = |side: usize, cut: usize| {
            let first = if self.is_single { 0 } else { side * count };
            if count == 1 {
                (0, 1 + first)
            } else {
                (2 * (first + cut), 2 * (first + cut) + 1)
            }
        };
        let sides = [(0, 1.0), (1, -1.0)];
        let facet = |(side, sign): (usize, f64), cut: usize| {
            let (depth, slope) = number(side, cut);
            FacetTerms { depth, slope, sign }
        };
        sides
            .into_iter()
            .flat_map(|side| (0..count).map(move |cut| facet(side, cut)))
            .collect()
    }

    fn is_depth(self, index: usize) -> bool {
        if self.cuts_a_side == 1 {
            index == 0
        } else {
            index.is_multiple_of(2)
        }
    }

    /// The highest that a number may be.
    pub(super) fn highest(self, index: usize) -> f64 {
        if self.is_depth(index) {
            self.deepest_mm
        } else {
            self.saw_limit_deg.to_radians().tan()
        }
    }

    /// How large a number is, to measure steps by.
    pub(super) fn scale(self, index: usize) -> f64 {
        if self.is_depth(index) {
            self.depth_mm
        } else {
            self.depth_mm / self.radius_mm
        }
    }
}

/// Which numbers of a recipe are a facet's scribe depth and slope; and its side, 1 at the front.
#[derive(Debug, Clone, Copy)]
struct FacetTerms {
    depth: usize,
    slope: usize,
    sign: f64,
}
