//! The largest value of a continuous function of the azimuth, corners and all.

use std::cell::Cell;
use std::f64::consts::TAU;

use kurbo::common::solve_itp;

/// Places at which peaks are looked for before they are closed in on.
const LOOKS: usize = 720;

/// To where a peak is closed in on, in radians.
const PRECISION: f64 = 1e-8;

/// The same by the slope, which costs little more: beside a line that only grazes the body a height changes a hundred times
/// as fast as the azimuth.
const SLOPE_PRECISION: f64 = 1e-11;

/// Peaks whose looks differ by less than this are equal: the first one from the front on counts.
const SAME: f64 = 1e-9;

/// The largest value over a turn, and its azimuth in radians from 0 to a turn, looked for evenly round it.
pub(super) fn highest(value: impl Fn(f64) -> f64) -> (f64, f64) {
    let azimuths = (0..LOOKS).map(|look| TAU * look as f64 / LOOKS as f64);
    let looks = Looks::new(azimuths.map(|azimuth| (azimuth, value(azimuth))).collect());
    highest_among(&value, &looks, |[low, _, high]| close_in(&value, low, high, PRECISION))
}

/// Azimuths with a function's values, round a turn.
pub(super) struct Looks(Vec<(f64, f64)>);

impl Looks {
    /// Of azimuths in any order and from any turn.
    pub(super) fn new(mut looks: Vec<(f64, f64)>) -> Self {
        for look in &mut looks {
            look.0 = within_a_turn(look.0);
        }
        looks.sort_by(|a, b| a.0.total_cmp(&b.0));
        looks.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-12);
        Self(looks)
    }

    /// The same with every value below 0 instead of above.
    pub(super) fn upside_down(&self) -> Self {
        Self(self.0.iter().map(|(azimuth, value)| (*azimuth, -value)).collect())
    }
}

/// The same among `looks`, close enough to each other that no peak lies between two of them unseen. `peak_near` closes in on
/// the peak next to an azimuth, between its neighbours.
///
/// Every peak that could be the highest is closed in on: one whose look is below the best by no more
/// than the function changes from look to look. A level stretch is as high as its looks.
pub(super) fn highest_among(
    value: &impl Fn(f64) -> f64,
    looks: &Looks,
    peak_near: impl Fn([f64; 3]) -> f64,
) -> (f64, f64) {
    let looks = &looks.0;
    let count = looks.len();
    let height = |look: usize| looks[look % count].1;
    let azimuth = |look: usize| looks[look % count].0 + TAU * (look / count) as f64;
    let steepest = (0..count)
        .map(|look| (height(look) - height(look + 1)).abs())
        .fold(0.0, f64::max);
    let best = looks.iter().map(|look| look.1).fold(f64::MIN, f64::max);
    let peaks = (0..count).filter(|&look| {
        let here = height(look);
        here >= best - steepest && here >= height(look + 1) && here >= height(look + count - 1)
    });
    let mut found = (f64::MIN, 0.0);
    for peak in peaks {
        let mut top = (height(peak), azimuth(peak));
        let lowest_beside = height(peak + 1).min(height(peak + count - 1));
        if top.0 - lowest_beside > SAME {
            let at = peak_near([azimuth(peak + count - 1) - TAU, top.1, azimuth(peak + 1)]);
            let closer = (value(at), at);
            // The look itself is exact at crown lines; closing in may miss it by rounding.
            if closer.0 > top.0 + 1e-12 {
                top = closer;
            }
        }
        if top.0 > found.0 + SAME {
            found = (top.0, within_a_turn(top.1));
        }
    }
    found
}

/// From 0 to a turn; quicker than a remainder, of which an exact one isn't needed.
fn within_a_turn(azimuth: f64) -> f64 {
    let turned = azimuth - TAU * (azimuth / TAU).floor();
    if turned < TAU { turned } else { 0.0 }
}

/// Where the slope turns from rising to falling between the neighbours of `here`, by the ITP method; `here` itself where it
/// doesn't turn, as at the edge of a level stretch; by golden section where a slope is missing.
pub(super) fn peak_by_slope(value: &impl Fn(f64) -> f64, slope: &impl Fn(f64) -> f64, places: [f64; 3]) -> f64 {
    let [low, here, high] = places;
    let slopes = places.map(slope);
    let has_slopes = Cell::new(slopes.iter().all(|slope| slope.is_finite()));
    let turns = |from: usize, to: usize| slopes[from] > 0.0 && slopes[to] < 0.0;
    if has_slopes.get() {
        let Some((from, to)) = [(0, 1), (1, 2), (0, 2)].into_iter().find(|&(from, to)| turns(from, to)) else {
            return here;
        };
        let falling = |azimuth: f64| {
            let fall = -slope(azimuth);
            has_slopes.set(has_slopes.get() && fall.is_finite());
            if fall.is_finite() { fall } else { 0.0 }
        };
        let (start, end) = (places[from], places[to]);
        let pace = 0.2 / (end - start);
        let peak = solve_itp(
            falling,
            start,
            end,
            SLOPE_PRECISION,
            1,
            pace,
            -slopes[from],
            -slopes[to],
        );
        if has_slopes.get() {
            return peak;
        }
    }
    // Where slopes are missing the curve is steep beside its peak.
    close_in(value, low, high, SLOPE_PRECISION)
}

/// Golden section towards the peak between `low` and `high`, to within `precision`.
pub(super) fn close_in(value: &impl Fn(f64) -> f64, mut low: f64, mut high: f64, precision: f64) -> f64 {
    const SHRINK: f64 = 0.618_033_988_749_895;
    let mut left = high - SHRINK * (high - low);
    let mut right = low + SHRINK * (high - low);
    let (mut at_left, mut at_right) = (value(left), value(right));
    while high - low > precision {
        if at_left < at_right {
            (low, left, at_left) = (left, right, at_right);
            right = low + SHRINK * (high - low);
            at_right = value(right);
        } else {
            (high, right, at_right) = (right, left, at_left);
            left = high - SHRINK * (high - low);
            at_left = value(left);
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sharp_peak_between_two_looks_is_found_though_a_lower_one_has_the_better_look() {
        let peak = |at: f64, height: f64, azimuth: f64| height - 3.0 * (azimuth - at).abs();
        let between_looks = 2.0 + 0.5 * TAU / 720.0;
        let roof = |azimuth: f64| peak(between_looks, 1.0, azimuth).max(peak(400.0 * TAU / 720.0, 0.995, azimuth));
        let (height, azimuth) = highest(roof);
        assert!(
            (height - 1.0).abs() < 1e-6 && (azimuth - between_looks).abs() < 0.01,
            "{height} at {azimuth}"
        );
    }
}
