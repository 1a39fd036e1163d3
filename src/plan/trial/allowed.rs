//! What the readings allow beside the guess that is believed, and in which range that leaves whatever follows from it.

use super::guess::{Guess, SIGMAS};
use crate::job::Misfit;

/// So many standard errors are likely at most (95 of 100 by the normal law), where something else is in doubt as well.
const LIKELY: f64 = 2.0;

/// Misfits that the readings allow.
pub(super) struct Allowed {
    guess: Misfit,
    /// To both sides of the guess, along directions in which its sizes err independently, as far as they are told within.
    about: Vec<[Misfit; 2]>,
    /// Those of other guesses.
    others: Vec<Misfit>,
}

impl Allowed {
    /// About a guess, and those of `others`.
    pub(super) fn new<'a>(guess: &Guess, others: impl Iterator<Item = &'a Guess>) -> Self {
        let off = |way: &Vec<f64>, by: f64| {
            let sizes = guess.things.iter().zip(way);
            sizes.fold(guess.misfit, |misfit, (thing, size)| {
                misfit.with(*thing, misfit.of(*thing) + by * size)
            })
        };
        let ways = independent(&guess.spread);
        Self {
            guess: guess.misfit,
            about: ways.iter().map(|way| [off(way, SIGMAS), off(way, -SIGMAS)]).collect(),
            others: others.map(|guess| guess.misfit).collect(),
        }
    }

    /// By how much each of these figures may differ from what the guess makes of it; infinite where one of them may have no
    /// end. None where the guess makes nothing of them.
    pub(super) fn ranges<const N: usize>(&self, figures: impl Fn(&Misfit) -> Option<[f64; N]>) -> Option<[f64; N]> {
        let by_guess = figures(&self.guess)?;
        let apart = |misfit: &Misfit| {
            let there = figures(misfit).unwrap_or([f64::INFINITY; N]);
            std::array::from_fn::<f64, N, _>(|index| match (there[index], by_guess[index]) {
                (there, by_guess) if there == by_guess => 0.0,
                (there, by_guess) => (there - by_guess).abs(),
            })
        };
        let about: Vec<[[f64; N]; 2]> = self.about.iter().map(|pair| pair.each_ref().map(apart)).collect();
        let others: Vec<[f64; N]> = self.others.iter().map(apart).collect();
        Some(std::array::from_fn(|index| {
            let squares = about.iter().map(|[one, other]| one[index].max(other[index]).powi(2));
            let by_sizes = squares.sum::<f64>().sqrt();
            let by_others = others.iter().map(|apart| apart[index]).fold(0.0, f64::max);
            by_sizes.max(LIKELY / SIGMAS * by_sizes + by_others)
        }))
    }
}

/// Cholesky's root of a covariance: each column is a direction, as long as its standard error. What rounding makes of nothing is
/// nothing.
pub(super) fn independent(spread: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let count = spread.len();
    let mut root = vec![vec![0.0; count]; count];
    for row in 0..count {
        for column in 0..=row {
            let known: f64 = (0..column).map(|index| root[row][index] * root[column][index]).sum();
            let left = spread[row][column] - known;
            root[row][column] = if row == column {
                left.max(0.0).sqrt()
            } else if root[column][column] > 0.0 {
                left / root[column][column]
            } else {
                0.0
            };
        }
    }
    (0..count)
        .map(|column| root.iter().map(|row| row[column]).collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Thing;

    fn guess(spread: Vec<Vec<f64>>) -> Guess {
        let things = vec![Thing::Angle, Thing::Aside];
        Guess {
            misfit: Misfit::default().with(Thing::Angle, 1.0).with(Thing::Aside, -2.0),
            within: Vec::new(),
            gaps_mm: Vec::new(),
            chi_squared: 0.0,
            things,
            spread,
        }
    }

    /// The variance of a x + b y is a^2 vx + 2 a b cxy + b^2 vy.
    #[test]
    fn a_straight_figure_is_told_within_three_of_its_standard_errors() {
        let guess = guess(vec![vec![0.04, -0.03], vec![-0.03, 0.09]]);
        let figure = |misfit: &Misfit| Some([2.0 * misfit.of(Thing::Angle) + 3.0 * misfit.of(Thing::Aside)]);
        let by_hand = 3.0 * f64::sqrt(4.0 * 0.04 - 2.0 * 6.0 * 0.03 + 9.0 * 0.09);
        let alone = Allowed::new(&guess, std::iter::empty())
            .ranges(figure)
            .expect("a range");
        assert!((alone[0] - by_hand).abs() < 1e-12, "{alone:?} for {by_hand}");
        // Another guess 10 off is counted whole.
        let other = Guess {
            misfit: guess.misfit.with(Thing::Angle, 6.0),
            ..guess.clone()
        };
        let both = Allowed::new(&guess, std::iter::once(&other))
            .ranges(figure)
            .expect("a range");
        assert!((both[0] - (by_hand / 1.5 + 10.0)).abs() < 1e-12, "{both:?}");
    }

    #[test]
    fn what_may_miss_has_no_end() {
        let guess = guess(vec![vec![0.04, 0.0], vec![0.0, 0.0]]);
        let misses = |misfit: &Misfit| {
            Some([
                if misfit.of(Thing::Angle) > 1.3 {
                    f64::INFINITY
                } else {
                    1.0
                },
                2.0,
            ])
        };
        let ranges = Allowed::new(&guess, std::iter::empty()).ranges(misses);
        assert_eq!(ranges, Some([f64::INFINITY, 0.0]));
    }
}
