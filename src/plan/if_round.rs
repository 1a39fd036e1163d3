//! How far off it would be to take a body for round that isn't.

use crate::job::{Assembly, HoleInBody, TubeInSpace, WhichEnd};
use crate::solver::gap_if_round;

/// What a landing would be like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum IfRound {
    /// The largest gap, in millimetres, and where on the tube's girth, in degrees.
    Gap {
        /// In millimetres.
        largest_mm: f64,
        /// On the piece's own girth scale.
        at_deg: f64,
    },
    /// A part of the wall would miss the round body.
    Misses,
}

impl IfRound {
    /// None where the body is round.
    pub(crate) fn new(assembly: &Assembly, tube: &TubeInSpace, hole: &HoleInBody) -> Option<Self> {
        let (end, round) = assembly.end_if_round(tube, hole)?;
        let which = WhichEnd::BOTH[usize::from(!hole.is_at_start)];
        Some(gap_if_round(&end, round).map_or(Self::Misses, |gap| Self::Gap {
            largest_mm: gap.largest_mm,
            at_deg: which.turned(gap.azimuth.to_degrees()).rem_euclid(360.0),
        }))
    }
}
