//! The saw settings that leave the smallest largest gap.

use std::f64::consts::FRAC_PI_2;

use super::chords::{Chord, Relief, level};
use super::facet::{FlatCut, seat};
use super::recipe::{Recipe, SideCuts, true_depth};
use super::search::{closed_in_gap, improve};
use super::seat::{Form, Seat};
use crate::job::End;

/// The pair of flat cuts on one scribed line that leaves the smallest largest gap, no saw angle over
/// `saw_limit_deg`, which is below 90.
pub fn best_recipe(end: &End, angle: f64, saw_limit_deg: f64) -> Recipe {
    best_of_form(end, angle, Form::new(end, angle, saw_limit_deg, 1, false))
}

/// The same with one saw angle for both sides.
pub fn best_single(end: &End, angle: f64, saw_limit_deg: f64) -> Recipe {
    best_of_form(end, angle, Form::new(end, angle, saw_limit_deg, 1, true))
}

/// The best recipe found with `cuts_a_side` cuts a side, each touching a line of its own. Found from the
/// chords of the seat; not proved to be the best.
pub fn more_cuts(end: &End, angle: f64, saw_limit_deg: f64, cuts_a_side: usize) -> Recipe {
    let is_square = (angle - FRAC_PI_2).abs() < 1e-9;
    best_of_form(end, angle, Form::new(end, angle, saw_limit_deg, cuts_a_side, is_square))
}

/// The better ones of many starts, improved.
fn best_of_form(end: &End, angle: f64, form: Form) -> Recipe {
    let seat = Seat::new(end, angle);
    let starts = better_first(starts(end, angle, form), |recipe| seat.largest_gap(recipe));
    let improved = starts.iter().take(3).map(|recipe| improve(&seat, form, recipe));
    let gap = |recipe: &Recipe| closed_in_gap(&seat, form, recipe);
    let improved = better_first(improved.collect(), gap);
    let best = improved.into_iter().next().unwrap_or_else(|| form.recipe(&[0.0; 12]));
    if form.cuts_a_side == 1 {
        shallowest(best, gap)
    } else {
        flattest_first(best)
    }
}

/// The recipes, those with the smaller gaps first.
fn better_first(recipes: Vec<Recipe>, gap: impl Fn(&Recipe) -> f64) -> Vec<Recipe> {
    let mut judged: Vec<(f64, Recipe)> = recipes.into_iter().map(|recipe| (gap(&recipe), recipe)).collect();
    judged.sort_by(|a, b| a.0.total_cmp(&b.0));
    judged.into_iter().map(|(_, recipe)| recipe).collect()
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
fn shallowest(best: Recipe, gap: impl Fn(&Recipe) -> f64) -> Recipe {
    let (deepest, saws) = (best.front[0].0, (best.front[0].1, best.back[0].1));
    let at = |scribe: f64| Recipe::pair(scribe, saws.0, saws.1);
    let least = gap(&best);
    let (mut low, mut high) = (0.0, deepest);
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        if gap(&at(middle)) <= least + 1e-9 {
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
