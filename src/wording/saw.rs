//! What a saw is set to.

use crate::measure::{decimals, without_noughts};

/// Degrees that a saw is set to, to a hundredth: `45°`, `22.5°`, `25.71°`.
pub(crate) fn saw_angle(degrees: f64) -> String {
    format!("{}°", without_noughts(&decimals(degrees, 2)))
}

/// `22.5° off square (67.5° from the tube's side)`: saws are marked either way.
pub(crate) fn saw_both_ways(off_square_deg: f64) -> String {
    let [off_square, from_side] = both_saw_angles(off_square_deg);
    format!("{off_square} off square ({from_side} from the tube's side)")
}

/// Off square and from the tube's side: as printed they add up to a right angle.
pub(crate) fn both_saw_angles(off_square_deg: f64) -> [String; 2] {
    let printed = (100.0 * off_square_deg).round() / 100.0;
    [printed, 90.0 - printed].map(saw_angle)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_settings_of_a_saw_add_up_to_a_right_angle() {
        for (off, both) in [
            (0.0, "0° off square (90° from the tube's side)"),
            (22.5, "22.5° off square (67.5° from the tube's side)"),
            (11.25, "11.25° off square (78.75° from the tube's side)"),
            (180.0 / 7.0, "25.71° off square (64.29° from the tube's side)"),
            (11.125, "11.13° off square (78.87° from the tube's side)"),
        ] {
            assert_eq!(saw_both_ways(off), both);
        }
    }
}
