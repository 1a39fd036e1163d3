//! Which of the guesses is believed, and which others explain the readings as well.
//!
//! A guess explains the readings if the sum of the squares of what it leaves, each as a multiple of how well it was read, is
//! one that 99 of 100 true guesses would leave (Pearson's chi-squared test). Of those that do the one with the fewest things
//! off is believed, unless one more takes as much off the sum as chance does to one in two thousand.

use super::guess::{Fitting, Guess};
use crate::job::{Thing, Trial};
use crate::solver::Offered;

/// The normal law's deviate that 99 of 100 are below.
const DEVIATE: f64 = 2.326;

/// One thing more must take so much off the sum of squares: the square of 3.5 standard errors.
const WORTH: f64 = 12.0;

/// A guess with as many things off explains the readings as well while its sum of squares is no more than this above the
/// best one's: of two guesses three standard errors apart the wrong one is alone in one of 700 at most.
const AS_WELL: f64 = 9.0;

/// What explains the readings.
pub(super) enum Explained {
    /// The best guess, and the others that explain them as well, the best of them first.
    By(Guess, Vec<Guess>),
    /// Nothing does. The best guess for all that, and where the cut strays.
    Nothing(Guess, Stray),
}

/// A place at which the cut itself isn't where it should be.
#[derive(Debug, Clone, PartialEq)]
pub struct Stray {
    /// Which reading tells of it, by index.
    pub reading: usize,
    /// By how much the gap is wider there than the rest has it, in millimetres; below 0 metal stands out.
    pub by_mm: f64,
    /// Whether all other readings are explained without it.
    pub is_alone: bool,
    /// Other readings without which the rest is explained as well.
    pub or_readings: Vec<usize>,
}

/// Every set of so many things of those that can be off.
fn sets(trial: &Trial, size: usize) -> Vec<Vec<Thing>> {
    let all: Vec<Thing> = Thing::ALL
        .into_iter()
        .filter(|thing| trial.offered.asked(*thing).is_some())
        .collect();
    let chosen = |bits: usize| all.iter().enumerate().filter(move |(index, _)| bits >> index & 1 == 1);
    let of_size = (0..1_usize << all.len()).filter(|bits| bits.count_ones() as usize == size);
    of_size
        .map(|bits| chosen(bits).map(|(_, thing)| *thing).collect())
        .collect()
}

/// What 99 of 100 sums of squares of so many free residuals are below: E. B. Wilson and M. M. Hilferty, "The Distribution of
/// Chi-square", Proceedings of the National Academy of Sciences 17 (1931), 684-688.
fn most_by_chance(free: usize) -> f64 {
    if free == 0 {
        return 0.0;
    }
    let share = 2.0 / (9.0 * free as f64);
    free as f64 * (1.0 - share + DEVIATE * share.sqrt()).powi(3)
}

/// The guess that is believed. None where not even nothing off can be judged.
pub(super) fn explain(trial: &Trial, offered: &Offered) -> Option<Explained> {
    let fitting = Fitting {
        trial,
        offered,
        counting: (0..trial.readings.len()).collect(),
        is_held_off: false,
    };
    let guesses = guesses(&fitting);
    let Some(best) = believed(&fitting, &guesses) else {
        let nearest = guesses
            .into_iter()
            .min_by(|a, b| a.chi_squared.total_cmp(&b.chi_squared))?;
        let (guess, stray) = stray(&fitting, nearest);
        return Some(Explained::Nothing(guess, stray));
    };
    let as_well = |guess: &Guess| {
        let is_like = guess.things.len() == best.things.len() && guess.things != best.things;
        is_like && fitting.explains(guess) && guess.chi_squared <= best.chi_squared + AS_WELL
    };
    let mut others: Vec<Guess> = guesses.iter().filter(|guess| as_well(guess)).cloned().collect();
    others.sort_by(|a, b| a.chi_squared.total_cmp(&b.chi_squared));
    Some(Explained::By(best, others))
}

/// The best guesses with one more thing off than `guess`: it may be off by too little to be told.
pub(super) fn with_one_more(trial: &Trial, offered: &Offered, guess: &Guess) -> Vec<Guess> {
    let fitting = Fitting {
        trial,
        offered,
        counting: (0..trial.readings.len()).collect(),
        is_held_off: false,
    };
    let size = guess.things.len() + 1;
    if fitting.free(size) == 0 {
        return Vec::new();
    }
    let mut more = sets(trial, size);
    more.retain(|things| guess.things.iter().all(|thing| things.contains(thing)));
    more.iter().filter_map(|things| fitting.fit(things)).collect()
}

impl Fitting<'_> {
    fn explains(&self, guess: &Guess) -> bool {
        guess.chi_squared <= most_by_chance(self.free(guess.things.len()))
    }
}

fn price(guess: &Guess) -> f64 {
    guess.chi_squared + WORTH * guess.things.len() as f64
}

/// Guesses with fewer things off first, up to where more of them can't be worth their price.
fn guesses(fitting: &Fitting<'_>) -> Vec<Guess> {
    let mut guesses = Vec::new();
    // One reading at least stays free to speak against a guess.
    let sizes = (0..=Thing::ALL.len()).take_while(|size| fitting.free(*size) > 0);
    for size in sizes {
        // No sum of squares is below 0.
        if believed(fitting, &guesses).is_some_and(|best| price(&best) <= WORTH * size as f64) {
            break;
        }
        guesses.extend(
            sets(fitting.trial, size)
                .iter()
                .filter_map(|things| fitting.fit(things)),
        );
    }
    guesses
}

fn believed(fitting: &Fitting<'_>, guesses: &[Guess]) -> Option<Guess> {
    let explaining = guesses.iter().filter(|guess| fitting.explains(guess));
    explaining.min_by(|a, b| price(a).total_cmp(&price(b))).cloned()
}

/// Where the cut strays that nothing explains: at the one reading without which the rest is explained best, else where the
/// nearest guess is farthest off. The guess is that of the rest.
fn stray(fitting: &Fitting<'_>, nearest: Guess) -> (Guess, Stray) {
    let count = fitting.trial.readings.len();
    let off = |guess: &Guess, index: usize| fitting.trial.readings[index].gap_mm - guess.gaps_mm[index];
    let without = |left_out: usize| {
        let rest = Fitting {
            counting: (0..count).filter(|index| *index != left_out).collect(),
            // Where metal stands out the tube touches there, and nowhere else.
            is_held_off: true,
            ..*fitting
        };
        Some((believed(&rest, &guesses(&rest))?, left_out))
    };
    let mut alone: Vec<(Guess, usize)> = (0..count).filter_map(without).collect();
    alone.sort_by(|a, b| price(&a.0).total_cmp(&price(&b.0)));
    let or_readings = alone
        .iter()
        .skip(1)
        .filter(|other| price(&other.0) <= price(&alone[0].0) + AS_WELL);
    let or_readings = or_readings.map(|other| other.1).collect();
    let is_alone = !alone.is_empty();
    let (guess, reading) = alone.into_iter().next().unwrap_or_else(|| {
        let farthest = (0..count).max_by(|a, b| off(&nearest, *a).abs().total_cmp(&off(&nearest, *b).abs()));
        (nearest, farthest.unwrap_or(0))
    });
    let stray = Stray {
        reading,
        by_mm: off(&guess, reading),
        is_alone,
        or_readings,
    };
    (guess, stray)
}

#[cfg(test)]
mod tests {
    use super::most_by_chance;

    /// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, critical values of chi-squared, probability 0.99.
    #[test]
    fn what_chance_leaves_is_what_the_table_says() {
        for (free, critical) in [
            (1, 6.635),
            (2, 9.210),
            (3, 11.345),
            (7, 18.475),
            (15, 30.578),
            (31, 52.191),
        ] {
            let off = most_by_chance(free) / critical - 1.0;
            assert!(off.abs() < 0.02, "{free}: {off}");
        }
    }
}
