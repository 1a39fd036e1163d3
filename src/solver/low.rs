//! The least value of a function of the azimuth from few samples, creases and all: quicker and rougher than [`super::extrema`].

use std::f64::consts::TAU;

use super::extrema::close_in;

/// Nearer than this a low is where a parabola through three samples has it, in millimetres.
const SMOOTH: f64 = 1e-3;

/// To where a crease is closed in on, in radians.
const CREASE: f64 = 1e-4;

/// The least of even places round a turn, and between them: by a parabola through a low and its neighbours, and where that isn't
/// what is there, as at a crease, by closing in. `value` tells it anywhere, in radians.
pub(super) fn least_between(values: &[f64], value: &impl Fn(f64) -> f64) -> f64 {
    let count = values.len();
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let beside = |place: usize| [values[(place + count - 1) % count], values[(place + 1) % count]];
    let could_be = (0..count).filter(|&place| {
        let ([before, after], here) = (beside(place), values[place]);
        let falls = before.min(after) - here;
        // A crease may be as much lower than its sample as the sample than the lower of its neighbours.
        falls >= 0.0 && (here == least || here - falls.max(0.5 * (before.max(after) - here)) <= least)
    });
    let lows = could_be.map(|place| {
        let ([before, after], here) = (beside(place), values[place]);
        let (bend, lean) = (before - 2.0 * here + after, 0.5 * (after - before));
        if !(bend.is_finite() && bend > 0.0) {
            return here;
        }
        let (low, at) = (here - lean * lean / (2.0 * bend), place as f64 - lean / bend);
        let step = TAU / count as f64;
        if (value(at * step) - low).abs() < SMOOTH {
            return low;
        }
        let at = close_in(
            &|azimuth| -value(azimuth),
            (place as f64 - 1.0) * step,
            (place as f64 + 1.0) * step,
            CREASE,
        );
        value(at).min(here)
    });
    lows.fold(least, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn least(value: impl Fn(f64) -> f64) -> f64 {
        let samples: Vec<f64> = (0..120).map(|sample| value(TAU * f64::from(sample) / 120.0)).collect();
        least_between(&samples, &value)
    }

    #[test]
    fn smooth_lows_and_sharp_ones_between_samples_are_found() {
        let smooth = least(|azimuth| 3.0 - 2.0 * (azimuth - 1.0).cos());
        assert!((smooth - 1.0).abs() < 1e-5, "{smooth}");
        // One flank is steep, the other nearly level, as at a crease.
        for at in [2.0, 2.01, 2.03, 2.05] {
            let crease = least(|azimuth| 5.0 + (70.0 * (at - azimuth)).max(3.0 * (azimuth - at)));
            assert!((crease - 5.0).abs() < 0.01, "{crease}");
        }
        // The lower of two has the higher sample.
        let step = TAU / 120.0;
        let roof = |azimuth: f64, at: f64, low: f64| low + 40.0 * (azimuth - at).abs();
        let two = least(|azimuth| roof(azimuth, 40.5 * step, 1.0).min(roof(azimuth, 80.0 * step, 1.5)));
        assert!((two - 1.0).abs() < 0.01, "{two}");
    }
}
