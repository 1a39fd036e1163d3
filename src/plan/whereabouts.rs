//! Where a place in space is found with a tape: on a body, or along a tube.

use glam::DVec3;

use super::clash::Clash;
use super::leg::nearest;
use crate::job::{Assembly, BodyInSpace, TubeInSpace};

/// A place no farther from a body's skin than this is told by the body, in millimetres.
const NEAR_SKIN_MM: f64 = 50.0;

/// Where a place is, for who has a tape and no axes.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Whereabouts {
    /// On a body.
    Body {
        /// Its name.
        name: String,
        /// What its ends are called, the one that is measured from first; of a ball its pole.
        ends: [&'static str; 2],
        /// From the end, in millimetres; on a plate up from its cross.
        along_mm: f64,
        /// Round from the zero line to the right, in millimetres; on a plate to the right of its cross.
        round_mm: f64,
        /// The same in degrees; none on a plate.
        round_deg: Option<f64>,
    },
    /// Along a tube's centre line from its start.
    Tube {
        /// Its name.
        name: String,
        /// In millimetres.
        along_mm: f64,
    },
    /// By its coordinates, where there is neither.
    Space([f64; 3]),
}

impl Whereabouts {
    /// Where a clash is: along the tube that others land on where it is on its skin; the body in it where its skin is near, else
    /// the body whose skin is nearest, where one is near; else the tube in it whose centre line is nearest.
    pub(crate) fn of(assembly: &Assembly, clash: &Clash) -> Self {
        let along_tube = |tube: usize| {
            let tube = &assembly.tubes[tube];
            let (off, along_mm) = along(tube, clash.at)?;
            let name = tube.name.clone();
            Some((off, Self::Tube { name, along_mm }))
        };
        let on = clash.way.body().and_then(|body| assembly.bodies[body].of_tube);
        if let Some((_, place)) = on.and_then(along_tube) {
            return place;
        }
        let bodies = assembly.bodies.iter().enumerate();
        let of_its_own = bodies.filter(|(_, body)| body.of_tube.is_none() && body.of_body.is_none());
        let near = of_its_own.filter_map(|(index, body)| {
            let (off, place) = on_body(body, clash.at)?;
            Some((clash.way.body() != Some(index), off, place))
        });
        if let Some((.., place)) = near.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))) {
            return place;
        }
        let tubes = clash.way.tubes().filter_map(along_tube);
        let nearest = tubes.min_by(|a, b| a.0.total_cmp(&b.0));
        nearest.map_or_else(|| Self::Space(clash.at.to_array()), |(_, place)| place)
    }
}

/// How far off the skin the place is, and where on it; none where that is too far, or past the body's ends.
fn on_body(body: &BodyInSpace, at: DVec3) -> Option<(f64, Whereabouts)> {
    let (along_mm, round) = body.surface.place_of(at);
    let off = (body.surface.site(along_mm, round).point - at).length();
    let is_beside = body
        .reach_along()
        .is_none_or(|[low, high]| (low - NEAR_SKIN_MM..=high + NEAR_SKIN_MM).contains(&along_mm));
    if !is_beside || off.is_nan() || off > NEAR_SKIN_MM {
        return None;
    }
    let girth = body.surface.girth(along_mm);
    let place = Whereabouts::Body {
        name: body.name.clone(),
        ends: body.length_mm().map_or(["POLE"; 2], |_| body.end_names()),
        along_mm,
        round_mm: body.surface.arc_of(along_mm, round),
        round_deg: girth.map(|_| round.to_degrees()),
    };
    Some((off, place))
}

/// How far off a tube's centre line the place is, and how far along it.
fn along(tube: &TubeInSpace, at: DVec3) -> Option<(f64, f64)> {
    let mut passed = 0.0;
    let legs = tube.nodes.windows(2).map(|leg| {
        let (foot, _) = nearest((leg[0], leg[1]), (at, at));
        let found = ((foot - at).length(), passed + (foot - leg[0]).length());
        passed += (leg[1] - leg[0]).length();
        found
    });
    legs.min_by(|a, b| a.0.total_cmp(&b.0))
}
