//! The flat cuts, of a given number, that leave the smallest largest gap: a bowl covered from side to side.
//!
//! An end leaves a gap of g all round if it is nowhere under the bowl and nowhere more than g over it ([`Bowl`]). Of all lines
//! of one slope the highest that keeps under bowl + g is above the bowl over the longest stretch, and steeper lines have
//! stretches farther to the right. The fewest lines that cover the bowl are thus found from left to right, each the
//! steepest that begins where the one before it ends (greedy covering by intervals); the first cut covers its part for
//! nothing. The smallest g is found by halves. What is left to search is one number, the lift: how far the first cut lies below
//! the lowest place of bowl + g.

use std::ops::Range;

use super::bowl::{Bowl, Chord};
use super::facet::FlatCut;
use super::recipe::Recipe;
use crate::job::End;

/// Depths of the first cut that are tried: evenly, then about the best, twice.
const LIFTS: usize = 40;
const CLOSER: usize = 8;
/// Halvings of the gap, to a share of 1e-9.
const HALVINGS: usize = 30;
/// Gaps that differ less, as a share, are equal.
const WORTHWHILE: f64 = 1e-6;
/// So much less, as a share, must the gap be for a tube that is cut shorter all round.
const SHORTER: f64 = 1e-3;
/// A cut that gains less than this along y is none, in millimetres.
const PROGRESS: f64 = 1e-9;

/// The recipe with `count` cuts at most, front and back together, that leaves the smallest largest gap. Each cut touches a
/// line of its own; no saw angle is over `saw_limit_deg`, which is below 90. A side that no cut helps has none.
pub fn best_cuts(end: &End, angle: f64, saw_limit_deg: f64, count: usize) -> Recipe {
    let saws = Saws {
        lean: FlatCut::first(angle).slope,
        steepest: saw_limit_deg.to_radians().tan(),
    };
    let bowl = Bowl::new(end, saws.lean);
    let cover = Cover {
        bowl: &bowl,
        saws,
        count,
    };
    let (gap, request) = cover.smallest_gap();
    // At the smallest gap itself rounding decides.
    let lines = cover.covered(&request, gap * (1.0 + WORTHWHILE) + 1e-9);
    let (mut front, mut back) = (Vec::new(), Vec::new());
    for line in lines.unwrap_or_default() {
        let saw = (line.slope + saws.lean).abs().atan().to_degrees().min(saw_limit_deg);
        if line.slope + saws.lean > 0.0 {
            front.push((line.at(bowl.radius).max(0.0), saw));
        } else {
            back.push((line.at(-bowl.radius).max(0.0), saw));
        }
    }
    // From the middle outwards on both sides.
    back.reverse();
    Recipe { front, back }
}

/// What the saw can do.
#[derive(Clone, Copy)]
struct Saws {
    /// The first cut's slope, which is taken off all slopes.
    lean: f64,
    /// The steepest slope off square.
    steepest: f64,
}

/// A bowl to be covered by at most `count` lines.
struct Cover<'a> {
    bowl: &'a Bowl,
    saws: Saws,
    count: usize,
}

/// What the lines must keep to.
struct Request {
    /// Slopes of front cuts, none where they end below where they begin, and of back cuts.
    front: Range<f64>,
    back: Range<f64>,
    /// How far the first cut lies below the lowest place of bowl + gap.
    lift: f64,
}

impl Request {
    /// The steepest slope that a cut can have, no steeper than `steepest`.
    fn slope_up_to(&self, steepest: f64) -> Option<f64> {
        let within = |range: &Range<f64>| Some(steepest.min(range.end)).filter(|slope| *slope >= range.start);
        within(&self.front).or_else(|| within(&self.back))
    }
}

impl Cover<'_> {
    /// The lines that cover the bowl from left to right with the first cut; `None` where more than `count` are needed.
    fn covered(&self, request: &Request, gap: f64) -> Option<Vec<Chord>> {
        let level = gap - request.lift;
        let level_ends = if level < 0.0 {
            f64::NEG_INFINITY
        } else {
            self.bowl.reach(0.0, level)
        };
        let (mut at, mut lines) = (-self.bowl.radius, Vec::new());
        loop {
            if self.bowl.height(at) <= level {
                at = at.max(level_ends);
            }
            if at >= self.bowl.radius - PROGRESS {
                return Some(lines);
            }
            if lines.len() == self.count {
                return None;
            }
            let slope = request.slope_up_to(self.bowl.steepest_from(at, gap))?;
            let reach = self.bowl.reach(slope, gap);
            if reach <= at + PROGRESS {
                return None;
            }
            lines.push(self.bowl.highest(slope, request.lift));
            at = reach;
        }
    }

    /// What may be asked of lines with the first cut `lift` below the lowest place of bowl + gap.
    fn request(&self, lift: f64) -> Request {
        // A front cut is not scribed in front of the first cut: its line is not below that at the front's crown line.
        let flattest_front = -self.bowl.steepest_fall(lift).min(self.saws.lean);
        Request {
            front: flattest_front..self.saws.steepest - self.saws.lean,
            back: -self.saws.steepest - self.saws.lean..-self.saws.lean,
            lift,
        }
    }

    /// The smallest gap that leaves the lines covering; `None` where it is not below `most`.
    fn smallest_gap_of(&self, request: &Request, most: f64) -> Option<f64> {
        self.covered(request, most * (1.0 - WORTHWHILE))?;
        let (mut low, mut high) = (0.0, most * (1.0 - WORTHWHILE));
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if self.covered(request, middle).is_some() {
                high = middle
            } else {
                low = middle
            }
        }
        Some(high)
    }

    /// The smallest gap, with what was asked for it.
    ///
    /// A deeper first cut covers less of the bowl and leaves front cuts more room; once it lies deeper than the gap it covers
    /// nothing, and the gap only falls.
    fn smallest_gap(&self) -> (f64, Request) {
        let none = self.request(0.0);
        let highest = self.bowl.depth();
        let mut best = (self.smallest_gap_of(&none, highest).unwrap_or(highest), none);
        let try_lifts = |best: &mut (f64, Request), from: f64, step: f64, steps: usize| {
            for index in 0..=steps {
                let request = self.request((from + index as f64 * step).max(0.0));
                if let Some(gap) = self.smallest_gap_of(&request, best.0) {
                    *best = (gap, request);
                }
            }
        };
        let width = best.0 / LIFTS as f64;
        try_lifts(&mut best, width, width, LIFTS - 1);
        for around in [width, width / CLOSER as f64] {
            let from = best.1.lift - around;
            try_lifts(&mut best, from, around / CLOSER as f64, 2 * CLOSER);
        }
        let free = self.request(best.0 + 2.0 * self.saws.lean * self.bowl.radius);
        match self.smallest_gap_of(&free, best.0 * (1.0 - SHORTER)) {
            Some(gap) => self.shallowest(gap, free),
            None => best,
        }
    }

    /// The same gap with the tube cut no shorter than it must be.
    fn shallowest(&self, gap: f64, free: Request) -> (f64, Request) {
        let gap = gap * (1.0 + WORTHWHILE);
        let (mut low, mut best) = (gap, free);
        for _ in 0..HALVINGS {
            let request = self.request(0.5 * (low + best.lift));
            if self.covered(&request, gap).is_some() {
                best = request
            } else {
                low = request.lift
            }
        }
        (gap, best)
    }
}
