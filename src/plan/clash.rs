//! What is in the way of what: tube against tube, tube against body, distances to be kept. Tubes are taken as they are cut.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use glam::{DVec2, DVec3};

use super::apart::{Between, CutTube, MEETING, Obstacle, Other, between, deepest};
use super::in_the_way::{InTheWay, Move};
use super::leg::{Leg, legs, nearest};
use super::near::{Boxes, Told};
use crate::job::{Assembly, BodyInSpace, Piece};
use crate::section::Profile;

/// Overlaps below this are rounding, in millimetres.
const SLIGHT: f64 = 0.01;

/// Where everything is in everything's way, as with copies by a slip too near to each other, a tube or a hole is told with so
/// many others: what is left out is told with others in its turn, and no pile takes time that grows with its square.
pub(super) const MOST_TOLD: usize = 8;

/// Axes that turn from each other by less, in radians, run alongside.
const ALONGSIDE: f64 = 1e-6;

/// Two things that are nearer to each other than they may be.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// What is in the way of what.
    pub way: InTheWay,
    /// Between the tubes as they are cut, or a tube and a body, in millimetres. Where they overlap it is below 0: how deep
    /// the wall of one reaches into the other; of tubes that cross on full stretches, how far they would have to be moved
    /// along the common perpendicular of their axes; of a landing, how far it would have to be moved over the skin.
    pub apart_mm: f64,
    /// Whether they may be farther apart, though not nearer: it was given up before it was certain.
    pub is_bound: bool,
    /// What was asked for, in millimetres: 0, or the distance to be kept.
    pub asked_mm: f64,
    /// The least move of a landing by which it leaves what it lies over, or keeps the distance that was asked for, where it is
    /// known.
    pub leaves: Option<Move>,
    /// Where they are nearest, in space.
    pub at: DVec3,
}

/// How far two things are apart, and where.
#[derive(Debug, Clone, Copy)]
pub(super) struct Apart {
    pub(super) mm: f64,
    pub(super) is_bound: bool,
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

    /// Of two tubes in one place: the bore of each lies its wall's thickness under the skin of the other.
    fn one_in_the_other(leg: &Leg, wall_mm: f64) -> Self {
        Self::overlapping((wall_mm, leg.axis.0.midpoint(leg.axis.1)))
    }

    fn clash(self, way: InTheWay, asked_mm: f64) -> Clash {
        Clash {
            way,
            apart_mm: self.mm,
            is_bound: self.is_bound,
            asked_mm,
            leaves: None,
            at: self.at,
        }
    }
}

/// Every clash of an assembly.
pub fn clashes(assembly: &Assembly) -> Vec<Clash> {
    let (legs, pieces) = legs(assembly);
    let cut = Cut::new(assembly, &legs, &pieces);
    let mut found = cut.tubes_against_tubes();
    found.extend(cut.tubes_against_bodies());
    found
}

/// All legs, with the pieces that are cut for them.
pub(super) struct Cut<'a> {
    pub(super) assembly: &'a Assembly,
    pub(super) legs: &'a [Leg],
    pieces: &'a [Piece],
    /// Tubes as they are cut, by leg and by how far their walls are spared: the last few that were asked for.
    made: RefCell<HashMap<(usize, u64), Rc<CutTube>>>,
}

/// So many tubes as they are cut are kept, which take some tens of kilobytes each.
const MOST_MADE: usize = 256;

impl<'a> Cut<'a> {
    pub(super) fn new(assembly: &'a Assembly, legs: &'a [Leg], pieces: &'a [Piece]) -> Self {
        Self {
            assembly,
            legs,
            pieces,
            made: RefCell::default(),
        }
    }

    fn tubes_against_tubes(&self) -> Vec<Clash> {
        let (legs, assembly) = (self.legs, self.assembly);
        let owners = legs.iter().map(|leg| leg.tube).collect();
        let boxes = Boxes::new(legs.iter().map(Leg::bounds).collect(), owners);
        let mut told = Told::new(assembly.tubes.len(), MOST_TOLD);
        let mut found = Vec::new();
        boxes.each_pair(&mut told, |a, b| {
            let (one, other) = (&legs[a], &legs[b]);
            if one.apart_at_least(other) >= -SLIGHT || one.is_joined_to(other, assembly) {
                return false;
            }
            let tubes = [one, other].map(|leg| &assembly.tubes[leg.tube]);
            let is_same_place = one.tube != other.tube && tubes[0].is_same_as(tubes[1]);
            // All legs of one lie in those of the other: the first tells it.
            if is_same_place && (one.leg, other.leg) != (0, 0) {
                return false;
            }
            let pair = [one.tube, other.tube];
            let clash = if is_same_place {
                let wall_mm = assembly.stock[tubes[0].stock].tube.wall_mm;
                Some(Apart::one_in_the_other(one, wall_mm).clash(InTheWay::SamePlace(pair), 0.0))
            } else {
                let apart = self.legs_apart(a, b, 0.0);
                apart.map(|apart| apart.clash(InTheWay::Tubes(pair), 0.0))
            };
            let is_in_the_way = clash.is_some();
            found.extend(clash.map(|clash| ((a, b), clash)));
            is_in_the_way
        });
        found.sort_by_key(|(pair, _)| *pair);
        found.into_iter().map(|(_, clash)| clash).collect()
    }

    /// How far two legs are apart, and where; `None` where that is as much as was asked for.
    fn legs_apart(&self, a: usize, b: usize, asked: f64) -> Option<Apart> {
        let pieces = [&self.pieces[a], &self.pieces[b]];
        let spared = spare(asked) / 2.0;
        let found = nearer_than_asked(&self.made(a, spared), &*self.made(b, spared), asked)?;
        if found.apart_mm >= MEETING {
            return Some(Apart::new(&found));
        }
        if let Some(crossing) = crossing([&self.legs[a], &self.legs[b]], pieces) {
            return Some(crossing);
        }
        let [one, other] = [a, b].map(|leg| self.made(leg, 0.0));
        let depths = [
            deepest(&one, &|place| other.depth(place), None),
            deepest(&other, &|place| one.depth(place), None),
        ];
        Some(overlapping(&found, depths))
    }

    /// A leg as it is cut, its wall spared `spared` millimetres: made once for all that are held against it.
    fn made(&self, leg: usize, spared: f64) -> Rc<CutTube> {
        let mut made = self.made.borrow_mut();
        if made.len() >= MOST_MADE {
            made.clear();
        }
        let tube = made.entry((leg, spared.to_bits()));
        Rc::clone(tube.or_insert_with(|| Rc::new(CutTube::new(&self.pieces[leg], spared))))
    }

    fn tubes_against_bodies(&self) -> Vec<Clash> {
        let Self { assembly, legs, .. } = *self;
        let mut found = Vec::new();
        let kept = assembly.distances_kept();
        for (index, body) in assembly.bodies.iter().enumerate() {
            let kept = kept.get(&index);
            // Tubes are held against tubes elsewhere, and an endless plate may end before it is met: both only where asked for.
            let is_endless = body.outside.core().is_none();
            // What lies in the skin is in no tube's way before the body itself is.
            let is_flush = body.of_body.is_some_and(|(_, out_mm)| out_mm == 0.0);
            let only_if_asked = body.of_tube.is_some() || is_endless || is_flush;
            if only_if_asked && kept.is_none() {
                continue;
            }
            let obstacle = Obstacle::new(body);
            for (number, leg) in legs.iter().enumerate() {
                let tube = &assembly.tubes[leg.tube];
                let asked = kept
                    .and_then(|kept| kept.get(tube.shared_name.as_str()))
                    .copied()
                    .unwrap_or(0.0);
                let is_own = body.of_tube == Some(leg.tube);
                if is_own || only_if_asked && asked == 0.0 || leg.lands(assembly, index) {
                    continue;
                }
                let apart = self.leg_and_body(number, (index, &obstacle), asked);
                let way = InTheWay::TubeAndBody {
                    tube: leg.tube,
                    body: index,
                };
                found.extend(apart.map(|apart| apart.clash(way, asked)));
            }
        }
        found
    }

    /// How far a leg is from a body, which may be a tube; `None` where that is as much as was asked for.
    pub(super) fn leg_and_body(&self, leg: usize, (body, obstacle): (usize, &Obstacle), asked: f64) -> Option<Apart> {
        let body = &self.assembly.bodies[body];
        match body.of_tube {
            Some(other) => self.nearest_leg(leg, other, asked),
            None => body_apart((&self.legs[leg], &self.pieces[leg]), (body, obstacle), asked),
        }
    }

    /// How far a leg is from the nearest leg of a tube.
    fn nearest_leg(&self, number: usize, tube: usize, asked: f64) -> Option<Apart> {
        let leg = &self.legs[number];
        let from = self.legs.partition_point(|other| other.tube < tube);
        let others = (from..self.legs.len()).take_while(|other| self.legs[*other].tube == tube);
        others
            .filter(|other| leg.apart_at_least(&self.legs[*other]) < asked - SLIGHT)
            .filter(|other| !leg.is_joined_to(&self.legs[*other], self.assembly))
            .filter_map(|other| self.legs_apart(number, other, asked))
            .min_by(|a, b| a.mm.total_cmp(&b.mm))
    }
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
fn crossing([a, b]: [&Leg; 2], pieces: [&Piece; 2]) -> Option<Apart> {
    let [one, other] = pieces.map(|piece| piece.near.frame);
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
    let apart = (q - p).length() - reach(pieces[0]) - reach(pieces[1]);
    (apart < -SLIGHT).then(|| Apart::overlapping((-apart, p.midpoint(q))))
}

/// How far a leg is from a body, and where; `None` where that is as much as was asked for.
pub(super) fn body_apart(
    (leg, piece): (&Leg, &Piece),
    (body, obstacle): (&BodyInSpace, &Obstacle),
    asked: f64,
) -> Option<Apart> {
    if apart_at_least(leg, body) >= asked - SLIGHT {
        return None;
    }
    if asked == 0.0 && is_one_of_its_sides(piece, body) {
        return None;
    }
    let found = nearer_than_asked(&CutTube::new(piece, spare(asked)), obstacle, asked)?;
    if found.apart_mm >= MEETING {
        return Some(Apart::new(&found));
    }
    let tube = CutTube::new(piece, 0.0);
    let depth = deepest(&tube, &|place| obstacle.depth(place), Some(found.places[0]));
    Some(overlapping(&found, [depth]))
}

/// No part of the leg is nearer to the body, in millimetres.
fn apart_at_least(leg: &Leg, body: &BodyInSpace) -> f64 {
    let origin = body.placement.translation;
    if let Some(core) = body.outside.core() {
        let (p, q) = nearest(leg.axis, (origin, origin + core.length_mm * body.axis()));
        return (p - q).length() - leg.radius - core.reach_mm;
    }
    let normal = body.placement.transform_vector3(DVec3::Z);
    let height = |place: DVec3| (place - origin).dot(normal);
    height(leg.axis.0).min(height(leg.axis.1)) - leg.radius
}

/// Whether a tube with sides has one in the plate's face: then the plate is given so that others can land on that side.
fn is_one_of_its_sides(piece: &Piece, body: &BodyInSpace) -> bool {
    if !body.outside.is_flat() || !piece.near.tube.has_sides() {
        return false;
    }
    let normal = body.placement.transform_vector3(DVec3::Z);
    let frame = piece.near.frame;
    let towards = DVec2::new(normal.dot(frame.front), normal.dot(frame.right));
    let top = (frame.origin - body.placement.translation).dot(normal) + piece.near.tube.section.reach_towards(towards);
    normal.dot(frame.axis).abs() < ALONGSIDE && top.abs() < SLIGHT
}
