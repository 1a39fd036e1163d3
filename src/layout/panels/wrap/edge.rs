//! Where a wrap is cut.

use kurbo::{Affine, BezPath};

use crate::plan::EndCurve;

/// A cut edge on a wrap: x is the girth from the seam, y is up from the base line, in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::layout::panels) struct CutEdge {
    /// From the left edge to the right one.
    pub path: BezPath,
    /// Its lowest y.
    pub low: f64,
    /// Its highest y.
    pub high: f64,
}

impl CutEdge {
    /// From a solved curve (y is t, growing away from the cut end), `base_t` being where the base line is.
    pub(in crate::layout::panels) fn above(curve: &EndCurve, base_t: f64) -> Self {
        let flip = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, base_t]);
        Self {
            path: flip * curve.path.clone(),
            low: base_t - curve.highest.0,
            high: base_t - curve.lowest.0,
        }
    }

    /// The same edge at the other end of a piece, below the base line.
    pub(in crate::layout::panels) fn mirrored_below(&self) -> Self {
        let flip = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, 0.0]);
        Self {
            path: flip * self.path.clone(),
            low: -self.high,
            high: -self.low,
        }
    }
}
