//! How much a tube falls: `20mm/m`, `1/4in per ft`, `2%`, `4deg`.

use super::{Units, parse_angle, parse_length};
use crate::problem::{Problem, quoted};

/// Nothing that is told as a fall is steeper, in degrees.
const STEEPEST_DEG: f64 = 80.0;

/// Reads a fall: by how much it goes down over what it goes along the level, as a share; below 0 where it rises. `units` is
/// what a bare length before "per" is read in.
///
/// # Errors
/// What is not a fall, and one that is steeper than 80 degrees.
pub fn parse_fall(text: &str, units: Option<Units>) -> Result<f64, Problem> {
    let refuse = || {
        Problem::new(format!("{} is not a fall", quoted(text)))
            .help("give it as \"20mm/m\", \"1/4in/ft\", \"2%\" or \"4deg\"")
    };
    let lower = text.trim().to_lowercase();
    let share = if lower.ends_with("deg") || lower.ends_with('°') || lower.ends_with("degrees") {
        parse_angle(&lower).map_err(|_| refuse())?.to_radians().tan()
    } else if let Some(percent) = lower.strip_suffix('%') {
        percent.trim().parse::<f64>().map_err(|_| refuse())? / 100.0
    } else {
        // The last of several strokes: 1/4in/ft.
        let (down, along) = lower
            .rsplit_once(" per ")
            .or_else(|| lower.rsplit_once('/'))
            .ok_or_else(refuse)?;
        let along = match along.trim() {
            "m" | "metre" | "meter" => 1000.0,
            "ft" | "foot" => 304.8,
            _ => return Err(refuse()),
        };
        parse_length(down.trim(), units).map_err(|_| refuse())? / along
    };
    if !share.is_finite() || share.abs() > STEEPEST_DEG.to_radians().tan() {
        return Err(refuse());
    }
    Ok(share)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fall_is_down_over_along_however_it_is_told() {
        for (text, share) in [
            ("20mm/m", 0.02),
            ("20 mm per metre", 0.02),
            ("1/4in/ft", 0.25 / 12.0),
            ("1/4 in per foot", 0.25 / 12.0),
            ("2%", 0.02),
            ("45deg", 1.0),
            ("-10mm/m", -0.01),
        ] {
            let read = parse_fall(text, Some(Units::Millimetres)).unwrap_or_else(|problem| panic!("{text}: {problem}"));
            assert!((read - share).abs() < 1e-12, "{text}: {read}");
        }
        for text in ["", "20mm", "20mm/km", "x/m", "89deg", "nan%", "2 %%"] {
            assert!(parse_fall(text, Some(Units::Millimetres)).is_err(), "{text}");
        }
    }
}
