//! Angles in degrees: `45`, `22.5deg`, `67-1/2°`.

use super::number::leading_number;
use super::rounded::decimals;
use crate::problem::{Problem, quoted};

/// Reads an angle in degrees; a bare number is degrees.
///
/// # Errors
/// What is not an angle.
pub fn parse_angle(text: &str) -> Result<f64, Problem> {
    let refuse = || {
        Problem::new(format!("{} is not an angle", quoted(text))).help("angles are degrees: 45, 22.5, 67-1/2 or 45deg")
    };
    let trimmed = text.trim();
    let (sign, unsigned) = match trimmed.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest),
        None => (1.0, trimmed),
    };
    let (value, rest) = leading_number(unsigned).ok_or_else(refuse)?;
    match rest.trim().to_ascii_lowercase().as_str() {
        "" | "deg" | "degree" | "degrees" | "°" if value.is_finite() => Ok(sign * value),
        _ => Err(refuse()),
    }
}

/// Degrees to a tenth, without a useless `.0`: `45°`, `22.5°`.
pub fn show_angle(degrees: f64) -> String {
    let tenths = decimals(degrees, 1);
    format!("{}°", tenths.strip_suffix(".0").unwrap_or(&tenths))
}

/// Within how much an angle is known: where that is nothing to a tenth, to a hundredth: `0.4°`, `0.03°`, `0.01°` for less.
pub fn show_angle_within(degrees: f64) -> String {
    match show_angle(degrees).as_str() {
        "0°" if degrees > 0.0 => format!("{}°", decimals(degrees.max(0.01), 2)),
        told => told.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_degrees_and_nothing_else() {
        assert_eq!(parse_angle("45"), Ok(45.0));
        assert_eq!(parse_angle("67-1/2°"), Ok(67.5));
        assert_eq!(parse_angle(" -22.5 deg"), Ok(-22.5));
        for text in ["", "x", "45rad", "nan", "inf", "4 5"] {
            assert!(parse_angle(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_whole_angle_is_printed_without_decimals() {
        assert_eq!(show_angle(45.0), "45°");
        assert_eq!(show_angle(-0.01), "0°");
        assert_eq!(show_angle(22.5), "22.5°");
    }

    #[test]
    fn nothing_is_known_to_within_nothing() {
        assert_eq!(show_angle_within(0.4), "0.4°");
        assert_eq!(show_angle_within(0.03), "0.03°");
        assert_eq!(show_angle_within(0.001), "0.01°");
        assert_eq!(show_angle_within(0.0), "0°");
    }
}
