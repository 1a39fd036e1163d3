//! What a search for saw settings needs of a joint, and which recipes it may give.

use std::f64::consts::PI;
use std::iter::once;

use super::extrema::{Slant, about_the_peak, height_of_peak};
use super::facet::FacetedEnd;
use super::line::Lines;
use super::recipe::{Recipe, true_depth};
use crate::job::End;

/// What a search needs of a joint: the seat over half the girth; the joint has no offset, so that the
/// other half is its mirror image.
pub(super) struct Seat<'a> {
    end: &'a End,
    lines: Lines<'a>,
    angle: f64,
    /// From one step before the front to one step past the back.
    rows: Vec<Row>,
}

/// Radii through the wall at which the search looks. The gap that is reported looks everywhere.
const RADII: usize = 5;
/// Steps of the search round half the girth.
const AZIMUTHS: usize = 120;
/// Slopes no steeper than this, in millimetres per radian, are rounding: the turn is the sample itself, as at a crown line.
const LEVEL: f64 = 1e-9;
/// To what height a peak or dip is closed in on, in millimetres.
const PRECISION: f64 = 1e-9;

/// The wall at an azimuth, at several radii.
struct Row {
    /// In radians.
    azimuth: f64,
    places: [Place; RADII],
}

/// A place of the wall: y and the body's t there, and how much they grow per radian of azimuth.
struct Place {
    y: f64,
    t: f64,
    y_turn: f64,
    t_turn: f64,
}

impl Row {
    fn clearance(&self, facets: &FacetedEnd) -> f64 {
        self.places
            .iter()
            .map(|place| facets.t(place.y) - place.t)
            .fold(f64::MAX, f64::min)
    }

    /// The clearance with a sign, and what decides it.
    fn slant(&self, facets: &FacetedEnd, sign: f64) -> Slant<Decider> {
        let clear = self.places.iter().map(|place| {
            let (cut, t) = facets.deciding(place.y);
            (t - place.t, cut, place)
        });
        let first = (f64::MAX, 0, &self.places[0]);
        let (value, cut, place) = clear.fold(first, |low, next| if next.0 < low.0 { next } else { low });
        Slant {
            at: self.azimuth,
            value: sign * value,
            slope: sign * (facets.cuts[cut].slope * place.y_turn - place.t_turn),
            more: Decider {
                cut,
                y: place.y,
                t: facets.cuts[cut].t(place.y),
            },
        }
    }
}

/// Which cut is nearest to the body at an azimuth, and where it is.
#[derive(Clone, Copy)]
struct Decider {
    cut: usize,
    y: f64,
    t: f64,
}

/// A peak or dip of the clearance.
pub(super) struct Turn {
    /// In millimetres.
    pub(super) height: f64,
    /// What decides on both sides of it, and the share of its movement that moves the turn.
    sides: [(Decider, f64); 2],
}

impl Turn {
    /// How much higher it is, to first order, under a recipe that is almost the same.
    ///
    /// Where the curve is smooth it rises by as much as the clearance does at the same azimuth; a corner is
    /// where the curves of both sides meet, each of which is shifted.
    pub(super) fn rise(&self, facets: &FacetedEnd) -> f64 {
        let rises = self
            .sides
            .iter()
            .map(|(side, share)| share * (facets.cuts[side.cut].t(side.y) - side.t));
        rises.sum()
    }
}

impl<'a> Seat<'a> {
    pub(super) fn new(end: &'a End, angle: f64) -> Self {
        let mut seat = Self {
            end,
            lines: Lines::at_the_body(&end.frame, end.landing.as_ref()),
            angle,
            rows: Vec::new(),
        };
        let azimuths = (0..AZIMUTHS + 3).map(|index| PI * (index as f64 - 1.0) / AZIMUTHS as f64);
        seat.rows = azimuths.map(|azimuth| seat.row(azimuth)).collect();
        seat
    }

    /// The end that a recipe makes.
    pub(super) fn end(&self, recipe: &Recipe) -> FacetedEnd {
        recipe.end(self.end.tube.radius(), self.angle)
    }

    /// The peaks (`sign` 1) or dips (-1) of the clearance.
    pub(super) fn turns(&self, facets: &FacetedEnd, sign: f64) -> Vec<Turn> {
        let samples: Vec<f64> = self.rows.iter().map(|row| sign * row.clearance(facets)).collect();
        let turns = (1..=AZIMUTHS + 1).filter(|&at| samples[at] >= samples[at - 1] && samples[at] > samples[at + 1]);
        turns.map(|sample| self.closer(facets, sample, sign)).collect()
    }

    /// The peak or dip nearest to a sample.
    fn closer(&self, facets: &FacetedEnd, sample: usize, sign: f64) -> Turn {
        let slant = |row: &Row| row.slant(facets, sign);
        let places = [sample - 1, sample, sample + 1].map(|sample| slant(&self.rows[sample]));
        let [before, here, after] = places;
        let ends = match here.slope {
            slope if slope > LEVEL => [here, after],
            slope if slope < -LEVEL => [before, here],
            _ => [here, here],
        };
        let sides = about_the_peak(ends, PRECISION, |azimuth| slant(&self.row(azimuth)));
        let height = sign * height_of_peak(&sides);
        let bend = sides[0].slope - sides[1].slope;
        let share = if bend > 0.0 { -sides[1].slope / bend } else { 0.5 }.clamp(0.0, 1.0);
        let [low, high] = sides.map(|side| side.more);
        Turn {
            height,
            sides: [(low, share), (high, 1.0 - share)],
        }
    }

    /// The largest gap at the samples.
    pub(super) fn largest_gap(&self, recipe: &Recipe) -> f64 {
        let facets = self.end(recipe);
        let clear = self.rows.iter().map(|row| row.clearance(&facets));
        let (low, high) = clear.fold((f64::MAX, f64::MIN), |(low, high), clear| {
            (low.min(clear), high.max(clear))
        });
        high - low
    }

    fn row(&self, azimuth: f64) -> Row {
        let tube = &self.end.tube;
        let wall = tube.wall_line(azimuth);
        let rays = self.lines.through(&wall);
        let (sin, cos) = azimuth.sin_cos();
        let place = |index: usize| {
            let radius = tube.bore_radius() + tube.wall_mm * index as f64 / (RADII - 1) as f64;
            let hit = rays.meet(radius);
            Place {
                y: radius * cos,
                t: hit.map_or(f64::NAN, |hit| hit.t),
                y_turn: -radius * sin,
                t_turn: hit.map_or(f64::NAN, |hit| wall.pace(radius) * rays.per_girth(&hit)),
            }
        };
        Row {
            azimuth,
            places: std::array::from_fn(place),
        }
    }
}

/// Which pairs of cuts a search may give, and how they are lists of numbers: the depth of the line that both touch, in
/// millimetres, and the slopes off square of the front's and the back's, or one slope for both.
#[derive(Debug, Clone, Copy)]
pub(super) struct Form {
    /// The front's saw angle serves the back too.
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
    pub(super) fn new(end: &End, angle: f64, saw_limit_deg: f64, is_single: bool) -> Self {
        let depth_mm = true_depth(end, angle).unwrap_or(0.0);
        // Beyond twice the seat's depth and a diameter more there is no tube left to touch.
        let deepest_mm = 2.0 * depth_mm + end.tube.across_mm();
        Self {
            is_single,
            deepest_mm,
            saw_limit_deg,
            depth_mm,
            radius_mm: end.tube.radius(),
        }
    }

    pub(super) fn recipe(self, numbers: &[f64]) -> Recipe {
        let saw = |index: usize| numbers[index].atan().to_degrees().min(self.saw_limit_deg);
        Recipe::pair(numbers[0], saw(1), saw(if self.is_single { 1 } else { 2 }))
    }

    /// `recipe` is a pair.
    pub(super) fn numbers(self, recipe: &Recipe) -> Vec<f64> {
        let slopes = recipe
            .front
            .iter()
            .chain(&recipe.back)
            .map(|cut| cut.1.to_radians().tan());
        let depth = recipe.front.first().map_or(0.0, |cut| cut.0);
        once(depth)
            .chain(slopes.take(if self.is_single { 1 } else { 2 }))
            .collect()
    }

    /// The highest that a number may be.
    pub(super) fn highest(self, index: usize) -> f64 {
        if index == 0 {
            self.deepest_mm
        } else {
            self.saw_limit_deg.to_radians().tan()
        }
    }

    /// How large a number is, to measure steps by.
    pub(super) fn scale(self, index: usize) -> f64 {
        if index == 0 {
            self.depth_mm
        } else {
            self.depth_mm / self.radius_mm
        }
    }
}
