//! What is in the way of what: tube against tube, tube against body, distances to be kept. Tubes are taken as they are cut.

use glam::{DVec2, DVec3};

use super::apart::{Between, CutTube, MEETING, Obstacle, Other, between, deepest, thickness};
use super::leg::{Leg, legs, near_pairs, nearest};
use crate::job::{Assembly, BodyInSpace, Extent, Piece};
use crate::section::Profile;

/// Overlaps below this are rounding, in millimetres.
const SLIGHT: f64 = 0.01;

/// Axes that turn from each other by less, in radians, run alongside.
const ALONGSIDE: f64 = 1e-6;

/// Two things that are nearer to each other than they may be.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// In words: "riser 1 against riser 2".
    pub what: String,
    /// Between the tubes as they are cut, or a tube and a body, in millimetres. Where they overlap it is below 0: how deep
    /// the wall of one reaches into the other; of tubes that cross on full stretches, how far they would have to be moved
    /// along the common perpendicular of their axes.
    pub apart_mm: f64,
    /// Whether they may be farther apart, though not nearer: it was given up before it was certain.
    pub is_bound: bool,
    /// What was asked for, in millimetres: 0, or the distance to be kept.
    pub asked_mm: f64,
    /// Where they are nearest, in space.
    pub at: DVec3,
}

/// How far two things are apart, and where.
#[derive(Debug, Clone, Copy)]
struct Apart {
    mm: f64,
    is_bound: bool,
    at: DVec3,
}

impl Apart {
    fn new(found: &Between) -> Self {
        Self {
            mm: found.apart_mm,
            is_bound: found.is_bound,
            at: found.places[0].midpoint(found.places[1]),
        }
    }

    fn overlapping((depth, at): (f64, DVec3)) -> Self {
        Self {
            mm: -depth,
            is_bound: false,
            at,
        }
    }

    fn clash(self, what: String, asked_mm: f64) -> Clash {
        Clash {
            what,
            apart_mm: self.mm,
            is_bound: self.is_bound,
            asked_mm,
            at: self.at,
        }
    }
}

/// Every clash of an assembly.
pub fn clashes(assembly: &Assembly) -> Vec<Clash> {
    let legs = legs(assembly);
    let mut found = tubes_against_tubes(assembly, &legs);
    found.extend(tubes_against_bodies(assembly, &legs));
    found
}

fn tubes_against_tubes(assembly: &Assembly, legs: &[Leg]) -> Vec<Clash> {
    let near = near_pairs(legs).into_iter();
    let near = near.filter(|(a, b)| a.apart_at_least(b) < -SLIGHT && !a.is_joined_to(b, assembly));
    near.filter_map(|(a, b)| {
        let apart = tubes_apart(assembly, a, b, 0.0)?;
        let names = [a, b].map(|leg| &assembly.tubes[leg.tube].name);
        Some(apart.clash(format!("{} against {}", names[0], names[1]), 0.0))
    })
    .collect()
}

/// How far two tubes are apart, and where; `None` where that is as much as was asked for.
fn tubes_apart(assembly: &Assembly, a: &Leg, b: &Leg, asked: f64) -> Option<Apart> {
    let pieces = [a.piece(assembly)?, b.piece(assembly)?];
    let spared = |spared: f64| [0, 1].map(|side: usize| CutTube::new(&pieces[side], spared));
    let found = {
        let [one, other] = spared(spare(asked) / 2.0);
        nearer_than_asked(&one, &other, asked)?
    };
    if found.apart_mm >= MEETING {
        return Some(Apart::new(&found));
    }
    if let Some(crossing) = crossing(a, b, &pieces) {
        return Some(crossing);
    }
    let [one, other] = spared(0.0);
    let depths = [
        deepest(&one, &|place| other.depth(place), found.azimuth),
        deepest(&other, &|place| one.depth(place), 0.0),
    ];
    Some(overlapping(&found, depths))
}

/// Where overlaps are all that matters, walls are spared so much that touching tubes don't meet, in millimetres.
fn spare(asked: f64) -> f64 {
    if asked > 0.0 { 0.0 } else { SLIGHT }
}

fn nearer_than_asked(tube: &CutTube, other: &impl Other, asked: f64) -> Option<Between> {
    between(tube, other, (asked - SLIGHT).max(MEETING))
}

/// The deepest of what was found where two things meet.
fn overlapping(found: &Between, depths: impl IntoIterator<Item = Option<(f64, DVec3)>>) -> Apart {
    let least = (SLIGHT, Apart::new(found).at);
    let deepest = depths.into_iter().flatten();
    Apart::overlapping(deepest.fold(least, |best, next| if next.0 > best.0 { next } else { best }))
}

/// Tubes whose axes pass each other where both are whole all round: their reaches towards each other less what is between
/// their axes.
fn crossing(a: &Leg, b: &Leg, pieces: &[Piece; 2]) -> Option<Apart> {
    let [one, other] = [0, 1].map(|side: usize| pieces[side].near.frame);
    let across = one.axis.cross(other.axis);
    if across.length() < ALONGSIDE {
        return None;
    }
    let (p, q) = nearest(a.full, b.full);
    let is_at_an_end = [a.full.0, a.full.1].contains(&p) || [b.full.0, b.full.1].contains(&q);
    let is_whole = [(a.full, one.axis), (b.full, other.axis)]
        .iter()
        .all(|((from, to), axis)| (*to - *from).dot(*axis) > 0.0);
    if is_at_an_end || !is_whole {
        return None;
    }
    let way = across.normalize();
    let reach = |piece: &Piece| {
        let frame = piece.near.frame;
        let towards = DVec2::new(way.dot(frame.front), way.dot(frame.right));
        piece.near.tube.section.reach_towards(towards)
    };
    let apart = (q - p).length() - reach(&pieces[0]) - reach(&pieces[1]);
    (apart < -SLIGHT).then(|| Apart::overlapping((-apart, p.midpoint(q))))
}

fn tubes_against_bodies(assembly: &Assembly, legs: &[Leg]) -> Vec<Clash> {
    let mut found = Vec::new();
    for (index, body) in assembly.bodies.iter().enumerate() {
        let kept: Vec<(&str, f64)> = assembly
            .keep_clear
            .iter()
            .filter(|keep| keep.1 == index)
            .map(|keep| (keep.0.as_str(), keep.2))
            .collect();
        // Tubes are held against tubes elsewhere, and an endless plate may end before it is met: both only where asked for.
        let is_endless = body.extent == Extent::Flat && body.edges_mm.is_none();
        let only_if_asked = body.of_tube.is_some() || is_endless;
        if only_if_asked && kept.is_empty() {
            continue;
        }
        let obstacle = Obstacle::new(body);
        for leg in legs.iter().filter(|leg| body.of_tube != Some(leg.tube)) {
            let tube = &assembly.tubes[leg.tube];
            let asked = kept
                .iter()
                .filter(|keep| keep.0 == tube.shared_name)
                .map(|keep| keep.1)
                .fold(0.0, f64::max);
            if only_if_asked && asked == 0.0 || leg.lands(assembly, index) {
                continue;
            }
            let apart = match body.of_tube {
                Some(other) => nearest_leg(assembly, legs, leg, other, asked),
                None => body_apart(assembly, leg, (body, &obstacle), asked),
            };
            let what = || format!("{} against {}", tube.name, body.name);
            found.extend(apart.map(|apart| apart.clash(what(), asked)));
        }
    }
    found
}

/// How far a leg is from the nearest leg of a tube.
fn nearest_leg(assembly: &Assembly, legs: &[Leg], leg: &Leg, tube: usize, asked: f64) -> Option<Apart> {
    let from = legs.partition_point(|other| other.tube < tube);
    let others = legs[from..].iter().take_while(|other| other.tube == tube);
    others
        .filter(|other| leg.apart_at_least(other) < asked - SLIGHT && !leg.is_joined_to(other, assembly))
        .filter_map(|other| tubes_apart(assembly, leg, other, asked))
        .min_by(|a, b| a.mm.total_cmp(&b.mm))
}

/// How far a leg is from a body, and where; `None` where that is as much as was asked for.
fn body_apart(
    assembly: &Assembly,
    leg: &Leg,
    (body, obstacle): (&BodyInSpace, &Obstacle),
    asked: f64,
) -> Option<Apart> {
    if apart_at_least(leg, body) >= asked - SLIGHT {
        return None;
    }
    let piece = leg.piece(assembly)?;
    if asked == 0.0 && is_one_of_its_sides(&piece, body) {
        return None;
    }
    let found = nearer_than_asked(&CutTube::new(&piece, spare(asked)), obstacle, asked)?;
    if found.apart_mm >= MEETING {
        return Some(Apart::new(&found));
    }
    let tube = CutTube::new(&piece, 0.0);
    let depth = deepest(&tube, &|place| obstacle.depth(place), found.azimuth);
    Some(overlapping(&found, [depth]))
}

/// No part of the leg is nearer to the body, in millimetres.
fn apart_at_least(leg: &Leg, body: &BodyInSpace) -> f64 {
    let origin = body.placement.translation;
    let from = |stretch: (DVec3, DVec3), reach: f64| {
        let (p, q) = nearest(leg.axis, stretch);
        (p - q).length() - leg.radius - reach
    };
    match (body.extent, body.edges_mm) {
        (Extent::Round { length, radii }, _) => from((origin, origin + length * body.axis()), radii.0.max(radii.1)),
        (Extent::Ball(radius), _) => from((origin, origin), radius),
        (Extent::Flat, Some([wide, high])) => from(
            (origin, origin),
            DVec3::new(wide / 2.0, high / 2.0, thickness(body)).length(),
        ),
        (Extent::Flat, None) => {
            let normal = body.placement.transform_vector3(DVec3::Z);
            let height = |place: DVec3| (place - origin).dot(normal);
            height(leg.axis.0).min(height(leg.axis.1)) - leg.radius
        }
    }
}

/// Whether a tube with sides has one in the plate's face: then the plate is given so that others can land on that side.
fn is_one_of_its_sides(piece: &Piece, body: &BodyInSpace) -> bool {
    if body.extent != Extent::Flat || !piece.near.tube.has_sides() {
        return false;
    }
    let normal = body.placement.transform_vector3(DVec3::Z);
    let frame = piece.near.frame;
    let towards = DVec2::new(normal.dot(frame.front), normal.dot(frame.right));
    let top = (frame.origin - body.placement.translation).dot(normal) + piece.near.tube.section.reach_towards(towards);
    normal.dot(frame.axis).abs() < ALONGSIDE && top.abs() < SLIGHT
}
