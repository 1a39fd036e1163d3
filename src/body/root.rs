//! Where something that grows is 0.

/// To where an angle is found, in radians: 1e-9 mm on the largest tank.
const PRECISION: f64 = 1e-13;

/// More steps than are ever taken: halving alone takes 50.
const MOST_STEPS: usize = 200;

/// A place and the value there.
pub(crate) type Known = (f64, f64);

/// Where a function that rises from `low` to `high` goes through 0; an end where it doesn't between them.
pub(crate) fn rising_root(value: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    if low >= high {
        return low;
    }
    root_between(&value, (low, value(low)), (high, value(high)))
}

/// The same where the values at both ends are known: by secants, which need three or four values where the function is
/// nearly straight, and by halving after a step that gains little.
pub(crate) fn root_between(value: impl Fn(f64) -> f64, low: Known, high: Known) -> f64 {
    if low.1 >= 0.0 || low.0 >= high.0 {
        return low.0;
    }
    if high.1 <= 0.0 {
        return high.0;
    }
    let (mut below, mut above) = (low.0, high.0);
    let (mut before, mut here) = (low, high);
    let mut gains_little = false;
    for _ in 0..MOST_STEPS {
        let secant = here.0 - here.1 * (here.0 - before.0) / (here.1 - before.1);
        let next = if gains_little || !(below..=above).contains(&secant) {
            0.5 * (below + above)
        } else {
            secant
        };
        if (next - here.0).abs() < PRECISION || above - below < PRECISION {
            return next;
        }
        (before, here) = (here, (next, value(next)));
        if here.1 == 0.0 {
            return here.0;
        }
        if here.1 > 0.0 {
            above = here.0;
        } else {
            below = here.0;
        }
        gains_little = here.1.abs() > 0.5 * before.1.abs();
    }
    0.5 * (below + above)
}

/// Below this step, in radians, the next of Newton's steps would be lost in rounding: what is off is squared each time.
pub(super) const LAST_STEP: f64 = 1e-8;

/// Where the cubic with these values and slopes at two places goes through 0, of one that is nearly straight.
pub(super) fn root_of_cubic([low, high]: [Known; 2], slopes: [f64; 2]) -> f64 {
    let (width, rise) = (high.0 - low.0, high.1 - low.1);
    let [first, last] = slopes.map(|slope| slope * width - rise);
    let mut share = -low.1 / rise;
    for _ in 0..2 {
        let left = 1.0 - share;
        let off = low.1 + share * rise + share * left * (left * first - share * last);
        let slope = rise + (1.0 - 3.0 * share) * left * first + share * (3.0 * share - 2.0) * last;
        share -= off / slope;
    }
    low.0 + share * width
}

/// The same of a function that is told with its slope: by Newton's steps from `start`, which need one value where that is near,
/// and by halving where one would lead out of what is left or gains little.
pub(super) fn root_by_slope(value: impl Fn(f64) -> (f64, f64), [low, high]: [Known; 2], start: f64) -> f64 {
    if low.1 >= 0.0 || low.0 >= high.0 {
        return low.0;
    }
    if high.1 <= 0.0 {
        return high.0;
    }
    let (mut below, mut above) = (low.0, high.0);
    let is_between = (below..=above).contains(&start);
    let mut next = if is_between { start } else { 0.5 * (below + above) };
    let mut step_before = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        let here = next;
        let (off, slope) = value(here);
        if off == 0.0 {
            return here;
        }
        if off > 0.0 {
            above = here;
        } else {
            below = here;
        }
        let step = -off / slope;
        let gains_little = step.abs() > 0.5 * step_before;
        next = here + step;
        if gains_little || !(below..=above).contains(&next) {
            next = 0.5 * (below + above);
        } else if step.abs() < LAST_STEP {
            return next;
        }
        if above - below < PRECISION {
            return next;
        }
        step_before = (next - here).abs();
    }
    0.5 * (below + above)
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;

    /// The root, and how many values it took.
    fn found(value: impl Fn(f64) -> f64, low: f64, high: f64) -> (f64, usize) {
        let count = Cell::new(0);
        let counted = |at: f64| {
            count.set(count.get() + 1);
            value(at)
        };
        (rising_root(counted, low, high), count.get())
    }

    #[test]
    fn a_nearly_straight_function_takes_few_values() {
        let (root, values) = found(|x| x.sin() - 0.5, 0.52, 0.53);
        assert!((root - std::f64::consts::FRAC_PI_6).abs() < 1e-13, "{root}");
        assert!(values <= 6, "{values}");
    }

    #[test]
    fn what_is_bent_flat_or_broken_is_found_too() {
        for (name, value, root) in [
            ("steep", (|x| (1e6 * (x - 0.3)).tanh()) as fn(f64) -> f64, 0.3),
            ("flat", |x| (x - 0.3).powi(5), 0.3),
            ("broken", |x| if x < 0.7 { -1.0 } else { 5.0 }, 0.7),
            ("a root", |x| (x - 0.1).signum() * (x - 0.1).abs().sqrt(), 0.1),
        ] {
            let (found, values) = found(value, 0.0, 1.0);
            // Of a flat one rounding hides where it is 0.
            let within = if name == "flat" { 1e-3 } else { 2e-13 };
            assert!((found - root).abs() < within, "{name}: {found}");
            assert!(values < 120, "{name}: {values}");
        }
    }

    #[test]
    fn slopes_lead_to_the_same_roots_in_fewer_values() {
        let count = Cell::new(0);
        let by_slope = |value: fn(f64) -> (f64, f64), low: f64, high: f64| {
            let counted = |at: f64| {
                count.set(count.get() + 1);
                value(at)
            };
            let ends = [(low, value(low).0), (high, value(high).0)];
            root_by_slope(counted, ends, root_of_cubic(ends, [value(low).1, value(high).1]))
        };
        let root = by_slope(|x| (x.sin() - 0.5, x.cos()), 0.52, 0.53);
        assert!((root - std::f64::consts::FRAC_PI_6).abs() < 1e-13, "{root}");
        assert_eq!(count.take(), 1);
        let steep = |x: f64| {
            let value = (1e3 * (x - 0.3)).tanh();
            (value, 1e3 * (1.0 - value * value))
        };
        assert!((by_slope(steep, 0.0, 1.0) - 0.3).abs() < 1e-12);
        // The slope at its own root is endless.
        let at_the_edge = |x: f64| (x.max(0.0).sqrt() - 0.1, 0.5 / x.max(0.0).sqrt());
        assert!((by_slope(at_the_edge, 0.0, 1.0) - 0.01).abs() < 1e-12);
        assert!(count.take() < 120);
        assert_eq!(by_slope(|x| (x + 1.0, 1.0), 0.0, 1.0), 0.0);
        assert_eq!(by_slope(|x| (x - 2.0, 1.0), 0.0, 1.0), 1.0);
    }

    #[test]
    fn where_there_is_none_it_is_an_end() {
        assert_eq!(rising_root(|x| x + 1.0, 0.0, 1.0), 0.0);
        assert_eq!(rising_root(|x| x - 2.0, 0.0, 1.0), 1.0);
        assert_eq!(rising_root(|x| x, 1.0, 1.0), 1.0);
    }
}
