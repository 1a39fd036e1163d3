//! What to grind: the least that brings the whole girth within the limit.
//!
//! Pushed in by p past its first touch, a tube whose gap is g loses max(0, p - g), and no less, and its gap is max(0, g - p).
//! So p is the largest gap less the limit, and no other p, nor any other metal taken off, closes it with less. What the
//! readings leave in doubt is counted to the largest gap, so that the gap is within the limit for all that they allow.

use super::every_degree;
use super::guess::{Guess, SIGMAS};
use super::turn;
use crate::job::Trial;
use crate::plan::end::PlannedEnd;
use crate::plan::marks::Marks;
use crate::solver::{Offered, OfferedGap, TakeOff, cut_at};

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
    /// Whether that is less than what can be welded: else what comes off closes the gap by the best guess alone.
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
        doubt: f64,
        end: &PlannedEnd,
    ) -> Option<Self> {
        let is_sure = doubt < asked.gap_limit_mm;
        let counted = if is_sure { doubt } else { 0.0 };
        let push_in = (gap.largest + counted - asked.gap_limit_mm).clamp(0.0, gap.largest);
        let depth = |degree: f64| (push_in - gap.at(degree)).max(0.0);
        let ground = offered.ground(gap, push_in)?;
        let places = ground.len();
        let old = (0..places).map(|place| Some(cut_at(&end.end, turn(place, places))?.t));
        let edges_t: Vec<[f64; 2]> = ground
            .iter()
            .zip(old)
            .map(|(new, old)| Some([*new, old?]))
            .collect::<Option<_>>()?;
        let lowest = |edge: usize| edges_t.iter().map(|edges| edges[edge]).fold(f64::MAX, f64::min);
        let highest = ground.iter().copied().fold(f64::MIN, f64::max);
        let new_t =
            |azimuth: f64| cut_at(&end.end, azimuth).map_or(f64::NAN, |cut| cut.t) + depth(azimuth.to_degrees());
        let extrema = [lowest(0), highest];
        Some(Self {
            doubt_mm: doubt,
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

/// By how much the gap may differ from a guess, from one place to another, in millimetres: what its sizes leave in doubt, and
/// beside a likely part of that how far `others` are from it at most: guesses that explain the readings as well, or with one
/// more thing off, too little to be told. Where the cut itself strays, what the readings leave in doubt.
pub(super) fn doubt(
    asked: &Trial,
    offered: &Offered,
    guess: &Guess,
    explained: &OfferedGap,
    others: &[OfferedGap],
    strays: bool,
) -> Option<f64> {
    if strays {
        return Some(2.0 * asked.read_within_mm);
    }
    let off = |gap: &OfferedGap, place: usize| gap.gaps[place] + gap.moved_in;
    // By how much the end's distance changes with each size, at every place.
    let slopes: Vec<Vec<f64>> = guess
        .things
        .iter()
        .map(|thing| {
            let misfit = guess.misfit.with(*thing, guess.misfit.of(*thing) + NUDGE);
            let nudged = offered.gap(&asked.offered.met(&misfit)?)?;
            Some(
                (0..nudged.gaps.len())
                    .map(|place| (off(&nudged, place) - off(explained, place)) / NUDGE)
                    .collect(),
            )
        })
        .collect::<Option<_>>()?;
    let places = 0..explained.gaps.len();
    let widest = (explained.at_deg / 360.0 * places.len() as f64) as usize % places.len();
    let variance = |place: usize| {
        let apart: Vec<f64> = slopes.iter().map(|slope| slope[place] - slope[widest]).collect();
        let of_row = |(row, covariances): (usize, &Vec<f64>)| {
            let columns = covariances.iter().zip(&apart);
            apart[row] * columns.map(|(covariance, apart)| covariance * apart).sum::<f64>()
        };
        guess.spread.iter().enumerate().map(of_row).sum::<f64>()
    };
    let by_sizes = places
        .clone()
        .map(variance)
        .filter(|variance| variance.is_finite())
        .fold(0.0, f64::max)
        .sqrt();
    let by_others = others.iter().map(|other| {
        let apart = places.clone().map(|place| off(other, place) - off(explained, place));
        let apart = apart.filter(|apart| apart.is_finite());
        let (low, high) = apart.fold((f64::MAX, f64::MIN), |(low, high), apart| {
            (low.min(apart), high.max(apart))
        });
        high - low
    });
    let by_others = by_others.fold(0.0, f64::max);
    Some((SIGMAS * by_sizes).max(LIKELY * by_sizes + by_others))
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
