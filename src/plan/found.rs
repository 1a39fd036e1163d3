//! Holes as they were found: where they lie on a body's skin, and how near others come to them.

use std::f64::consts::TAU;

use kurbo::Point;

use super::flat_skin::FlatSkin;
use super::in_the_way::LandingPart;
use super::outline::{Outline, clearance_within};
use crate::body::Development;
use crate::job::{Assembly, BodyInSpace, FoundHole};
use crate::measure::Units;
use crate::problem::{Place, Problem, Problems};
use crate::solver::opening_places;

/// A hole as it was found, on its body's whole skin laid flat.
pub(crate) struct OnSkin<'a> {
    pub(crate) hole: &'a FoundHole,
    /// Closed.
    pub(crate) outline: Vec<Point>,
    pub(crate) middle: Point,
}

/// A hole as it was found, to hold others against: it is met there, and again so many turns on.
pub(super) struct Met {
    name: String,
    /// From the zero line to its middle, in radians.
    round: f64,
    outlines: Vec<(f64, Outline)>,
}

/// Those of every body, by the body's place in the assembly's list.
///
/// # Errors
/// A hole that is as wide as its body, or wider.
pub(super) fn found_in_bodies(assembly: &Assembly, units: Units) -> Result<Vec<Vec<Met>>, Problems> {
    let mut problems = Problems::none();
    let mut in_body = |body: &BodyInSpace| {
        let flat = FlatSkin::new(body);
        let met = |hole| {
            let found = flat.as_ref().and_then(|flat| Some(flat.met(&flat.on_skin(hole)?)));
            problems.take(found.ok_or_else(|| {
                let at = format!("body \"{}\", its hole \"{}\"", body.name, hole.name);
                Problem::new(format!("\"{}\" can't have a hole so wide there", body.name))
                    .figures(units.show(hole.across_mm))
                    .help("give under \"across\" how wide it is, measured straight across")
                    .at(Place::found(at, Some(&hole.place)))
            }))
        };
        body.found.iter().filter_map(met).collect()
    };
    let found = assembly.bodies.iter().map(&mut in_body).collect();
    problems.unless_any(Some(found))
}

impl FlatSkin<'_> {
    /// All that were found in the body.
    pub(crate) fn found(&self) -> impl Iterator<Item = OnSkin<'_>> {
        self.body.found.iter().filter_map(|hole| self.on_skin(hole))
    }

    /// All that were found in the body, to hold others against.
    pub(super) fn all_met(&self) -> Vec<Met> {
        self.found().map(|found| self.met(&found)).collect()
    }

    /// None where the body is too narrow for the hole.
    fn on_skin<'a>(&self, hole: &'a FoundHole) -> Option<OnSkin<'a>> {
        let drilling = hole.drilling(self.body)?;
        let carry = self.carry_from(hole.along_mm, hole.round, &drilling.outer);
        let places = opening_places(&drilling).ok()?;
        Some(OnSkin {
            hole,
            outline: places.iter().map(|place| carry * *place).collect(),
            middle: carry * drilling.outer.lay_flat(drilling.frame.origin),
        })
    }

    fn met(&self, found: &OnSkin<'_>) -> Met {
        Met::new(
            &self.shape,
            (found.hole.name.clone(), found.hole.round),
            found.outline.clone(),
        )
    }
}

/// Whether one hole is in another is looked for no farther apart than this, in millimetres.
pub(super) const NEAR: f64 = 1.0;

impl Met {
    /// Of a name, so far round on a skin of this shape.
    pub(super) fn new(shape: &Development, (name, round): (String, f64), outline: Vec<Point>) -> Self {
        let there = Outline::new(outline);
        let turns = shape.turns_on().iter();
        Self {
            name,
            round,
            outlines: turns.map(|turns| (*turns, there.moved(shape.turned(*turns)))).collect(),
        }
    }

    /// Whether it may be no farther than this from a place, in millimetres, however many turns on it is met.
    pub(super) fn may_reach(&self, place: Point, within: f64) -> bool {
        let mut outlines = self.outlines.iter();
        outlines.any(|(_, there)| there.bounds().inflate(within, within).contains(place))
    }

    /// What is left between an outline about the line `round` from the zero line and the hole, in millimetres, where it is
    /// below `limit`, else `limit`; below 0 where they overlap. `shape` is that of the skin.
    pub(super) fn apart(&self, outline: &Outline, round: f64, shape: &Development, limit: f64) -> f64 {
        let is_straight = |turns: f64| shape.spans((self.round - round) / TAU + turns);
        let straight = self.outlines.iter().filter(|(turns, _)| is_straight(*turns));
        straight.fold(limit, |least, (_, there)| {
            least.min(clearance_within(outline, there, least.max(NEAR)))
        })
    }
}

/// How near a hole, and the wall of a tube that is set on, come to the holes that were found in their body.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct NearFound {
    /// The nearest of them by name, and what is left to it in millimetres, below 0 where they overlap.
    pub(super) nearest: Option<(String, f64)>,
    /// Those that are overlapped.
    pub(super) over: Vec<OverFound>,
}

/// A hole that was found, and is overlapped.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct OverFound {
    /// Its place in the body's list.
    pub(super) index: usize,
    /// What comes over it.
    pub(super) part: LandingPart,
    /// By how much, in millimetres, 0 or less.
    pub(super) apart_mm: f64,
}

impl NearFound {
    /// Of an outline that is so far round, on the whole skin of a body with these holes; `wall` gives where the
    /// tube's wall sits, nothing where it doesn't.
    pub(super) fn new(
        found: &[Met],
        flat: &FlatSkin<'_>,
        (outline, round): (&[Point], f64),
        wall: impl Fn() -> Vec<Point>,
    ) -> Self {
        let shape = &flat.shape;
        let mut near = Self::default();
        if found.is_empty() {
            return near;
        }
        let hole = Outline::new(outline.to_vec());
        let wall = Some(wall()).filter(|wall| !wall.is_empty()).map(Outline::new);
        for (index, found) in found.iter().enumerate() {
            let known = near.nearest.as_ref().map_or(f64::INFINITY, |(_, known)| *known);
            let of_hole = found.apart(&hole, round, shape, known.max(NEAR));
            if of_hole < known {
                near.nearest = Some((found.name.clone(), of_hole));
            }
            let of_wall = wall.as_ref().map(|wall| found.apart(wall, round, shape, NEAR));
            let over = LandingPart::over(of_hole, of_wall, |apart| apart <= 0.0);
            near.over
                .extend(over.map(|(part, apart_mm)| OverFound { index, part, apart_mm }));
        }
        near
    }
}
