//! The saw settings that leave the smallest largest gap.

use super::bowl::{Bowl, Chord};
use super::facet::FlatCut;
use super::recipe::{Recipe, true_depth};
use super::search::{closed_in_gap, improve};
use super::seat::{Form, Seat};
use crate::job::End;

/// The pair of flat cuts on one scribed line that leaves the smallest largest gap, no saw angle over
/// `saw_limit_deg`, which is below 90.
pub fn best_recipe(end: &End, angle: f64, saw_limit_deg: f64) -> Recipe {
    best_of_form(end, angle, Form::new(end, angle, saw_limit_deg, false))
}

/// The same with one saw angle for both sides.
pub fn best_single(end: &End, angle: f64, saw_limit_deg: f64) -> Recipe {
    best_of_form(end, angle, Form::new(end, angle, saw_limit_deg, true))
}

/// The best ones of many starts, improved.
fn best_of_form(end: &End, angle: f64, form: Form) -> Recipe {
    let seat = Seat::new(end, angle);
    let starts = starts(end, angle, form);
    let improved = starts.iter().map(|recipe| improve(&seat, form, recipe));
    let gap = |recipe: &Recipe| closed_in_gap(&seat, form, recipe);
    let improved = improved.map(|recipe| (gap(&recipe), recipe));
    let best = improved.min_by(|a, b| a.0.total_cmp(&b.0));
    shallowest(best.map_or_else(|| Recipe::pair(0.0, 0.0, 0.0), |best| best.1), gap)
}

/// How many of the best starts are improved.
const STARTS: usize = 3;
/// Depths that are tried, as shares of the seat's.
const DEPTHS: [f64; 26] = [
    0.0, 0.01, 0.03, 0.06, 0.1, 0.16, 0.25, 0.35, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 1.0, 1.05, 1.1, 1.2, 1.4, 1.7,
    2.2, 2.6, 3.0, 3.5, 4.5,
];
/// Slopes that are tried, as shares of the seat's depth over the tube's radius; below 0 a cut takes the first one away.
const SLOPES: [f64; 33] = [
    -2.0, -1.5, -1.0, -0.7, -0.45, -0.3, -0.2, -0.1, -0.05, 0.0, 0.1, 0.2, 0.3, 0.5, 0.6, 0.7, 0.85, 1.0, 1.15, 1.3,
    1.5, 1.8, 2.2, 2.8, 3.4, 4.0, 5.0, 7.0, 9.0, 12.0, 16.0, 21.0, 28.0,
];

/// A side's cut over the bowl, still to be lifted by the scribe's depth.
struct Tried {
    saw_deg: f64,
    line: Chord,
    /// How far over the bowl it is at most.
    rise: f64,
}

/// The pairs of many steepnesses and depths that leave the smallest gaps.
fn starts(end: &End, angle: f64, form: Form) -> Vec<Recipe> {
    let lean = FlatCut::first(angle).slope;
    let bowl = Bowl::new(end, lean);
    // Of an end that misses its body no recipe has a gap: `facet::gap` says so.
    let depth = true_depth(end, angle).unwrap_or(0.0);
    let steepest = form.saw_limit_deg.to_radians().tan();
    let tried = |side: f64| -> Vec<Tried> {
        let slopes = SLOPES.map(|slope| (side * lean + slope * depth / bowl.radius).clamp(0.0, steepest));
        let mut slopes = slopes.to_vec();
        slopes.dedup();
        let line = |tan: f64| {
            let slope = side * tan - lean;
            let line = Chord {
                height: -side * slope * bowl.radius,
                slope,
            };
            Tried {
                saw_deg: tan.atan().to_degrees().min(form.saw_limit_deg),
                rise: line.height + bowl.rise_of(slope),
                line,
            }
        };
        slopes.into_iter().map(line).collect()
    };
    let (fronts, backs) = (tried(1.0), tried(-1.0));
    let mut found: Vec<(f64, Recipe)> = Vec::new();
    for scribe in DEPTHS.map(|share| share * depth) {
        for front in &fronts {
            for back in backs
                .iter()
                .filter(|back| !form.is_single || back.saw_deg == front.saw_deg)
            {
                let most = front.rise.max(back.rise) + scribe;
                let lines = [front, back].map(|side| Chord {
                    height: side.line.height + scribe,
                    ..side.line
                });
                let first = Chord {
                    height: 0.0,
                    slope: 0.0,
                };
                let gap = most.max(0.0) - bowl.least_over(&[first, lines[0], lines[1]]);
                if found.len() < STARTS || found.last().is_some_and(|last| gap < last.0) {
                    let at = found.partition_point(|known| known.0 <= gap);
                    found.insert(at, (gap, Recipe::pair(scribe, front.saw_deg, back.saw_deg)));
                    found.truncate(STARTS);
                }
            }
        }
    }
    found.into_iter().map(|(_, recipe)| recipe).collect()
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
