//! An end of a job's tube, to be offered up at the trial fit.

use std::sync::Arc;

use glam::DVec3;

use super::{Assembly, BodyInSpace, Ending, Join, OfferedUp, Piece, Reading, Regrown, Thing, TubeInSpace};
use crate::body::{Body, Several};

/// A trial fit of a job's end as it was asked about: where drains land is not known yet.
#[derive(Debug, Clone)]
pub struct EndRequest {
    /// The job.
    pub assembly: Arc<Assembly>,
    /// Which tube, by index.
    pub tube: usize,
    /// 0 for its start, 1 for its end; one that can be offered up.
    pub side: usize,
    /// As of a [`super::Trial`].
    pub readings: Vec<Reading>,
    /// Likewise.
    pub read_within_mm: f64,
    /// Likewise.
    pub gap_limit_mm: f64,
}

/// Which end of which tube of a job is offered up.
#[derive(Debug, Clone)]
pub struct EndOfJob {
    /// The job, its drains where they land.
    pub assembly: Arc<Assembly>,
    /// Which tube, by index.
    pub tube: usize,
    /// 0 for its start, 1 for its end.
    pub side: usize,
    /// The piece whose end it is.
    pub piece: Piece,
}

impl EndOfJob {
    /// The tube.
    pub fn tube(&self) -> &TubeInSpace {
        &self.assembly.tubes[self.tube]
    }

    /// The body on which the end lands; none of a mitered one.
    pub fn body(&self) -> Option<&BodyInSpace> {
        let body = self.tube().ends()[self.side].body()?;
        Some(&self.assembly.bodies[body])
    }
}

impl TubeInSpace {
    /// Whether an end meets what it is cut for so that gaps can be read there, by 0 for the start and 1 for the end.
    pub fn can_be_offered(&self, side: usize) -> bool {
        match self.ends()[side].ending {
            Ending::Lands { join, .. } => join == Join::SetOn,
            Ending::Miter(_) => true,
            Ending::Square => false,
        }
    }
}

impl BodyInSpace {
    /// Between an axis that leaves it at `at` and its own axis, of what has none its skin there, in degrees, 0 to 90.
    fn angle_deg(&self, axis: DVec3, at: DVec3) -> f64 {
        let (along, across) = if self.outside.ends().is_some() {
            (self.axis().dot(axis).abs(), self.axis().cross(axis).length())
        } else {
            let (along, round) = self.surface.place_of(at);
            let normal = self.surface.site(along, round).normal;
            (axis.cross(normal).length(), axis.dot(normal).abs())
        };
        across.atan2(along).to_degrees()
    }

    /// Its radius under `at`, by its girth; none of what has no one radius there.
    pub fn radius_at(&self, at: DVec3) -> Option<f64> {
        if self.outside.ends().is_some() {
            let (along, _) = self.surface.place_of(at);
            return Some(self.surface.girth(along)? / std::f64::consts::TAU);
        }
        if self.outside.is_flat() || self.outside.rim_mm().is_some() {
            return None;
        }
        Some(self.outside.core()?.reach_mm)
    }

    /// How far an axis passes its own to the right, in millimetres; of what has none 0.
    fn passed_by(&self, at: DVec3, right: DVec3) -> f64 {
        match self.outside.ends() {
            Some(_) => (at - self.placement.translation).dot(right),
            None => 0.0,
        }
    }
}

impl Assembly {
    /// A tube's end to be offered up, by 0 for its start and 1 for its end, and the piece whose end it is. None where there is
    /// no gap that could be read ([`TubeInSpace::can_be_offered`]).
    pub fn offered_up(&self, tube: &TubeInSpace, side: usize) -> Option<(Piece, OfferedUp)> {
        if !tube.can_be_offered(side) {
            return None;
        }
        let piece = self.end_piece(tube, side == 0)?;
        let front = piece.fronts[side]?;
        let offered = match &tube.ends()[side].ending {
            Ending::Lands { body, also, .. } => self.on_body(&piece, side, front, (*body, also)),
            Ending::Miter(other) => mitered(&piece, side, front, *other),
            Ending::Square => return None,
        };
        Some((piece, offered))
    }

    fn on_body(&self, piece: &Piece, side: usize, acute: DVec3, (body, also): (usize, &[usize])) -> OfferedUp {
        let end = piece.end(side).clone();
        let on = &self.bodies[body];
        let (at, axis) = (end.frame.origin, end.frame.axis);
        let mut asked = [None; Thing::ALL.len()];
        asked[Thing::Angle as usize] = Some(on.angle_deg(axis, at));
        asked[Thing::Turned as usize] = Some(0.0);
        asked[Thing::Aside as usize] = Some(on.passed_by(at, acute.cross(axis)));
        asked[Thing::Radius as usize] = on.radius_at(at);
        // On whatever is round it is the same as standing aside.
        asked[Thing::Sideways as usize] = on.outside.is_flat().then_some(0.0);
        let others = also.iter().map(|other| self.bodies[*other].surface.clone() as _);
        OfferedUp {
            regrown: regrown(on, others.collect()),
            end,
            flat: None,
            acute,
            asked,
        }
    }
}

fn regrown(on: &BodyInSpace, others: Vec<Arc<dyn Body + Send + Sync>>) -> Regrown {
    let surface = on.surface.clone();
    Arc::new(move |by| {
        let own: Arc<dyn Body + Send + Sync> = if by == 0.0 {
            surface.clone()
        } else {
            (by > -surface.deepest_mm()).then(|| surface.grown(by))?
        };
        if others.is_empty() {
            return Some(own);
        }
        Some(Arc::new(Several::new(
            std::iter::once(own).chain(others.iter().cloned()).collect(),
        )))
    })
}

/// Against the cut of the tube that comes along `other`. The front of a miter is its long side, the acute angle to the cut on
/// the other one.
fn mitered(piece: &Piece, side: usize, long_side: DVec3, other: DVec3) -> OfferedUp {
    let end = piece.end(side).clone();
    let turn = end.frame.axis.dot(other).clamp(-1.0, 1.0).acos().to_degrees();
    let mut asked = [None; Thing::ALL.len()];
    asked[Thing::Angle as usize] = Some(180.0 - turn);
    asked[Thing::Turned as usize] = Some(0.0);
    asked[Thing::Sideways as usize] = Some(0.0);
    let cut = end.landing.clone();
    OfferedUp {
        end,
        flat: None,
        acute: -long_side,
        regrown: Arc::new(move |_| Some(cut.clone())),
        asked,
    }
}
