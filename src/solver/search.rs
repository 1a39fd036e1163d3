//! Recipes improved step by step: the largest gap made small.
//!
//! The largest gap is the highest peak of the clearance round the girth less its lowest dip. Near a
//! recipe every peak and dip moves almost linearly with the recipe's numbers, so that the best small
//! step is a linear programme over the peaks and dips. Steps that don't gain are made smaller (a
//! sequential linear programme for a minimax: Madsen and Schjaer-Jacobsen, IEEE Trans. Circuits and
//! Systems 25, 1978).

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

use super::recipe::Recipe;
use super::seat::{Form, Seat, Turn};

/// Steps that are tried at most.
const STEPS: usize = 60;
/// The first step's reach, as a share of each number's scale, and the smallest. Farther steps may leave nothing of a cut,
/// and no small step brings it back.
const FIRST_REACH: f64 = 0.05;
const SMALLEST_REACH: f64 = 1e-6;
/// The least that a step must promise, in millimetres.
const WORTHWHILE: f64 = 1e-9;
/// For difference quotients, as a share of each number's scale.
const NUDGE: f64 = 1e-6;

/// The largest gap of a recipe, its peaks and dips closed in on.
pub(super) fn closed_in_gap(seat: &Seat<'_>, form: Form, recipe: &Recipe) -> f64 {
    Turns::of(seat, form, form.numbers(recipe)).gap
}

/// Improves on `start`; never worse than it.
pub(super) fn improve(seat: &Seat<'_>, form: Form, start: &Recipe) -> Recipe {
    let mut best = Turns::of(seat, form, form.numbers(start));
    let mut reach = FIRST_REACH;
    for _ in 0..STEPS {
        let Some(numbers) = step(seat, form, &best, reach) else {
            break;
        };
        let next = Turns::of(seat, form, numbers);
        if next.gap < best.gap {
            best = next
        } else {
            reach /= 3.0
        }
        if reach < SMALLEST_REACH {
            break;
        }
    }
    form.recipe(&best.numbers)
}

/// The peaks and dips of the clearance round half the girth under a recipe.
struct Turns {
    numbers: Vec<f64>,
    peaks: Vec<Turn>,
    dips: Vec<Turn>,
    /// Highest peak less lowest dip.
    gap: f64,
}

impl Turns {
    fn of(seat: &Seat<'_>, form: Form, numbers: Vec<f64>) -> Self {
        let recipe = form.recipe(&numbers);
        let facets = seat.end(&recipe);
        let (peaks, dips) = (seat.turns(&facets, 1.0), seat.turns(&facets, -1.0));
        let high = peaks.iter().map(|peak| peak.height).fold(f64::MIN, f64::max);
        let low = dips.iter().map(|dip| dip.height).fold(f64::MAX, f64::min);
        Self {
            numbers,
            peaks,
            dips,
            // A place that is higher than the peaks found must not be forgotten.
            gap: (high - low).max(seat.largest_gap(&recipe)),
        }
    }
}

/// The best numbers within `reach` if every peak and dip moved linearly; `None` where nothing is to be gained.
fn step(seat: &Seat<'_>, form: Form, from: &Turns, reach: f64) -> Option<Vec<f64>> {
    let mut programme = Problem::new(OptimizationDirection::Minimize);
    let free = (f64::NEG_INFINITY, f64::INFINITY);
    let (high, low) = (programme.add_var(1.0, free), programme.add_var(-1.0, free));
    let moves: Vec<Variable> = from
        .numbers
        .iter()
        .enumerate()
        .map(|(index, number)| {
            let reach = reach * form.scale(index);
            programme.add_var(
                0.0,
                ((-reach).max(-number), reach.min(form.highest(index) - number).max(0.0)),
            )
        })
        .collect();
    // Each number is nudged to where it may be: past its limit a recipe would not change.
    let nudges: Vec<f64> = (0..moves.len())
        .map(|index| {
            let nudge = NUDGE * form.scale(index);
            let is_at_limit = from.numbers[index] + nudge > form.highest(index);
            if is_at_limit { -nudge } else { nudge }
        })
        .collect();
    let nudged: Vec<_> = (0..moves.len())
        .map(|index| {
            let mut numbers = from.numbers.clone();
            numbers[index] += nudges[index];
            seat.end(&form.recipe(&numbers))
        })
        .collect();
    for (turns, bound, side) in [
        (&from.peaks, high, ComparisonOp::Le),
        (&from.dips, low, ComparisonOp::Ge),
    ] {
        for turn in turns {
            let mut terms: Vec<(Variable, f64)> = (0..moves.len())
                .map(|index| (moves[index], turn.rise(&nudged[index]) / nudges[index]))
                .collect();
            terms.push((bound, -1.0));
            programme.add_constraint(terms, side, -turn.height);
        }
    }
    let solution = programme.solve().ok()?.into_solution().ok()?;
    // A smaller step promises even less.
    if from.gap - solution.objective() < WORTHWHILE {
        return None;
    }
    Some(
        from.numbers
            .iter()
            .zip(&moves)
            .map(|(number, step)| number + solution.var_value(*step))
            .collect(),
    )
}
