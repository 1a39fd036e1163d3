//! Distances that were asked for and are not kept, by tubes that land beside what they are to keep from: by what moves of their
//! landings they are.

use std::collections::HashMap;
use std::f64::consts::TAU;

use glam::{DAffine3, DVec3};

use super::apart::Obstacle;
use super::clash::{Clash, body_apart};
use super::hole::PlacedHole;
use super::in_the_way::{InTheWay, Towards};
use super::leg::legs;
use super::way_out::least_clear;
use crate::job::{Assembly, BodyInSpace, Strip};

/// Of all copies of a tube and one thing the worst so many are looked at, which are told one by one.
const OF_COPIES: usize = 3;
/// So many in all.
const MOST: usize = 24;

/// All of them, by what is in the way of what.
#[derive(Debug, Default)]
pub(crate) struct NotKept(HashMap<InTheWay, Asked>);

/// A distance that is not kept.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    /// What was asked for, in millimetres.
    pub(super) asked_mm: f64,
    /// How far the landing would have to be moved over the skin each of the two ways in which the strip is left, in
    /// millimetres; none where that isn't known.
    pub(super) ways: Option<[f64; 2]>,
    /// The landing that would be moved, by its place in the list of holes.
    pub(super) hole: usize,
}

impl NotKept {
    /// Of these clashes, of tubes that have these holes.
    pub(crate) fn new(assembly: &Assembly, holes: &[PlacedHole], clashes: &[Clash]) -> Self {
        let mut found: Vec<(&Clash, usize, &BodyInSpace)> = clashes
            .iter()
            .filter(|clash| clash.asked_mm > 0.0)
            .filter_map(|clash| {
                let InTheWay::TubeAndBody { tube, body } = clash.way else {
                    return None;
                };
                let thing = &assembly.bodies[body];
                let (on, _) = thing.of_body?;
                let is_beside = |hole: &PlacedHole| hole.of_tube == tube && hole.hole.body == on;
                let beside = (0..holes.len()).filter(|hole| is_beside(&holes[*hole]));
                let apart = |hole: &usize| holes[*hole].hole.drilling.frame.origin.distance(clash.at);
                let nearest = beside.min_by(|a, b| apart(a).total_cmp(&apart(b)))?;
                Some((clash, nearest, thing))
            })
            .collect();
        found.sort_by(|(a, ..), (b, ..)| (a.apart_mm - a.asked_mm).total_cmp(&(b.apart_mm - b.asked_mm)));
        let (legs, pieces) = if found.is_empty() {
            Default::default()
        } else {
            legs(assembly)
        };
        let mut told: HashMap<(&str, &str), usize> = HashMap::new();
        let mut all = HashMap::new();
        for (clash, number, thing) in found {
            if all.contains_key(&clash.way) {
                continue;
            }
            let hole = &holes[number];
            let alike = told
                .entry((&assembly.tubes[hole.of_tube].shared_name, &thing.name))
                .or_default();
            let ways = (*alike < OF_COPIES && all.len() < MOST).then(|| {
                let own = legs.iter().zip(&pieces).filter(|(leg, _)| leg.tube == hole.of_tube);
                let own: Vec<_> = own.collect();
                let is_clear = |thing: &BodyInSpace| {
                    let obstacle = Obstacle::new(thing);
                    let mut apart = own
                        .iter()
                        .map(|(leg, piece)| body_apart((leg, piece), (thing, &obstacle), clash.asked_mm));
                    apart.all(|apart| apart.is_none())
                };
                ways(assembly, hole, thing, clash.asked_mm - clash.apart_mm, &is_clear)
            });
            *alike += 1;
            let asked = Asked {
                asked_mm: clash.asked_mm,
                ways: ways.flatten(),
                hole: number,
            };
            all.insert(clash.way, asked);
        }
        Self(all)
    }

    pub(super) fn of(&self, way: InTheWay) -> Option<Asked> {
        self.0.get(&way).copied()
    }
}

/// How far the tube of a hole would have to be moved over its body's skin each way that leads off a thing on it. It is taken
/// as fixed and the thing is moved the other way; `is_clear` tells whether the thing is far enough from it. `first` is a
/// guess, in millimetres.
fn ways(
    assembly: &Assembly,
    hole: &PlacedHole,
    thing: &BodyInSpace,
    first: f64,
    is_clear: &dyn Fn(&BodyInSpace) -> bool,
) -> Option<[f64; 2]> {
    let body = &assembly.bodies[hole.hole.body];
    let is_it = |index: &usize| {
        let kept_off = assembly.kept_off(hole.hole.body, *index);
        kept_off.is_some_and(|found| assembly.bodies[found].name == thing.name)
    };
    let strip = body.keep_off[(0..body.keep_off.len()).find(is_it)?].strip;
    let [one, other] = Towards::of(strip).map(|towards| {
        least_clear(first, &|by| {
            let back = moved(body, strip, hole, -towards.sign() * by);
            is_clear(&BodyInSpace {
                placement: back * thing.placement,
                ..thing.clone()
            })
        })
    });
    Some([one?, other?])
}

/// What is moved over a body's skin at a hole's place so far, in millimetres: along to the far end, or round to the right.
fn moved(body: &BodyInSpace, strip: Strip, hole: &PlacedHole, by_mm: f64) -> DAffine3 {
    let (along, round) = (hole.hole.along_mm, hole.hole.round);
    let straight = |to: DVec3| {
        let from = body.surface.site(along, round).point;
        DAffine3::from_translation(by_mm * (to - from).normalize())
    };
    match (strip, hole.girth) {
        (Strip::Round(_), _) => straight(body.surface.site(along + 1.0, round).point),
        (Strip::Along { .. }, None) => straight(body.surface.site(along, round + 1.0).point),
        (Strip::Along { .. }, Some(girth)) => {
            let turned = DAffine3::from_rotation_y(TAU * by_mm / girth);
            body.placement * turned * body.placement.inverse()
        }
    }
}
