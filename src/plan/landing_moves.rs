//! By what one move over its body's skin a landing leaves all that it comes over, and comes over nothing else. Copies of a tube
//! are moved alike: one move clears all of them.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use super::flat_skin::FlatSkin;
use super::found::Met;
use super::hole::PlacedHole;
use super::in_the_way::{Move, Towards};
use super::landing::{Landing, reach};
use super::not_kept::NotKept;
use super::strips::Span;
use super::way_out::first_clear;
use crate::job::{Assembly, Ending};

/// Landings that move together: the tube's shared name, the body, and whether it is the tube's start.
pub(super) type Together<'a> = (&'a str, usize, bool);

/// The moves of an assembly's landings.
pub(super) struct LandingMoves<'a> {
    assembly: &'a Assembly,
    holes: &'a [PlacedHole],
    not_kept: &'a NotKept,
    /// Their places in the list of holes.
    together: HashMap<Together<'a>, Vec<usize>>,
    of_body: HashMap<usize, Vec<usize>>,
    kept: HashMap<usize, HashMap<&'a str, f64>>,
    /// Holes that were found in bodies that were asked about.
    found: RefCell<HashMap<usize, Rc<[Met]>>>,
    /// Moves that were asked for.
    known: RefCell<HashMap<Together<'a>, Option<Move>>>,
}

impl<'a> LandingMoves<'a> {
    pub(super) fn new(assembly: &'a Assembly, holes: &'a [PlacedHole], not_kept: &'a NotKept) -> Self {
        let mut moves = Self {
            assembly,
            holes,
            not_kept,
            together: HashMap::new(),
            of_body: HashMap::new(),
            kept: assembly.distances_kept(),
            found: RefCell::default(),
            known: RefCell::default(),
        };
        for (index, hole) in holes.iter().enumerate() {
            let together = moves.together_with(index);
            moves.together.entry(together).or_default().push(index);
            moves.of_body.entry(hole.hole.body).or_default().push(index);
        }
        moves
    }

    /// What moves with a hole, by its place in the list.
    pub(super) fn together_with(&self, hole: usize) -> Together<'a> {
        self.together_with_hole(&self.holes[hole])
    }

    fn together_with_hole(&self, hole: &PlacedHole) -> Together<'a> {
        let tube = &self.assembly.tubes[hole.of_tube];
        (&tube.shared_name, hole.hole.body, hole.hole.is_at_start)
    }

    /// The least move of those that there are, of a hole by its place in the list, with all that moves with it.
    pub(super) fn of(&self, hole: usize) -> Option<Move> {
        let together = self.together_with(hole);
        if let Some(known) = self.known.borrow().get(&together) {
            return *known;
        }
        let found = self.least(&self.together[&together], together);
        self.known.borrow_mut().insert(together, found);
        found
    }

    fn least(&self, all: &[usize], (_, body, _): Together<'a>) -> Option<Move> {
        let first = &self.holes[*all.first()?];
        if all.iter().any(|hole| self.holes[*hole].hole.is_made) {
            return None;
        }
        let body = &self.assembly.bodies[body];
        let flat = FlatSkin::new(body)?;
        let found = self.found_in(first.hole.body, &flat);
        let beyond = self.asked_beyond(all, &flat);
        let landings: Vec<Landing<'_>> = all.iter().map(|hole| self.landing(*hole, &flat, &beyond)).collect();
        let ways = Towards::ALL.into_iter().filter_map(|towards| {
            let stops: Vec<Span> = landings.iter().flat_map(|of| of.stops(&flat, towards)).collect();
            let past = |by: f64| {
                let mut landings = landings.iter();
                landings.find_map(|of| self.past_holes(of, (&flat, &found), (towards, by)))
            };
            Some((towards, first_clear(&stops, &past)?))
        });
        let mut least = Move::least(&flat.shape, first.of_tube, ways)?;
        // Moved at one end alone, a tube between two leans otherwise.
        let tube = &self.assembly.tubes[first.of_tube];
        let lands = |ending: &Ending| matches!(ending, Ending::Lands { .. });
        least.is_near |= lands(&tube.start) && lands(&tube.end);
        Some(least)
    }

    /// The holes that were found in a body.
    fn found_in(&self, body: usize, flat: &FlatSkin<'_>) -> Rc<[Met]> {
        let mut known = self.found.borrow_mut();
        let found = known.entry(body).or_insert_with(|| flat.all_met().into());
        Rc::clone(found)
    }

    /// By how much farther a strip is left, each of its two ways, than by what lies over it, for distances that were asked for:
    /// the most of these landings. None where one of them isn't known.
    fn asked_beyond(&self, all: &[usize], flat: &FlatSkin<'_>) -> Vec<Option<[f64; 2]>> {
        let strips = 0..flat.body.keep_off.len();
        let of_strip = strips.map(|index| {
            let asked = all.iter().filter_map(|hole| {
                let hole = &self.holes[*hole];
                let asked = self.not_kept.of(hole.way_of_kept_off(self.assembly, index)?)?;
                let parts = hole.parts_on_skin(self.assembly);
                let own = hole.leaves(self.assembly, flat, (index, &parts));
                Some(asked.ways.map(|ways| [0, 1].map(|way| (ways[way] - own[way]).max(0.0))))
            });
            let asked: Vec<Option<[f64; 2]>> = asked.collect();
            if asked.is_empty() {
                return Some([0.0; 2]);
            }
            let known = asked.into_iter().flatten();
            known.reduce(|one, other| [0, 1].map(|way| one[way].max(other[way])))
        });
        of_strip.collect()
    }

    fn landing(&self, index: usize, flat: &FlatSkin<'_>, beyond: &[Option<[f64; 2]>]) -> Landing<'a> {
        let (hole, assembly) = (&self.holes[index], self.assembly);
        let name = assembly.tubes[hole.of_tube].shared_name.as_str();
        Landing::new(assembly, hole, flat, |strip| {
            let thing = assembly.kept_off(hole.hole.body, strip);
            let kept = thing.and_then(|thing| self.kept.get(&thing)?.get(name)).copied();
            let way = hole.way_of_kept_off(assembly, strip);
            match kept.filter(|_| way.is_none_or(|way| self.not_kept.of(way).is_none())) {
                Some(kept) => [kept; 2],
                None => beyond[strip].unwrap_or([f64::INFINITY; 2]),
            }
        })
    }

    /// The distance at which a landing that is moved so far is past the hole that it comes over there; none where it comes over
    /// none.
    fn past_holes(
        &self,
        landing: &Landing<'_>,
        (flat, found): (&FlatSkin<'_>, &[Met]),
        (towards, by): (Towards, f64),
    ) -> Option<f64> {
        let hole = landing.hole;
        let middle = towards.over(&flat.shape, hole.middle, by) * hole.middle;
        let past = |met: &Met| landing.past(met, flat, (towards, by));
        let mut near = found.iter().filter(|met| met.may_reach(middle, landing.reach));
        near.find_map(past).or_else(|| {
            let own = self.together_with_hole(hole);
            let others = self.of_body[&hole.hole.body].iter().map(|other| &self.holes[*other]);
            let near = others
                .filter(|other| self.together_with_hole(other) != own)
                .filter(|other| {
                    let turned = |turns: &f64| flat.shape.turned(*turns) * other.middle;
                    let mut images = flat.shape.turns_on().iter().map(turned);
                    let reaches = landing.reach + reach(self.assembly, other);
                    images.any(|image| image.distance(middle) < reaches)
                });
            let met = |other: &PlacedHole| {
                let places = [other.wall_on_skin(self.assembly), other.on_skin()];
                let outline = places.into_iter().find(|places| !places.is_empty())?;
                Some(Met::new(
                    &flat.shape,
                    (other.hole.tube.clone(), other.hole.round),
                    outline,
                ))
            };
            near.filter_map(met).find_map(|met| past(&met))
        })
    }
}
