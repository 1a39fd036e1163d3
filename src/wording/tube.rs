//! What is said of a tube, whatever is done with it.

use std::f64::consts::TAU;

use crate::job::Tube;
use crate::measure::Units;
use crate::plan::CROWN_LINES;
use crate::section::{Profile, Section};

/// The line that tells a wrong tube from a right one.
pub(crate) fn girth_note(girth: f64, units: Units) -> String {
    format!("Printed girth {}.", units.show(girth))
}

/// What the wrap of a tube with sides says besides.
pub(crate) fn side_notes(tube: &Tube, units: Units) -> Option<String> {
    let sides = tube.section.sides()?;
    let folds = if sides.corner > 0.0 {
        format!(
            "the middles of the corners, rounded {} outside",
            units.show(sides.corner)
        )
    } else {
        "the sharp corners".to_owned()
    };
    Some(format!(
        "FOLD lines (short dashes) lie on {folds}; FRONT, RIGHT, BACK and LEFT on the middles of the sides. Drawn for the finished \
         tube: nothing is allowed for bending sheet."
    ))
}

/// What to call a place round the girth: its crown line, or how far it is from the front; on round tube in degrees.
pub(crate) fn place_name(section: &Section, azimuth: f64, units: Units) -> String {
    let azimuth_deg = azimuth.to_degrees();
    let crown = CROWN_LINES
        .iter()
        .find(|(_, azimuth)| (azimuth - azimuth_deg).abs() < 1e-9);
    match crown {
        Some((name, _)) => (*name).to_owned(),
        None if section.sides().is_some() => {
            let round = units.show(azimuth / TAU * section.girth());
            format!("{round} round from the front")
        }
        None => crate::measure::show_angle(azimuth_deg),
    }
}
