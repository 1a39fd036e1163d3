//! What to grind: the least that brings the whole girth within the limit.
//!
//! Pushed in by p past its first touch, a tube whose gap is g loses max(0, p - g), and no less, and its gap is max(0, g - p).
//! So p is the largest gap less the limit, and no other p, nor any other metal taken off, closes it with less. What the
//! readings leave in doubt is counted to the largest gap, so that the gap is within the limit for all that they allow.

use super::allowed::independent;
use super::every_degree;
use super::guess::{Guess, SIGMAS};
use super::turn;
use crate::job::{Thing, Trial};
use crate::plan::end::PlannedEnd;
use crate::plan::marks::Marks;
use crate::solver::{Offered, OfferedGap, TakeOff};

/// Less than this isn't ground, in millimetres.
const NOTHING: f64 = 1e-3;

/// So many standard errors are likely at most (95 of 100 by the normal law), where something else is in doubt as well.
const LIKELY: f64 = 2.0;

/// By how much a size is changed to see what that does, in its own unit.
const NUDGE: f64 = 0.05;

/// What comes off, and what that does.
#[derive(Debug, Clone)]
pub struct Grind {
    /// By how much the gap may differ from the guess, from place to place, in millimetres.
    pub doubt_mm: f64,
    /// Whether that is no more than what can be welded: else what comes off closes it by the best guess, and only likely so.
    pub is_sure: bool,
    /// How far the tube then moves in past its first touch, in millimetres; 0 where nothing has to come off.
    pub moves_in_mm: f64,
    /// What comes off at every degree from 0 to 360, in millimetres along the tube.
    pub depths_mm: Vec<f64>,
    /// The stretches where that is.
    pub take_off: Vec<TakeOff>,
    /// The gap that is left at every degree, in millimetres.
    pub left_mm: Vec<f64>,
    /// The largest, in millimetres.
    pub largest_left_mm: f64,
    /// By how much the tube gets shorter, from its farthest place, in millimetres.
    pub length_lost_mm: f64,
    /// The new edge as it is marked by hand.
    pub marks: Marks,
    /// t of the new edge, and of the old one, at every quarter of a degree from 0, in millimetres.
    pub edges_t: Vec<[f64; 2]>,
}

impl Grind {
    /// What brings `gap` within the limit for all that is in `doubt`.
    pub(super) fn new(
        asked: &Trial,
        offered: &Offered,
        gap: &OfferedGap,
        doubt: &Doubt,
        end: &PlannedEnd,
    ) -> Option<Self> {
        // The widest place may be wider, and is ground for; what is ground to touch may be open elsewhere, and no grinding
        // by these readings mends that.
        let is_sure = doubt.of_widest < asked.gap_limit_mm && doubt.everywhere <= asked.gap_limit_mm;
        // Of what is in more doubt than that so much is counted that it touches all round by the guess.
        let counted = doubt.of_widest.min(asked.gap_limit_mm);
        let push_in = (gap.largest + counted - asked.gap_limit_mm).clamp(0.0, gap.largest);
        let depth = |degree: f64| (push_in - gap.at(degree)).max(0.0);
        let ground = offered.ground(gap, push_in)?;
        let places = ground.len();
        let old = (0..places).map(|place| offered.edge_t(turn(place, places)));
        let edges_t: Vec<[f64; 2]> = ground
            .iter()
            .zip(old)
            .map(|(new, old)| Some([*new, old?]))
            .collect::<Option<_>>()?;
        let lowest = |edge: usize| edges_t.iter().map(|edges| edges[edge]).fold(f64::MAX, f64::min);
        let highest = ground.iter().copied().fold(f64::MIN, f64::max);
        let new_t = |azimuth: f64| offered.edge_t(azimuth).unwrap_or(f64::NAN) + depth(azimuth.to_degrees());
        let extrema = [lowest(0), highest];
        Some(Self {
            doubt_mm: doubt.everywhere,
            is_sure,
            moves_in_mm: push_in,
            depths_mm: every_degree(depth),
            take_off: stretches(&depth),
            left_mm: every_degree(|degree| (gap.at(degree).min(gap.largest) - push_in).max(0.0)),
            largest_left_mm: gap.largest - push_in,
            length_lost_mm: lowest(0) - lowest(1),
            marks: Marks::of_edge(
                end.marks.base_t,
                &end.end,
                extrema,
                end.which,
                end.marks.stations.len(),
                new_t,
            ),
            edges_t,
        })
    }
}

impl Grind {
    /// What comes off at any azimuth in degrees, in millimetres along the tube.
    pub fn depth_mm(&self, azimuth_deg: f64) -> f64 {
        let count = self.edges_t.len();
        let place = azimuth_deg.rem_euclid(360.0) / 360.0 * count as f64;
        let (before, share) = (place.floor() as usize, place.fract());
        let depth = |place: usize| {
            let [new, old] = self.edges_t[place % count];
            new - old
        };
        let (from, to) = (depth(before), depth(before + 1));
        from + share * (to - from)
    }
}

/// By how much the gap may differ from a guess, in millimetres.
pub(super) struct Doubt {
    /// Of the widest place, from any other.
    of_widest: f64,
    /// From any place to any other: what is ground to touch all round may then be open by so much.
    everywhere: f64,
}

impl Doubt {
    /// What the guess's sizes leave in doubt, or how far each of `others` is from it at most and a likely part of what that one's
    /// sizes leave in doubt: guesses that explain the readings as well, or with one more thing off, too little to be told.
    /// Where the cut itself strays, what the readings leave in doubt.
    pub(super) fn new(
        asked: &Trial,
        offered: &Offered,
        guess: &Guess,
        explained: &OfferedGap,
        others: &[(&Guess, OfferedGap)],
        strays: bool,
    ) -> Option<Self> {
        if strays {
            let read = 2.0 * asked.read_within_mm;
            return Some(Self {
                of_widest: read,
                everywhere: read,
            });
        }
        let by_sizes = |guess: &Guess, gap: &OfferedGap, errors_counted: f64| {
            let by_one = Self::by_sizes(&errors(asked, offered, guess, gap)?, explained.at_deg);
            Some(by_one.each(|doubt| errors_counted * doubt))
        };
        let mut doubt = by_sizes(guess, explained, SIGMAS)?;
        for (other, gap) in others {
            let apart = spread(gap, explained);
            // One that nothing can be told of is as far off as its best sizes are.
            let by_other = by_sizes(other, gap, LIKELY)
                .unwrap_or(Self::NONE)
                .each(|doubt| doubt + apart);
            doubt = doubt.or_more(&by_other);
        }
        Some(doubt)
    }

    const NONE: Self = Self {
        of_widest: 0.0,
        everywhere: 0.0,
    };

    /// Standard errors, of the errors at every place.
    fn by_sizes(errors: &[Vec<f64>], widest_deg: f64) -> Self {
        let widest = (widest_deg / 360.0 * errors.len() as f64) as usize % errors.len();
        let from = |place: usize, others: &mut dyn Iterator<Item = &Vec<f64>>| {
            let apart = others.map(|other| distance(&errors[place], other));
            apart.filter(|apart| apart.is_finite()).fold(0.0, f64::max)
        };
        let of_widest = from(widest, &mut errors.iter());
        // These run smoothly round the girth.
        let step = errors.len() / 90;
        let some = (0..errors.len()).step_by(step);
        let everywhere = some.map(|place| from(place, &mut errors.iter().step_by(step)));
        Self {
            of_widest,
            everywhere: everywhere.fold(of_widest, f64::max),
        }
    }

    fn each(&self, change: impl Fn(f64) -> f64) -> Self {
        Self {
            of_widest: change(self.of_widest),
            everywhere: change(self.everywhere),
        }
    }

    fn or_more(&self, other: &Self) -> Self {
        Self {
            of_widest: self.of_widest.max(other.of_widest),
            everywhere: self.everywhere.max(other.everywhere),
        }
    }
}

fn off(gap: &OfferedGap, place: usize) -> f64 {
    gap.gaps[place] + gap.moved_in
}

/// By how much the end's distance errs at every place, for a standard error along each direction in which the guess's sizes err
/// independently.
fn errors(asked: &Trial, offered: &Offered, guess: &Guess, explained: &OfferedGap) -> Option<Vec<Vec<f64>>> {
    let nudged = |thing: &Thing| {
        let misfit = guess.misfit.with(*thing, guess.misfit.of(*thing) + NUDGE);
        offered.gap(&asked.offered.met(&misfit)?)
    };
    let nudged: Vec<OfferedGap> = guess.things.iter().map(nudged).collect::<Option<_>>()?;
    let ways = independent(&guess.spread);
    let at = |place: usize| {
        let slopes: Vec<f64> = nudged
            .iter()
            .map(|nudged| (off(nudged, place) - off(explained, place)) / NUDGE)
            .collect();
        let along = |way: &Vec<f64>| way.iter().zip(&slopes).map(|(by, slope)| by * slope).sum::<f64>();
        ways.iter().map(along).collect()
    };
    Some((0..explained.gaps.len()).map(at).collect())
}

fn distance(one: &[f64], other: &[f64]) -> f64 {
    let squares = one.iter().zip(other).map(|(one, other)| (one - other).powi(2));
    squares.sum::<f64>().sqrt()
}

/// By how much one gap differs from another, from place to place.
fn spread(one: &OfferedGap, other: &OfferedGap) -> f64 {
    let apart = (0..one.gaps.len()).map(|place| off(one, place) - off(other, place));
    let (low, high) = apart
        .filter(|apart| apart.is_finite())
        .fold((f64::MAX, f64::MIN), |(low, high), apart| {
            (low.min(apart), high.max(apart))
        });
    high - low
}

/// Where metal comes off, in order round the girth.
fn stretches(depth: &impl Fn(f64) -> f64) -> Vec<TakeOff> {
    let comes_off = |degree: i32| depth(f64::from(degree)) > NOTHING;
    let take_off = |from: i32, to: i32| {
        let at = (from..=to)
            .max_by(|a, b| depth(f64::from(*a)).total_cmp(&depth(f64::from(*b))))
            .unwrap_or(from);
        TakeOff {
            azimuths_deg: f64::from(from)..f64::from(to),
            deepest: depth(f64::from(at)),
            deepest_at_deg: f64::from(at.rem_euclid(360)),
        }
    };
    if (0..360).all(comes_off) {
        return vec![take_off(0, 360)];
    }
    let starts = (0..360).filter(|&degree| comes_off(degree) && !comes_off(degree - 1));
    let ends = starts.map(|start| {
        (
            start,
            (start..start + 360).find(|&degree| !comes_off(degree)).unwrap_or(start),
        )
    });
    ends.map(|(start, end)| take_off(start - 1, end)).collect()
}
