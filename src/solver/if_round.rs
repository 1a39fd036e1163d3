//! What it would cost to take a body for round that isn't.

use std::f64::consts::TAU;

use super::extreme::highest;
use super::tube_end::cut_at;
use crate::body::Body;
use crate::job::End;

/// Azimuths at which it is made sure that the round body is met at all.
const LOOKS: usize = 720;

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
    let is_met = (0..LOOKS).all(|look| stands_off(TAU * look as f64 / LOOKS as f64).is_some());
    if !is_met {
        return None;
    }
    let most = highest(|azimuth| stands_off(azimuth).unwrap_or(f64::MIN));
    let least = highest(|azimuth| -stands_off(azimuth).unwrap_or(f64::MAX));
    Some(RoundGap {
        largest_mm: most.0 + least.0,
        azimuth: most.1,
    })
}
