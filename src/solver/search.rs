//! Recipes improved step by step: the largest gap made small.
//!
//! The largest gap is the highest peak of the clearance round the girth less its lowest dip. Near a
//! recipe every peak and dip moves almost linearly with the recipe's numbers, so that the best small
//! step is a linear programme over the peaks and dips. Steps that don't gain are made smaller (a
//! sequential linear programme for a minimax: Madsen and Schjaer-Jacobsen, IEEE Trans. Circuits and
//! Systems 25, 1978).

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

use super::recipe::Recipe;
use super::seat::{Form, Seat};

/// Steps that are tried at most.
const STEPS: usize = 60;
/// The first step's reach, as a share of each number's scale, and the smallest.
const FIRST_REACH: f64 = 0.2;
const SMALLEST_REACH: f64 = 1e-6;
/// For difference quotients, as a share of each number's scale.
const NUDGE: f64 = 1e-6;

/// Improves on `start`; never worse than it.
pub(super) fn improve(seat: &Seat<'_>, form: Form, start: &Recipe) -> Recipe {
    let mut best = Turns::of(seat, form, form.numbers(start));
    let mut reach = FIRST_REACH;
    for _ in 0..STEPS {
        let next = step(seat, form, &best, reach).map(|numbers| Turns::of(seat, form, numbers));
        match next.filter(|next| next.gap < best.gap) {
            Some(next) => best = next,
            None => reach /= 3.0,
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
    /// Each with its azimuth in radians and its height in millimetres.
    peaks: Vec<(f64, f64)>,
    dips: Vec<(f64, f64)>,
    /// Highest peak less lowest dip.
    gap: f64,
}

impl Turns {
    fn of(seat: &Seat<'_>, form: Form, numbers: Vec<f64>) -> Self {
        let facets = seat.end(&form.recipe(&numbers));
        let looks = seat.looks(&facets);
        let at = |index: usize| looks[index].1;
        let last = looks.len() - 1;
        // The half girth is mirrored at both ends.
        let around = |index: usize| {
            (
                at(if index == 0 { 1 } else { index - 1 }),
                at(if index == last { last - 1 } else { index + 1 }),
            )
        };
        let turns = |sign: f64| -> Vec<(f64, f64)> {
            (0..=last)
                .filter(|&index| {
                    let (before, after) = around(index);
                    sign * at(index) >= sign * before && sign * at(index) > sign * after
                })
                .map(|index| seat.closer(&facets, looks[index].0, sign))
                .collect()
        };
        let (peaks, dips) = (turns(1.0), turns(-1.0));
        let high = peaks.iter().map(|peak| peak.1).fold(f64::MIN, f64::max);
        let low = dips.iter().map(|dip| dip.1).fold(f64::MAX, f64::min);
        Self {
            numbers,
            peaks,
            dips,
            gap: high - low,
        }
    }
}

/// The best numbers within `reach` if every peak and dip moved linearly.
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
    let nudged: Vec<_> = (0..moves.len())
        .map(|index| {
            let mut numbers = from.numbers.clone();
            numbers[index] += NUDGE * form.scale(index);
            seat.end(&form.recipe(&numbers))
        })
        .collect();
    for (turns, sign, bound, side) in [
        (&from.peaks, 1.0, high, ComparisonOp::Le),
        (&from.dips, -1.0, low, ComparisonOp::Ge),
    ] {
        for &(azimuth, height) in turns {
            let mut terms: Vec<(Variable, f64)> = (0..moves.len())
                .map(|index| {
                    let moved = seat.closer(&nudged[index], azimuth, sign).1;
                    (moves[index], (moved - height) / (NUDGE * form.scale(index)))
                })
                .collect();
            terms.push((bound, -1.0));
            programme.add_constraint(terms, side, -height);
        }
    }
    let solution = programme.solve().ok()?.into_solution().ok()?;
    Some(
        from.numbers
            .iter()
            .zip(&moves)
            .map(|(number, step)| number + solution.var_value(*step))
            .collect(),
    )
}
