//! What a size was taken for, in a few words to stand under it.

use crate::measure::{Size, TubeSize, Units};
use crate::section::Section;

/// `1-29/32 in (1.900) across, wall 1/16 in (0.065)`; of a tube with sides its width, height and corners.
pub fn tube_words(tube: &TubeSize, units: Units) -> String {
    let across = match tube.section {
        Section::Round(round) => format!("{} across", units.show(2.0 * round.radius)),
        Section::Rectangle(sides) => format!(
            "{} wide, {} high, corners {}",
            units.show(sides.width),
            units.show(sides.height),
            units.show(sides.corner)
        ),
    };
    across + &wall_words(tube.wall_mm, units)
}

/// The same of what it lands on.
pub fn header_words(header: &Size, units: Units) -> String {
    format!(
        "{} across{}",
        units.show(header.od_mm),
        wall_words(header.wall_mm, units)
    )
}

fn wall_words(wall_mm: Option<f64>, units: Units) -> String {
    wall_mm.map_or_else(String::new, |wall| format!(", wall {}", units.show(wall)))
}
