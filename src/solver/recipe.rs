//! Saw settings: which scribe depth and angles leave the smallest largest gap.

use std::f64::consts::{FRAC_PI_2, PI};

use super::chords::{Chord, Relief, level};
use super::extreme::{close_in, highest};
use super::facet::{FacetedEnd, FlatCut, Side, seat};
use super::line::meet;
use super::search::improve;
use crate::job::End;

/// Cuts of one side: each with its scribe depth in millimetres and its saw angle in degrees off square.
type SideCuts = Vec<(f64, f64)>;

/// How to cut a faceted end. Angles are off square, as read on a chop saw.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// Cuts of the front, at least one: scribe depth in millimetres, saw angle in degrees.
    pub front: SideCuts,
    /// Cuts of the back.
    pub back: SideCuts,
}

impl Recipe {
    /// One cut a side, both touching one scribed line.
    pub fn pair(scribe_mm: f64, saw_front_deg: f64, saw_back_deg: f64) -> Self {
        Self {
            front: vec![(scribe_mm, saw_front_deg)],
            back: vec![(scribe_mm, saw_back_deg)],
        }
    }

    /// The end that it makes of a tube of `radius` mm at `angle` radians between the axes.
    pub fn end(&self, radius: f64, angle: f64) -> FacetedEnd {
        let first = FlatCut::first(angle);
        let facets = |side: Side, cuts: &SideCuts| -> Vec<FlatCut> {
            cuts.iter()
                .map(|&(scribe, saw)| FlatCut::facet(side, first, radius, scribe, saw.to_radians()))
                .collect()
        };
        let mut cuts = vec![first];
        cuts.extend(facets(Side::Front, &self.front));
        cuts.extend(facets(Side::Back, &self.back));
        FacetedEnd { cuts }
    }
}

/// The scribe depth in millimetres that the true seat asks for: how far it stands back at the front
/// behind where it stands out farthest, measured from a cut parallel to the header's axis.
pub fn true_depth(end: &End, angle: f64) -> f64 {
    let slope = FlatCut::first(angle).slope * end.tube.radius();
    let relief = |azimuth: f64| seat(end, azimuth) - slope * azimuth.cos();
    relief(0.0) + highest(|azimuth| -relief(azimuth)).0
}

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
    fn new(end: &'a End, angle: f64) -> Self {
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
    fn largest_gap(&self, recipe: &Recipe) -> f64 {
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
    let place = |index: usize| {
        let radius = end.tube.bore_radius() + end.tube.wall_mm * index as f64 / (RADII - 1) as f64;
        let t = meet(&end.frame, end.landing.as_ref(), azimuth, radius).map_or(f64::NAN, |hit| hit.t);
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
    cuts_a_side: usize,
    /// The front's cuts serve the back too.
    is_single: bool,
    deepest_mm: f64,
    saw_limit_deg: f64,
    /// Of the true seat.
    depth_mm: f64,
    /// Of the tube.
    radius_mm: f64,
}

impl Form {
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

/// The pair of flat cuts on one scribed line that leaves the smallest largest gap, no saw angle over
/// `saw_limit_deg`, which is below 90.
pub fn best_recipe(end: &End, angle: f64, saw_limit_deg: f64) -> Recipe {
    best_of_form(end, angle, form(end, angle, saw_limit_deg, 1, false))
}

/// The same with one saw angle for both sides.
pub fn best_single(end: &End, angle: f64, saw_limit_deg: f64) -> Recipe {
    best_of_form(end, angle, form(end, angle, saw_limit_deg, 1, true))
}

/// The best recipe found with `cuts_a_side` cuts a side, each touching a line of its own. Found from the
/// chords of the seat; not proved to be the best.
pub fn more_cuts(end: &End, angle: f64, saw_limit_deg: f64, cuts_a_side: usize) -> Recipe {
    let is_square = (angle - FRAC_PI_2).abs() < 1e-9;
    best_of_form(end, angle, form(end, angle, saw_limit_deg, cuts_a_side, is_square))
}

fn form(end: &End, angle: f64, saw_limit_deg: f64, cuts_a_side: usize, is_single: bool) -> Form {
    let depth_mm = true_depth(end, angle);
    // Beyond twice the seat's depth and a diameter more there is no tube left to touch.
    let deepest_mm = 2.0 * depth_mm + end.tube.od_mm;
    Form {
        cuts_a_side,
        is_single,
        deepest_mm,
        saw_limit_deg,
        depth_mm,
        radius_mm: end.tube.radius(),
    }
}

/// The better ones of many starts, improved.
fn best_of_form(end: &End, angle: f64, form: Form) -> Recipe {
    let seat = Seat::new(end, angle);
    let better_first = |recipes: Vec<Recipe>| -> Vec<Recipe> {
        let mut judged: Vec<(f64, Recipe)> = recipes
            .into_iter()
            .map(|recipe| (seat.largest_gap(&recipe), recipe))
            .collect();
        judged.sort_by(|a, b| a.0.total_cmp(&b.0));
        judged.into_iter().map(|(_, recipe)| recipe).collect()
    };
    let starts = better_first(starts(end, angle, form)).into_iter().take(3);
    let improved = better_first(starts.map(|recipe| improve(&seat, form, &recipe)).collect());
    let best = improved.into_iter().next().unwrap_or_else(|| form.recipe(&[0.0; 12]));
    if form.cuts_a_side == 1 {
        shallowest(&seat, best)
    } else {
        flattest_first(best)
    }
}

/// Cuts in the order in which they lie, from the sides to the crown lines.
fn flattest_first(mut recipe: Recipe) -> Recipe {
    for side in [&mut recipe.front, &mut recipe.back] {
        side.sort_by(|a, b| a.1.total_cmp(&b.1));
    }
    recipe
}

/// The same pair scribed no deeper than it must be: where the facets leave nothing of the first cut, a
/// deeper line only shortens the tube.
fn shallowest(seat: &Seat<'_>, best: Recipe) -> Recipe {
    let (deepest, saws) = (best.front[0].0, (best.front[0].1, best.back[0].1));
    let at = |scribe: f64| Recipe::pair(scribe, saws.0, saws.1);
    let gap = seat.largest_gap(&best);
    let (mut low, mut high) = (0.0, deepest);
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if seat.largest_gap(&at(middle)) <= gap + 1e-9 {
            high = middle
        } else {
            low = middle
        }
    }
    at(high)
}

/// Recipes near the best: the chords of the seat, and for a single scribed line, which they needn't
/// have, lines of several steepnesses and depths.
fn starts(end: &End, angle: f64, form: Form) -> Vec<Recipe> {
    let chords = chords_of_seat(end, angle, form);
    let mut recipes: Vec<Recipe> = [0.9, 1.0, 1.1]
        .iter()
        .map(|&share| deeper(&chords, share, form.saw_limit_deg))
        .collect();
    if form.cuts_a_side > 1 {
        return recipes;
    }
    let depth = true_depth(end, angle);
    let lean = FlatCut::first(angle).slope;
    let chord = depth / end.tube.radius();
    let steepness = [0.3, 0.5, 0.7, 0.85, 1.0, 1.15, 1.3, 1.5, 1.8, 2.2, 2.8];
    let saw = |slope: f64| slope.atan().to_degrees().clamp(0.0, form.saw_limit_deg);
    for scribe in [0.25, 0.5, 0.7, 0.85, 0.95, 1.0, 1.05, 1.15, 1.3, 1.6].map(|share| share * depth) {
        for front in steepness {
            for back in steepness.into_iter().filter(|back| !form.is_single || *back == front) {
                recipes.push(Recipe::pair(
                    scribe,
                    saw(lean + front * chord),
                    saw(back * chord - lean),
                ));
            }
        }
    }
    recipes
}

/// The same recipe, its lines scribed deeper and its saws set steeper by a share.
fn deeper(recipe: &Recipe, share: f64, saw_limit_deg: f64) -> Recipe {
    let side = |cuts: &SideCuts| {
        cuts.iter()
            .map(|&(scribe, saw)| (scribe * share, (saw * share).min(saw_limit_deg)))
            .collect()
    };
    Recipe {
        front: side(&recipe.front),
        back: side(&recipe.back),
    }
}

/// Places on each side of the seat at which its chords may begin and end.
const CHORD_PLACES: usize = 600;

/// The chords of the seat of a wall without thickness through what the real wall asks for.
fn chords_of_seat(end: &End, angle: f64, form: Form) -> Recipe {
    let (radius, lean) = (end.tube.radius(), FlatCut::first(angle).slope);
    let side = |sign: f64| -> Relief {
        let step = radius / CHORD_PLACES as f64;
        let relief = |index: usize| {
            let y = sign * step * index as f64;
            seat(end, (y / radius).clamp(-1.0, 1.0).acos()) - lean * y
        };
        let lowest = relief(0);
        Relief {
            step,
            heights: (0..=CHORD_PLACES)
                .map(|index| (relief(index) - lowest).max(0.0))
                .collect(),
        }
    };
    let (gap, [front, back]) = level([&side(1.0), &side(-1.0)], form.cuts_a_side);
    let cuts = |chords: Vec<Chord>, lean: f64| -> SideCuts {
        let mut cuts: SideCuts = chords
            .iter()
            .map(|chord| {
                (
                    (chord.at_end - gap).max(0.0),
                    (chord.slope + lean).atan().to_degrees().clamp(0.0, form.saw_limit_deg),
                )
            })
            .collect();
        cuts.resize(form.cuts_a_side, cuts.last().copied().unwrap_or((0.0, 0.0)));
        cuts
    };
    Recipe {
        front: cuts(front, lean),
        back: cuts(back, -lean),
    }
}
