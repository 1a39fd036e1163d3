//! What is off: each set of things that may be, fitted to the gaps that were read.

use super::least_squares::{Unknown, covariance, least_squares, solved};
use crate::job::{Misfit, Thing, Trial};
use crate::solver::Offered;

/// So many standard errors to either side a size is told within: of errors as the normal law has them 997 of 1000 lie in it.
pub(super) const SIGMAS: f64 = 3.0;

/// By how much a size is changed to see what that does, in its own unit.
const NUDGE: f64 = 0.02;

/// Things off, by how much, and how well that explains the readings.
#[derive(Debug, Clone)]
pub struct Guess {
    /// In the order of [`Thing::ALL`]; none where nothing is off.
    pub things: Vec<Thing>,
    /// By how much.
    pub misfit: Misfit,
    /// For each of the things: its size is told no closer than this, in its own unit.
    pub within: Vec<f64>,
    /// The gap at each reading by this guess, in millimetres.
    pub gaps_mm: Vec<f64>,
    /// The sum of the squares of what is left of the readings, each as a multiple of how well it was read.
    pub chi_squared: f64,
    /// Covariance of the things' sizes.
    pub(super) spread: Vec<Vec<f64>>,
}

/// The readings, and the end that they are of.
pub(super) struct Fitting<'a> {
    pub(super) trial: &'a Trial,
    pub(super) offered: &'a Offered,
    /// The readings that count, by index.
    pub(super) counting: Vec<usize>,
    /// Whether the end may be held off by something that no reading which counts tells of.
    pub(super) is_held_off: bool,
}

impl Fitting<'_> {
    /// How many readings are left to speak against a guess with so many things off.
    pub(super) fn free(&self, things: usize) -> usize {
        self.counting
            .len()
            .saturating_sub(things + usize::from(self.is_held_off))
    }

    /// How far the end is held off by what those readings tell that count, in millimetres.
    fn held_off(&self, gaps: &[f64]) -> f64 {
        if !self.is_held_off {
            return 0.0;
        }
        let off = self
            .counting
            .iter()
            .map(|&index| self.trial.readings[index].gap_mm - gaps[index]);
        off.sum::<f64>() / self.counting.len() as f64
    }

    fn misfit(things: &[Thing], sizes: &[f64]) -> Misfit {
        let pairs = things.iter().zip(sizes);
        pairs.fold(Misfit::default(), |misfit, (thing, size)| misfit.with(*thing, *size))
    }

    fn gaps(&self, things: &[Thing], sizes: &[f64]) -> Option<Vec<f64>> {
        let met = self.trial.offered.met(&Self::misfit(things, sizes))?;
        self.offered.gaps(&met)
    }

    /// What is left of the readings, as multiples of how well they were read.
    fn residuals(&self, things: &[Thing], sizes: &[f64]) -> Option<Vec<f64>> {
        let gaps = self.gaps(things, sizes)?;
        let held_off = self.held_off(&gaps);
        Some(
            self.counting
                .iter()
                .map(|&index| self.residual(index, gaps[index] + held_off))
                .collect(),
        )
    }

    fn residual(&self, index: usize, gap: f64) -> f64 {
        (gap - self.trial.readings[index].gap_mm) / self.trial.read_within_mm
    }

    fn unknowns(&self, things: &[Thing]) -> Vec<Unknown> {
        let unknown = |thing: &Thing| Unknown {
            limits: self.trial.offered.limits(*thing),
            nudge: NUDGE,
        };
        things.iter().map(unknown).collect()
    }

    /// The best guess with these things off. None where none of them can be judged.
    pub(super) fn fit(&self, things: &[Thing]) -> Option<Guess> {
        let unknowns = self.unknowns(things);
        let residuals = |sizes: &[f64]| self.residuals(things, sizes);
        let fits = self
            .starts(things)
            .into_iter()
            .filter_map(|start| least_squares(&residuals, &unknowns, &start));
        let best = fits.min_by(|a, b| a.sum.total_cmp(&b.sum))?;
        let spread = if things.is_empty() {
            Vec::new()
        } else {
            covariance(&residuals, &unknowns, &best.at)?
        };
        let mut gaps_mm = self.gaps(things, &best.at)?;
        let held_off = self.held_off(&gaps_mm);
        gaps_mm.iter_mut().for_each(|gap| *gap += held_off);
        Some(Guess {
            things: things.to_vec(),
            misfit: Self::misfit(things, &best.at),
            within: (0..things.len())
                .map(|index| SIGMAS * spread[index][index].max(0.0).sqrt())
                .collect(),
            gaps_mm,
            chi_squared: best.sum,
            spread,
        })
    }

    /// Where the search begins: at the sizes that a small misfit would have if it weren't known how far in the tube is, at
    /// their opposites, and at every pair of signs. Where nothing is off the first touch jumps from one side to the other.
    fn starts(&self, things: &[Thing]) -> Vec<Vec<f64>> {
        if things.is_empty() {
            return vec![Vec::new()];
        }
        let Some(first) = self.small_misfit(things) else {
            return vec![vec![0.1; things.len()]];
        };
        let flipped = |signs: usize| {
            let sizes = first.iter().enumerate();
            sizes
                .map(|(index, size)| if signs >> index & 1 == 1 { -size } else { *size })
                .collect()
        };
        // Of many things one opposite each will do.
        let signs = if things.len() <= 2 {
            (0..1 << things.len()).collect()
        } else {
            vec![0]
        };
        signs.into_iter().map(flipped).collect()
    }

    /// Least squares of a misfit whose effects are proportional to it, and of how far in the tube is.
    fn small_misfit(&self, things: &[Thing]) -> Option<Vec<f64>> {
        // A root gap, or what flat cuts leave.
        let (nothing_off, _) = self.offered.stands_off(&self.trial.offered.met(&Misfit::default())?)?;
        let effect = |thing: &Thing| {
            let by = 0.1;
            let met = self.trial.offered.met(&Misfit::default().with(*thing, by))?;
            let (off, _) = self.offered.stands_off(&met)?;
            let by = |index: &usize| (off[*index] - nothing_off[*index]) / by;
            Some(self.counting.iter().map(by).collect::<Vec<f64>>())
        };
        let mut columns: Vec<Vec<f64>> = things.iter().map(effect).collect::<Option<_>>()?;
        columns.push(vec![1.0; self.counting.len()]);
        let read: Vec<f64> = self
            .counting
            .iter()
            .map(|&index| self.trial.readings[index].gap_mm - nothing_off[index])
            .collect();
        let product = |one: &[f64], other: &[f64]| one.iter().zip(other).map(|(one, other)| one * other).sum::<f64>();
        let rows = columns
            .iter()
            .map(|row| columns.iter().map(|column| product(row, column)).collect());
        let mut sizes = solved(
            rows.collect(),
            columns.iter().map(|column| product(column, &read)).collect(),
        )?;
        sizes.pop();
        Some(sizes)
    }
}
