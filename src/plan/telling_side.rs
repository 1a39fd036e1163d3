//! By which side of an end that is cut already its FRONT is found: where the tube is longest or shortest, if that is one place.

use std::f64::consts::{PI, TAU};

use super::piece::{Kind, is_alike_turned_over};
use crate::job::End;
use crate::section::Profile;
use crate::solver::cut_at;

/// Places looked at round the end.
const PLACES: u32 = 720;
/// What differs by less in length is not told apart by eye, in millimetres.
const BY_EYE_MM: f64 = 0.25;
/// What is no farther round than this from the longest or shortest place is that place, in radians.
const SAME_PLACE: f64 = PI / 6.0;

/// A side of an end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TellingSide {
    /// From FRONT round to it, to the right with that end up, in millimetres; to the left below 0.
    pub(crate) right_mm: f64,
    /// Whether the tube is longest there, else shortest.
    pub(crate) is_longest: bool,
}

impl Kind {
    /// The side of an end from which FRONT is found, the nearer one of two; none where neither is one place alone, or two
    /// places of an end that is alike turned half round.
    pub(crate) fn telling_side(&self, end: usize) -> Option<TellingSide> {
        let own = [&self.piece.near, &self.piece.far][end];
        let (curve, girth) = (self.curve(end), own.tube.section.girth());
        let sides = [(curve.lowest.1, true), (curve.highest.1, false)];
        let telling = sides.into_iter().filter(|(azimuth, _)| is_alone(own, *azimuth));
        let sides = telling.map(|(azimuth, is_longest)| TellingSide {
            right_mm: (azimuth / TAU - (azimuth / TAU).round()) * girth,
            is_longest,
        });
        sides.min_by(|a, b| a.right_mm.abs().total_cmp(&b.right_mm.abs()))
    }
}

/// Whether no other place of an end is nearly as long, or as short, as that at an azimuth.
fn is_alone(end: &End, azimuth: f64) -> bool {
    let height = |azimuth: f64| cut_at(end, azimuth).map(|cut| cut.t);
    let Some(here) = height(azimuth) else { return false };
    let beside = |turn: f64| turn.min(TAU - turn) <= SAME_PLACE;
    let fits_either_way = is_alike_turned_over(end);
    let turns = (0..PLACES).map(|place| TAU * f64::from(place) / f64::from(PLACES));
    let is_same = |turn: f64| beside(turn) || fits_either_way && beside((turn + PI).rem_euclid(TAU));
    let mut others = turns.filter(|turn| !is_same(*turn));
    others.all(|turn| height(azimuth + turn).is_some_and(|there| (there - here).abs() > BY_EYE_MM))
}
