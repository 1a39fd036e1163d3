//! Least squares with few unknowns: Levenberg's method with Marquardt's scaling, and how well the unknowns are known.
//!
//! D. W. Marquardt, "An Algorithm for Least-Squares Estimation of Nonlinear Parameters", SIAM Journal 11 (1963), 431-441.

use std::ops::RangeInclusive;

/// Steps after which a fit is as good as it gets.
const MOST_STEPS: usize = 30;

/// A fit ends when a step wins no more than this share of the sum, plus this much of it.
const LITTLE: f64 = 1e-6;

/// An unknown: within what it may be, and by how much it is changed to see what that does.
#[derive(Debug, Clone)]
pub(super) struct Unknown {
    pub(super) limits: RangeInclusive<f64>,
    pub(super) nudge: f64,
}

/// The unknowns that make the sum of the squares least, near where the search began.
#[derive(Debug, Clone)]
pub(super) struct Least {
    pub(super) at: Vec<f64>,
    pub(super) sum: f64,
}

/// Makes the sum of the squares of `residuals` least, from `start` on. None where they aren't known there.
pub(super) fn least_squares(
    residuals: &impl Fn(&[f64]) -> Option<Vec<f64>>,
    unknowns: &[Unknown],
    start: &[f64],
) -> Option<Least> {
    let mut here = clamped(start, unknowns);
    let mut off = residuals(&here)?;
    let mut sum = squared(&off);
    let mut damping = 1e-3;
    for _ in 0..MOST_STEPS {
        let slopes = slopes(residuals, unknowns, &here, &off);
        let (normal, towards) = normal_equations(&slopes, &off);
        let mut is_done = true;
        while damping < 1e8 {
            let damped = normal.iter().enumerate().map(|(row, cells)| {
                let mut cells = cells.clone();
                cells[row] += damping * cells[row] + 1e-12;
                cells
            });
            let step = solved(damped.collect(), towards.clone());
            let next = step.map(|step| clamped(&added(&here, &step), unknowns));
            let tried = next.and_then(|next| Some((residuals(&next)?, next)));
            match tried.map(|(off, next)| (squared(&off), off, next)) {
                Some((less, next_off, next)) if less < sum => {
                    is_done = sum - less < LITTLE * (1.0 + sum);
                    (sum, off, here) = (less, next_off, next);
                    damping *= 0.2;
                    break;
                }
                _ => damping *= 5.0,
            }
        }
        if is_done {
            break;
        }
    }
    Some(Least { at: here, sum })
}

/// The covariance of the unknowns about a fit whose residuals have a standard error of 1. None where one of them changes
/// nothing, or the same as others.
pub(super) fn covariance(
    residuals: &impl Fn(&[f64]) -> Option<Vec<f64>>,
    unknowns: &[Unknown],
    at: &[f64],
) -> Option<Vec<Vec<f64>>> {
    let slopes: Vec<Vec<f64>> = (0..unknowns.len())
        .map(|index| {
            let nudged = |by: f64| {
                let mut there = at.to_vec();
                there[index] += by;
                residuals(&there)
            };
            let nudge = unknowns[index].nudge;
            let [low, high] = [nudged(-nudge)?, nudged(nudge)?];
            Some(
                high.iter()
                    .zip(&low)
                    .map(|(high, low)| (high - low) / (2.0 * nudge))
                    .collect(),
            )
        })
        .collect::<Option<_>>()?;
    let (normal, _) = normal_equations(&slopes, &vec![0.0; slopes.first().map_or(0, Vec::len)]);
    let count = unknowns.len();
    let column = |index: usize| {
        let mut unit = vec![0.0; count];
        unit[index] = 1.0;
        solved(normal.clone(), unit)
    };
    // Symmetric, so that columns are rows.
    (0..count).map(column).collect()
}

fn clamped(at: &[f64], unknowns: &[Unknown]) -> Vec<f64> {
    let pairs = at.iter().zip(unknowns);
    pairs
        .map(|(value, unknown)| value.clamp(*unknown.limits.start(), *unknown.limits.end()))
        .collect()
}

fn added(at: &[f64], step: &[f64]) -> Vec<f64> {
    at.iter().zip(step).map(|(value, step)| value + step).collect()
}

fn squared(values: &[f64]) -> f64 {
    values.iter().map(|value| value * value).sum()
}

/// By how much each residual changes with each unknown; nothing where that isn't known.
fn slopes(
    residuals: &impl Fn(&[f64]) -> Option<Vec<f64>>,
    unknowns: &[Unknown],
    at: &[f64],
    off: &[f64],
) -> Vec<Vec<f64>> {
    let of_one = |(index, unknown): (usize, &Unknown)| {
        // Away from the end of what it may be.
        let by = if at[index] + unknown.nudge > *unknown.limits.end() {
            -unknown.nudge
        } else {
            unknown.nudge
        };
        let mut there = at.to_vec();
        there[index] += by;
        let nudged = residuals(&there).unwrap_or_else(|| off.to_vec());
        nudged
            .iter()
            .zip(off)
            .map(|(nudged, off)| (nudged - off) / by)
            .collect()
    };
    unknowns.iter().enumerate().map(of_one).collect()
}

/// The slopes' products with each other, and with the residuals, so that their solution is the step to the least sum.
fn normal_equations(slopes: &[Vec<f64>], off: &[f64]) -> (Vec<Vec<f64>>, Vec<f64>) {
    let product = |one: &[f64], other: &[f64]| one.iter().zip(other).map(|(one, other)| one * other).sum::<f64>();
    let normal = slopes
        .iter()
        .map(|row| slopes.iter().map(|column| product(row, column)).collect());
    (normal.collect(), slopes.iter().map(|row| -product(row, off)).collect())
}

/// Gauss's elimination with the largest pivot of each column. None where the equations don't tell the unknowns.
pub(super) fn solved(mut rows: Vec<Vec<f64>>, mut right: Vec<f64>) -> Option<Vec<f64>> {
    let count = right.len();
    let scale = rows.iter().flatten().fold(0.0_f64, |most, cell| most.max(cell.abs()));
    for column in 0..count {
        let pivot = (column..count).max_by(|a, b| rows[*a][column].abs().total_cmp(&rows[*b][column].abs()))?;
        rows.swap(column, pivot);
        right.swap(column, pivot);
        if rows[column][column].abs() <= 1e-13 * scale {
            return None;
        }
        let (above, below) = rows.split_at_mut(column + 1);
        let pivot_row = &above[column];
        for (offset, row) in below.iter_mut().enumerate() {
            let share = row[column] / pivot_row[column];
            let pairs = row.iter_mut().zip(pivot_row).skip(column);
            pairs.for_each(|(cell, pivot)| *cell -= share * pivot);
            right[column + 1 + offset] -= share * right[column];
        }
    }
    for row in (0..count).rev() {
        let known: f64 = (row + 1..count).map(|column| rows[row][column] * right[column]).sum();
        right[row] = (right[row] - known) / rows[row][row];
    }
    Some(right)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unknowns(count: usize) -> Vec<Unknown> {
        let unknown = Unknown {
            limits: -10.0..=10.0,
            nudge: 1e-4,
        };
        vec![unknown; count]
    }

    /// A straight line through four points, by the normal equations by hand: n = 4, sums x = 6, xx = 14, y = 10, xy = 23 give
    /// slope (4 * 23 - 6 * 10) / (4 * 14 - 36) = 1.6 and height (10 - 1.6 * 6) / 4 = 0.1; the slope's variance is 4 / 20.
    #[test]
    fn a_straight_line_is_the_one_worked_out_by_hand() {
        let points = [(0.0, 0.0), (1.0, 2.0), (2.0, 3.0), (3.0, 5.0)];
        let residuals = |line: &[f64]| {
            Some(
                points
                    .iter()
                    .map(|(x, y)| line[0] + line[1] * x - y)
                    .collect::<Vec<f64>>(),
            )
        };
        let least = least_squares(&residuals, &unknowns(2), &[-3.0, 7.0]).expect("a line");
        assert!(
            (least.at[0] - 0.1).abs() < 1e-3 && (least.at[1] - 1.6).abs() < 1e-3,
            "{least:?}"
        );
        let spread = covariance(&residuals, &unknowns(2), &least.at).expect("told");
        assert!((spread[1][1] - 0.2).abs() < 1e-9, "{spread:?}");
    }

    #[test]
    fn what_changes_nothing_is_not_told() {
        let residuals = |at: &[f64]| Some(vec![at[0] - 1.0, at[0] + 1.0]);
        assert_eq!(covariance(&residuals, &unknowns(2), &[0.0, 0.0]), None);
    }
}
