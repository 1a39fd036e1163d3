//! The largest value of a continuous function of the azimuth, corners and all.

use std::f64::consts::TAU;

/// Places at which peaks are looked for before they are closed in on.
const SAMPLES: usize = 720;

/// To where a peak is closed in on, in radians.
const PRECISION: f64 = 1e-8;

/// The same where slopes are missing: beside a line that only grazes the body a height changes a hundred times
/// as fast as the azimuth.
const STEEP_PRECISION: f64 = 1e-11;

/// To what height a peak is found by its slopes, in millimetres.
const PEAK_PRECISION: f64 = 1e-11;

/// Steps after which a peak is as good as it gets: twice as many as halving alone would take.
const MOST_SECANTS: usize = 100;

/// Peaks whose samples differ by less than this are equal: the first one from the front on counts.
const SAME: f64 = 1e-9;

/// The largest value over a turn, and its azimuth in radians from 0 to a turn, looked for evenly round it; `None` where a
/// value is missing.
pub(super) fn highest(value: impl Fn(f64) -> Option<f64>) -> Option<(f64, f64)> {
    let azimuths = (0..SAMPLES).map(|sample| TAU * sample as f64 / SAMPLES as f64);
    let samples = Samples::new(azimuths.map(|azimuth| (azimuth, value(azimuth))))?;
    highest_beside(&value, &samples)
}

/// The same beside samples that are there already, as in [`highest_among`].
pub(super) fn highest_beside(value: &impl Fn(f64) -> Option<f64>, samples: &Samples) -> Option<(f64, f64)> {
    let known = |azimuth: f64| value(azimuth).unwrap_or(f64::NAN);
    highest_among(value, samples, |[low, _, high]| close_in(&known, low, high, PRECISION))
}

/// Azimuths with a function's values, round a turn.
pub(super) struct Samples(Vec<(f64, f64)>);

impl Samples {
    /// Of azimuths in any order and from any turn; `None` where there are none, or one has no finite value.
    pub(super) fn new(samples: impl IntoIterator<Item = (f64, Option<f64>)>) -> Option<Self> {
        let known = |(azimuth, value): (f64, Option<f64>)| Some((azimuth, value.filter(|value| value.is_finite())?));
        let mut samples = samples.into_iter().map(known).collect::<Option<Vec<_>>>()?;
        for sample in &mut samples {
            sample.0 = within_a_turn(sample.0);
        }
        samples.sort_by(|a, b| a.0.total_cmp(&b.0));
        samples.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-12);
        (!samples.is_empty()).then_some(Self(samples))
    }

    /// In the order of their azimuths from 0.
    pub(super) fn values(&self) -> impl Iterator<Item = f64> {
        self.0.iter().map(|sample| sample.1)
    }

    /// The same with every value below 0 instead of above.
    pub(super) fn upside_down(&self) -> Self {
        Self(self.0.iter().map(|(azimuth, value)| (*azimuth, -value)).collect())
    }
}

/// The same among `samples`, close enough to each other that no peak lies between two of them unseen. `peak_near` closes in on
/// the peak next to an azimuth, between its neighbours.
///
/// Every peak that could be the highest is closed in on: one whose sample is below the best by no more
/// than the function changes from sample to sample. A level stretch is as high as its samples. `None` where a peak has no value.
pub(super) fn highest_among(
    value: &impl Fn(f64) -> Option<f64>,
    samples: &Samples,
    peak_near: impl Fn([f64; 3]) -> f64,
) -> Option<(f64, f64)> {
    let samples = &samples.0;
    let last = samples.len() - 1;
    let before = |sample: usize| if sample == 0 { last } else { sample - 1 };
    let after = |sample: usize| if sample == last { 0 } else { sample + 1 };
    let height = |sample: usize| samples[sample].1;
    let steepest = (0..=last)
        .map(|sample| (height(sample) - height(after(sample))).abs())
        .fold(0.0, f64::max);
    let best = samples.iter().map(|sample| sample.1).fold(f64::MIN, f64::max);
    let peaks = (0..=last).filter(|&sample| {
        let here = height(sample);
        here >= best - steepest && here >= height(after(sample)) && here >= height(before(sample))
    });
    let mut found: Option<(f64, f64)> = None;
    for peak in peaks {
        let (azimuth, mut top) = (samples[peak].0, height(peak));
        let mut at = azimuth;
        let lowest_beside = height(before(peak)).min(height(after(peak)));
        if top - lowest_beside > SAME {
            let from = samples[before(peak)].0 - if peak == 0 { TAU } else { 0.0 };
            let to = samples[after(peak)].0 + if peak == last { TAU } else { 0.0 };
            let closer = peak_near([from, azimuth, to]);
            let height = value(closer).filter(|height| height.is_finite())?;
            // The sample itself is exact at crown lines; closing in may miss it by rounding.
            if height > top + 1e-12 {
                (top, at) = (height, closer);
            }
        }
        if found.is_none_or(|(highest, _)| top > highest + SAME) {
            found = Some((top, within_a_turn(at)));
        }
    }
    found
}

/// From 0 to a turn; quicker than a remainder, of which an exact one isn't needed.
fn within_a_turn(azimuth: f64) -> f64 {
    let turned = azimuth - TAU * (azimuth / TAU).floor();
    if turned < TAU { turned } else { 0.0 }
}

/// Where the slope turns from rising to falling between the neighbours of `here`; `here` itself where it
/// doesn't turn, as at the edge of a level stretch; by golden section where a slope is missing.
pub(super) fn peak_by_slope(value: &impl Fn(f64) -> f64, slope: &impl Fn(f64) -> f64, places: [f64; 3]) -> f64 {
    let slopes = places.map(slope);
    if slopes.iter().all(|slope| slope.is_finite()) {
        let turns = |(from, to): &(usize, usize)| slopes[*from] > 0.0 && slopes[*to] < 0.0;
        let Some((from, to)) = [(0, 1), (1, 2), (0, 2)].into_iter().find(turns) else {
            return places[1];
        };
        let ends = [from, to].map(|end| (places[end], slopes[end]));
        let at = |azimuth: f64| Some(slope(azimuth)).filter(|slope| slope.is_finite());
        if let Some((peak, _)) = peak_by_secants(ends, PEAK_PRECISION, |azimuth| Some((at(azimuth)?, ()))) {
            return peak;
        }
    }
    // Where slopes are missing the curve is steep beside its peak.
    close_in(value, places[0], places[2], STEEP_PRECISION)
}

/// The peak between two places, given with their slopes, the first above and the second below 0: where the slope is 0, and what
/// else `slope_at` gives there. It is missed by no more height than `precision`, if slopes fall all the way.
///
/// By secants through the last two places; by halves where they lead out of what is left, or little is won.
pub(super) fn peak_by_secants<T>(
    [mut low, mut high]: [(f64, f64); 2],
    precision: f64,
    slope_at: impl Fn(f64) -> Option<(f64, T)>,
) -> Option<(f64, T)> {
    let (mut before, mut last) = (low, high);
    let mut found = None;
    let mut width_before = f64::INFINITY;
    for step in 0..MOST_SECANTS {
        let secant = last.0 - last.1 * (last.0 - before.0) / (last.1 - before.1);
        let is_slow = step % 4 == 3 && high.0 - low.0 > 0.5 * width_before;
        if step % 4 == 3 {
            width_before = high.0 - low.0;
        }
        let is_inside = low.0 < secant && secant < high.0;
        let at = if is_inside && !is_slow {
            secant
        } else {
            0.5 * (low.0 + high.0)
        };
        let (slope, more) = slope_at(at)?;
        found = Some((at, more));
        (before, last) = (last, (at, slope));
        *(if slope > 0.0 { &mut low } else { &mut high }) = last;
        // It rises no farther than its slope would take it to the end of what is left.
        let left = if slope > 0.0 { high.0 - at } else { at - low.0 };
        if slope.abs() * left <= precision {
            break;
        }
    }
    found
}

/// A place on a curve.
#[derive(Clone, Copy)]
pub(super) struct Slant<T> {
    pub(super) at: f64,
    pub(super) value: f64,
    pub(super) slope: f64,
    /// What else is known there.
    pub(super) more: T,
}

/// Steps after which places about a peak are as near as they get.
const MOST_TANGENTS: usize = 60;

/// So near to each other, in radians or millimetres, two places about a corner are found from their tangents.
const NEAR: f64 = 1e-5;

/// Two places about a peak between two others. The curve rises from the first or falls to the second, and if it does only
/// one of both, then the other place is lower. Where the peak is smooth one of them is as high, to `precision`; about a
/// corner they are [`NEAR`].
///
/// Slopes are 0 where a curve is smooth, tangents meet near a corner: both are tried in turn, and then a place not far
/// beyond, so that what is left gets smaller from both ends.
pub(super) fn about_the_peak<T: Copy>(
    [mut low, mut high]: [Slant<T>; 2],
    precision: f64,
    place_at: impl Fn(f64) -> Slant<T>,
) -> [Slant<T>; 2] {
    let mut is_low_new = true;
    for step in 0..MOST_TANGENTS {
        let width = high.at - low.at;
        let is_roof = low.slope > 0.0 && high.slope < 0.0;
        if width <= NEAR || is_roof && low.slope.min(-high.slope) * width <= precision {
            break;
        }
        let ahead = match step % 3 {
            _ if !is_roof => 0.5 * width,
            0 => low.slope / (low.slope - high.slope) * width,
            1 => to_crossing(&low, &high),
            _ if is_low_new => width / 16.0,
            _ => width - width / 16.0,
        };
        let is_between = 0.0 < ahead && ahead < width;
        let place = place_at(low.at + if is_between { ahead } else { 0.5 * width });
        if is_roof && place.slope == 0.0 {
            return [place, place];
        }
        is_low_new = if is_roof || place.value > low.value.max(high.value) {
            place.slope > 0.0
        } else {
            high.slope < 0.0
        };
        if is_low_new { low = place } else { high = place }
    }
    [low, high]
}

/// The height of the peak that two places are about: of where their tangents meet.
pub(super) fn height_of_peak<T>([low, high]: &[Slant<T>; 2]) -> f64 {
    let highest = low.value.max(high.value);
    let to_crossing = to_crossing(low, high);
    if 0.0 < to_crossing && to_crossing < high.at - low.at {
        highest.max(low.value + low.slope * to_crossing)
    } else {
        highest
    }
}

/// How far beyond the first of two places their tangents meet.
fn to_crossing<T>(low: &Slant<T>, high: &Slant<T>) -> f64 {
    (high.value - low.value - high.slope * (high.at - low.at)) / (low.slope - high.slope)
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
    fn a_value_that_is_missing_somewhere_has_no_highest() {
        assert_eq!(highest(|_| None), None);
        assert_eq!(highest(|_| Some(f64::NAN)), None);
        // Missing about its peak only, between two samples.
        let gap = 2.0 + 0.5 * TAU / 720.0;
        let hill = |azimuth: f64| Some((azimuth - gap).cos()).filter(|_| (azimuth - gap).abs() > 1e-4);
        assert_eq!(highest(hill), None);
        assert!(highest(|azimuth| Some((azimuth - gap).cos())).is_some());
    }

    #[test]
    fn a_sharp_peak_between_two_looks_is_found_though_a_lower_one_has_the_better_look() {
        let peak = |at: f64, height: f64, azimuth: f64| height - 3.0 * (azimuth - at).abs();
        let between_looks = 2.0 + 0.5 * TAU / 720.0;
        let roof = |azimuth: f64| peak(between_looks, 1.0, azimuth).max(peak(400.0 * TAU / 720.0, 0.995, azimuth));
        let (height, azimuth) = highest(|azimuth| Some(roof(azimuth))).expect("a peak");
        assert!(
            (height - 1.0).abs() < 1e-6 && (azimuth - between_looks).abs() < 0.01,
            "{height} at {azimuth}"
        );
    }
}
