//! Tubes, resolved.

use glam::DVec2;

use crate::measure::{Size, TubeSize, Units};
use crate::section::{Profile, Section, WallLine};

/// The tube that is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Tube {
    /// Its outer skin.
    pub section: Section,
    /// Wall in millimetres, at least 0 (not given) and below half the least way across.
    pub wall_mm: f64,
    /// Its name in a table, where it has one.
    pub name: Option<String>,
}

impl Tube {
    /// Round tube of an outside diameter and a wall in millimetres.
    pub fn round(od_mm: f64, wall_mm: f64) -> Self {
        Self {
            section: Section::round(od_mm),
            wall_mm,
            name: None,
        }
    }

    /// From the axis to the farthest place of the skin, in millimetres: the outer radius of round tube.
    pub fn radius(&self) -> f64 {
        self.section.reach()
    }

    /// From the axis to the farthest place of the bore, in millimetres: the radius of a round bore.
    pub fn bore_radius(&self) -> f64 {
        self.bore().reach()
    }

    /// The section of its bore.
    pub fn bore(&self) -> Section {
        self.section.grown(-self.wall_mm)
    }

    /// The greater way across in millimetres, flat to flat: the diameter of round tube.
    pub fn across_mm(&self) -> f64 {
        2.0 * self
            .section
            .reach_towards(DVec2::X)
            .max(self.section.reach_towards(DVec2::Y))
    }

    /// The line through its wall at an azimuth in radians.
    pub fn wall_line(&self, azimuth: f64) -> WallLine {
        self.section.wall_line(azimuth, self.wall_mm)
    }

    /// Whether it has sides, so that it matters how it is turned about its own axis.
    pub fn has_sides(&self) -> bool {
        self.section.sides().is_some()
    }

    /// Its size in words: `48.26 x 1.65 mm`, with the table's name where it has one; `rect 60.00 x 40.00 x 3.00 mm, r 5.00`.
    pub fn describe(&self, units: Units) -> String {
        let wall_mm = Some(self.wall_mm).filter(|&wall| wall > 0.0);
        let number = |mm: f64| units.decimal(mm);
        match self.section {
            Section::Round(round) => describe(2.0 * round.radius, wall_mm, self.name.as_deref(), units),
            Section::Rectangle(sides) => format!(
                "{} {} x {}{} {}, r {}",
                if sides.width == sides.height { "square" } else { "rect" },
                number(sides.width),
                number(sides.height),
                wall_mm.map_or_else(String::new, |wall| format!(" x {}", number(wall))),
                units.name(),
                number(sides.corner)
            ),
        }
    }
}

impl From<TubeSize> for Tube {
    fn from(size: TubeSize) -> Self {
        Self {
            section: size.section,
            wall_mm: size.wall_mm.unwrap_or(0.0),
            name: size.name,
        }
    }
}

/// The round body that a branch lands on.
#[derive(Debug, Clone, PartialEq)]
pub struct Header {
    /// Outside diameter in millimetres, above 0.
    pub od_mm: f64,
    /// Wall in millimetres, where it is known.
    pub wall_mm: Option<f64>,
    /// Its name in a table, where it has one.
    pub name: Option<String>,
}

impl Header {
    /// Outer radius in millimetres.
    pub fn radius(&self) -> f64 {
        self.od_mm / 2.0
    }

    /// Its size in words.
    pub fn describe(&self, units: Units) -> String {
        describe(self.od_mm, self.wall_mm, self.name.as_deref(), units)
    }
}

impl From<Size> for Header {
    fn from(size: Size) -> Self {
        Self {
            od_mm: size.od_mm,
            wall_mm: size.wall_mm,
            name: size.name,
        }
    }
}

/// `48.26 x 1.65 mm`, or `fence 1-7/8 (1.900 x 0.065 in)`.
fn describe(od_mm: f64, wall_mm: Option<f64>, name: Option<&str>, units: Units) -> String {
    let number = |mm: f64| units.decimal(mm);
    let unit = units.name();
    let measures = match wall_mm {
        Some(wall) => format!("{} x {} {unit}", number(od_mm), number(wall)),
        None => format!("{} {unit} OD", number(od_mm)),
    };
    match name {
        Some(name) => format!("{name} ({measures})"),
        None => measures,
    }
}
