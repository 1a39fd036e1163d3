//! Numbers rounded for people: values that are equal but for the noise of computing are printed alike.

/// The grid on which a number is put before it is rounded, in parts of what is printed. Noise of 1e-9 lies within it, to three
/// decimals; without it 151.85 from two computations would be 151.8 and 151.9.
const GRID: f64 = 2e5;

/// The nearest whole number; halves away from 0. Beyond the range of i64 its end; 0 for NaN.
pub fn nearest_whole(value: f64) -> i64 {
    let whole = (value * GRID).round() / GRID;
    whole.round() as i64
}

/// `value` with `places` decimals, halves away from 0, and without a sign where all its digits are 0: `151.9`, `-0.05`, `0.00`.
pub fn decimals(value: f64, places: u32) -> String {
    let unit = 10_i64.pow(places);
    let parts = nearest_whole(value * unit as f64);
    if !value.is_finite() || parts.unsigned_abs() > MOST {
        return format!("{value:.0$}", places as usize);
    }
    let sign = if parts < 0 { "-" } else { "" };
    let (whole, part) = (parts.abs() / unit, parts.abs() % unit);
    match places {
        0 => format!("{sign}{whole}"),
        _ => format!("{sign}{whole}.{part:00$}", places as usize),
    }
}

/// A small length with so many decimals, 2 or more, that two of its digits are told: `0.30`, `0.0000017`.
pub fn telling(value: f64) -> String {
    let leading = value.abs().log10().floor();
    let places = if leading.is_finite() {
        (1.0 - leading).clamp(2.0, 12.0)
    } else {
        2.0
    };
    if places > 3.0 {
        return format!("{value:.0$}", places as usize);
    }
    decimals(value, places as u32)
}

/// Past this a double has no room for the grid.
const MOST: u64 = 10_000_000_000;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_about_a_boundary_that_differ_by_noise_are_printed_alike() {
        for boundary in [151.85, 0.05, 2.675, -151.85, 1e4 + 0.15, 22.45] {
            for noise in [-1e-9, -1e-12, 0.0, 1e-12, 1e-9] {
                for places in 1..=3 {
                    let (noisy, clean) = (decimals(boundary + noise, places), decimals(boundary, places));
                    assert_eq!(noisy, clean, "{boundary} and {noise}");
                }
            }
        }
        assert_eq!(decimals(151.85 - 1e-9, 1), "151.9");
        assert_eq!(decimals(-151.85 + 1e-9, 1), "-151.9");
    }

    #[test]
    fn two_digits_of_a_small_length_are_told() {
        let cases = [
            (12.3456, "12.35"),
            (0.3, "0.30"),
            (0.0456, "0.046"),
            (1.7e-6, "0.0000017"),
            (-2e-7, "-0.00000020"),
            (0.0, "0.00"),
        ];
        for (value, said) in cases {
            assert_eq!(telling(value), said);
        }
    }

    #[test]
    fn numbers_are_rounded_to_the_nearest() {
        let cases = [
            (0.0, 2, "0.00"),
            (-0.004, 2, "0.00"),
            (-0.006, 2, "-0.01"),
            (1.0 / 3.0, 3, "0.333"),
            (99.996, 2, "100.00"),
            (12.0, 0, "12"),
            (151.849, 1, "151.8"),
            (f64::NAN, 1, "NaN"),
            (1e20, 1, "100000000000000000000.0"),
        ];
        for (value, places, said) in cases {
            assert_eq!(decimals(value, places), said);
        }
    }
}
