//! The paper, and what is asked of the sheets.

use super::WeldSize;
use crate::measure::Units;

/// Nothing is drawn nearer to the paper's edge, in millimetres: printers leave 4 to 5.1 mm blank.
pub const MARGIN_MM: f64 = 6.35;

/// A sheet of paper, and what the printer makes of 1 mm in each direction.
#[derive(Debug, Clone, PartialEq)]
pub struct Paper {
    /// `a4`, or `WxH` in millimetres.
    pub name: String,
    /// In millimetres.
    pub width_mm: f64,
    /// In millimetres.
    pub height_mm: f64,
    /// Whether nobody asked for a paper, so that the usual one of the job's units was taken.
    pub is_assumed: bool,
    /// What lengths across the sheet are multiplied by, so that they come out true.
    pub across: f64,
    /// The same down the sheet.
    pub down: f64,
}

/// What sheets can go without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftOut {
    /// The tables for marking by hand.
    Tables,
    /// The patterns of holes.
    Holes,
    /// The paper strips of holes in balls and heads.
    Gores,
    /// Heading, picture, steps and cautions; of a whole job the cut list and the sticks too.
    Cover,
}

impl LeftOut {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Tables, Self::Holes, Self::Gores, Self::Cover];

    /// What it is called.
    pub fn word(self) -> &'static str {
        match self {
            Self::Tables => "tables",
            Self::Holes => "holes",
            Self::Gores => "gores",
            Self::Cover => "cover",
        }
    }
}

/// What is asked of every sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetOptions {
    /// The units for everything that people read.
    pub units: Units,
    /// What it is printed on.
    pub paper: Paper,
    /// Thickness of the wrap's paper in millimetres.
    pub paper_thickness_mm: f64,
    /// Azimuth of the seam in degrees, at least 0 and below 360, where one is asked for.
    pub seam_deg: Option<f64>,
    /// How many stations round the girth, 4 to 360.
    pub stations: usize,
    /// A line of the person's own for the sheets.
    pub label: Option<String>,
    /// The size of every fillet, where metal and wire are to be told.
    pub weld: Option<WeldSize>,
    /// What there are no sheets of.
    pub without: Vec<LeftOut>,
}

impl SheetOptions {
    /// Whether there are sheets of this.
    pub fn has(&self, part: LeftOut) -> bool {
        !self.without.contains(&part)
    }
}
