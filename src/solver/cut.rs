//! What is known of a tube's end when it is solved: the cut at one azimuth, and the whole cut as a curve.

use kurbo::BezPath;

use super::trace::Part;

/// The cut at one azimuth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Distance from the work point along the tube's axis in millimetres, positive away from the body.
    pub t: f64,
    /// By how much t grows per radian of azimuth, where there is no corner.
    pub per_radian: f64,
    /// The radius at which the wall decides, on its line there ([`crate::section::WallLine`]), in millimetres.
    pub radius: f64,
    /// Which part of the wall that is.
    pub part: Part,
}

/// A true corner of a cut: here another of several bodies takes over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// In radians, from 0 to a whole turn.
    pub azimuth: f64,
    /// The cut just before it and just after it, in millimetres: two numbers where the cut has a step.
    pub t: [f64; 2],
    /// The body before and the one after, in the order in which the end has them.
    pub bodies: [usize; 2],
}

/// A solved end.
#[derive(Debug, Clone, PartialEq)]
pub struct EndCurve {
    /// The cut from the seam once round: x is the girth from the seam on a girth of
    /// 2 pi `girth_radius_mm`, y is t. Millimetres, within [`crate::measure::Tolerance::FILE`] of the solved curve.
    pub path: BezPath,
    /// The girth the path is drawn on, as a radius in millimetres.
    pub girth_radius_mm: f64,
    /// Azimuth of the seam in radians.
    pub seam: f64,
    /// Smallest t: there the tube is longest. With the azimuth in radians.
    pub lowest: (f64, f64),
    /// Largest t: there the tube is shortest. With the azimuth in radians.
    pub highest: (f64, f64),
    /// Where another of several bodies takes over, by azimuth.
    pub corners: Vec<Corner>,
}
