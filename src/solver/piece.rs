//! A straight piece with two ends on one girth scale: lengths and clocking.

use std::f64::consts::{PI, TAU};

use kurbo::{Affine, BezPath};

use super::tube_end::{EndCurve, cut_at, solve_end};
use crate::job::Piece;
use crate::problem::Problem;

/// Places round the girth at which the two cuts are held against each other.
const LOOKS: usize = 180;

/// Less tube than this between its cuts, in millimetres, can't be clamped or welded.
const SHORTEST: f64 = 1.0;

/// A solved piece.
#[derive(Debug, Clone, PartialEq)]
pub struct SolvedPiece {
    /// The first end.
    pub near: EndCurve,
    /// The far end, seen with its own cut end up: its azimuths run the other way round.
    pub far: EndCurve,
    /// From the farthest point of one end to that of the other, in millimetres.
    pub tip_to_tip_mm: f64,
    /// From the near end's front to the far end's, in degrees, growing with the near end's azimuth, -180 to 180;
    /// `None` where an end has no front.
    pub twist_deg: Option<f64>,
}

/// Solves both ends on a girth of 2 pi `girth_radius_mm`, with the seam at `seam` radians of the near end's azimuth.
///
/// # Errors
/// Where a part of the wall misses what it lands on, or the cuts leave nothing between them.
pub fn solve_piece(piece: &Piece, girth_radius_mm: f64, seam: f64) -> Result<SolvedPiece, Problem> {
    let near = solve_end(&piece.near, girth_radius_mm, seam)?;
    let far = solve_end(&piece.far, girth_radius_mm, -seam - TAU)?;
    let between = |look: usize| {
        let azimuth = TAU * look as f64 / LOOKS as f64;
        let t = |cut: Option<super::Cut>| cut.map_or(f64::NAN, |cut| cut.t);
        piece.length_mm - t(cut_at(&piece.near, azimuth)) - t(cut_at(&piece.far, -azimuth))
    };
    let shortest = (0..LOOKS).map(between).fold(f64::MAX, f64::min);
    if shortest < SHORTEST {
        return Err(Problem::new("the piece is too short to hold its two cuts")
            .figures(format!(
                "{shortest:.1} mm are left between them, of {:.1} mm between its work points",
                piece.length_mm
            ))
            .help("move its ends apart"));
    }
    let tip_to_tip_mm = piece.length_mm - near.lowest.0 - far.lowest.0;
    Ok(SolvedPiece {
        near,
        far,
        tip_to_tip_mm,
        twist_deg: twist_deg(piece),
    })
}

fn twist_deg(piece: &Piece) -> Option<f64> {
    let [near, far] = piece.fronts;
    let frame = piece.near.frame;
    let azimuth = |front: glam::DVec3| front.dot(frame.right).atan2(front.dot(frame.front));
    let twist = azimuth(far?) - azimuth(near?);
    // Half a turn is one to the right.
    Some((PI - (PI - twist).rem_euclid(TAU)).to_degrees())
}

impl SolvedPiece {
    /// The far cut on the near end's wrap, as a curve over the same girth from the same seam: y is t counted from the
    /// near end's work point along the piece, in millimetres.
    pub fn far_on_near_wrap(&self, length_mm: f64) -> BezPath {
        let girth = TAU * self.far.girth_radius_mm;
        // Its azimuths run the other way, and so does its t.
        let flip = Affine::new([-1.0, 0.0, 0.0, -1.0, girth, length_mm]);
        (flip * self.far.path.clone()).reverse_subpaths()
    }
}
