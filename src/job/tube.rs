//! Round tubes, resolved.

use crate::measure::{MM_PER_INCH, Size, Units};

/// The tube that is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Tube {
    /// Outside diameter in millimetres, above 0.
    pub od_mm: f64,
    /// Wall in millimetres, at least 0 (not given) and below the radius.
    pub wall_mm: f64,
    /// Its name in a table, where it has one.
    pub name: Option<String>,
}

impl Tube {
    /// Outer radius in millimetres.
    pub fn radius(&self) -> f64 {
        self.od_mm / 2.0
    }

    /// Radius of the bore in millimetres.
    pub fn bore_radius(&self) -> f64 {
        self.radius() - self.wall_mm
    }

    /// Its size in words: `48.26 x 1.65 mm`, with the table's name where it has one.
    pub fn describe(&self, units: Units) -> String {
        describe(
            self.od_mm,
            Some(self.wall_mm).filter(|&wall| wall > 0.0),
            self.name.as_deref(),
            units,
        )
    }
}

impl From<Size> for Tube {
    fn from(size: Size) -> Self {
        Self {
            od_mm: size.od_mm,
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
    let number = |mm: f64| match units {
        Units::Millimetres => format!("{mm:.2}"),
        Units::Inches => format!("{:.3}", mm / MM_PER_INCH),
    };
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
