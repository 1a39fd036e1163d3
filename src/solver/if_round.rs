//! What it would cost to take a body for round that isn't.

use super::extrema::highest;
use super::tube_end::cut_at;
use crate::body::Body;
use crate::job::End;

/// The gap that an end cut to fit a round body would leave on the real one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoundGap {
    /// The largest, in millimetres, with the tube pushed in until it first touches.
    pub largest_mm: f64,
    /// Where it is, in radians of the end's azimuth.
    pub azimuth: f64,
}

/// The gap of `end`, cut as if it landed on `round`; `None` where a part of its wall would miss one of the two.
pub fn gap_if_round(end: &End, round: std::sync::Arc<dyn Body + Send + Sync>) -> Option<RoundGap> {
    let as_round = End {
        landing: round,
        ..end.clone()
    };
    let stands_off = |azimuth: f64| Some(cut_at(&as_round, azimuth)?.t - cut_at(end, azimuth)?.t);
    let most = highest(stands_off)?;
    let least = highest(|azimuth| Some(-stands_off(azimuth)?))?;
    Some(RoundGap {
        largest_mm: most.0 + least.0,
        azimuth: most.1,
    })
}
