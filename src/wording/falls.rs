//! Where tubes land that are told by their fall.

use super::place::{along_words, round_words};
use crate::measure::Units;
use crate::plan::Fall;

/// `drain falls 20 mm per metre: it lands on pipe, 412.00 mm along from the end, on the zero line`.
pub(super) fn fall_words(fall: &Fall, units: Units) -> String {
    let along = along_words(fall.along_mm, fall.end, fall.round_deg.is_some(), units);
    let round = round_words(fall.round_mm, fall.round_deg, fall.zero_line, units);
    let falls = match fall.share {
        level if level.abs() < 5e-6 => "lies level".to_owned(),
        up if up < 0.0 => format!("rises {}", units.show_fall(-up)),
        down => format!("falls {}", units.show_fall(down)),
    };
    format!("{} {falls}: it lands on {}, {along}, {round}", fall.tube, fall.body)
}
