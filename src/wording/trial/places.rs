//! Places round a tube's end and ways to its sides. The names are those of the lines that are on the tube; degrees are counted
//! to the right of the front with the cut end up, at both ends.

use crate::job::WhichEnd;
use crate::measure::show_angle;
use crate::plan::{CROWN_LINES, TrialPlan};

/// Nearer to a crown line than this a place is on it, in degrees: of readings, and of ways.
const ON_LINE: f64 = 0.05;
const TO_LINE: f64 = 0.5;

fn line_at(azimuth_deg: f64, which: WhichEnd, within: f64) -> Option<&'static str> {
    let off = |azimuth: f64| {
        let off = (azimuth - which.turned(azimuth_deg)).rem_euclid(360.0);
        off.min(360.0 - off)
    };
    let line = CROWN_LINES.iter().find(|(_, azimuth)| off(*azimuth) < within);
    line.map(|(name, _)| *name)
}

/// `front`, `back`, `22.5°`; at a far end what is to the right of the front is on the tube's left line.
pub(crate) fn place_words(azimuth_deg: f64, which: WhichEnd) -> String {
    line_at(azimuth_deg, which, ON_LINE).map_or_else(|| show_angle(azimuth_deg.rem_euclid(360.0)), str::to_owned)
}

/// `its FRONT`, `its side at 22.5°`: so many degrees to the right of the acute side.
pub(super) fn its_side(of: &TrialPlan, right_of_acute_deg: f64) -> String {
    let azimuth = (of.asked.offered.acute_deg() + right_of_acute_deg).rem_euclid(360.0);
    line_at(azimuth, of.end.which, TO_LINE).map_or_else(
        || format!("its side at {}", show_angle(azimuth)),
        |line| format!("its {}", line.to_uppercase()),
    )
}

/// `RIGHT`: the line to the right of the front, or below 0 to its left.
pub(super) fn beside_front(of: &TrialPlan, to_the_right: f64) -> String {
    let azimuth = if to_the_right < 0.0 { 270.0 } else { 90.0 };
    place_words(azimuth, of.end.which).to_uppercase()
}
