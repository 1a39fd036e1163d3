//! A landing that is to be moved over its body's skin: what stops it each way.

use std::f64::consts::TAU;

use kurbo::Point;

use super::flat_skin::FlatSkin;
use super::found::{Met, NEAR};
use super::hole::{NEAR_WALLS, PlacedHole, wall_lines};
use super::in_the_way::Towards;
use super::outline::Outline;
use super::strips::{SLIGHT, STANDING, Span, span, ways_apart};
use super::way_out::{EVERYWHERE, least_clear};
use crate::job::{Assembly, Strip};

/// A landing that is to be moved.
pub(super) struct Landing<'a> {
    pub(super) hole: &'a PlacedHole,
    /// No part of it is farther from its middle, in millimetres.
    pub(super) reach: f64,
    /// Each strip of its body's skin, and how far it has to be moved each of the two ways to leave it, in millimetres, below 0
    /// where it is past it.
    strips: Vec<(Strip, [f64; 2])>,
    /// Of its hole, and of its wall where it sits on the skin.
    outlines: Vec<Outline>,
    /// Of all that: across the flat skin, and up it.
    spans: [Span; 2],
}

/// No part of a hole, or of the wall about it, is farther from its middle, in millimetres.
pub(super) fn reach(assembly: &Assembly, hole: &PlacedHole) -> f64 {
    let stock = &assembly.stock[assembly.tubes[hole.of_tube].stock];
    hole.reach + NEAR_WALLS * stock.tube.wall_mm
}

impl<'a> Landing<'a> {
    /// `beyond` tells by how much farther than what lies over it a strip is to be left, each of its two ways.
    pub(super) fn new(
        assembly: &Assembly,
        hole: &'a PlacedHole,
        flat: &FlatSkin<'_>,
        beyond: impl Fn(usize) -> [f64; 2],
    ) -> Self {
        let parts = hole.parts_on_skin(assembly);
        let strips = flat.body.keep_off.iter().enumerate().map(|(index, keep)| {
            let (own, beyond) = (hole.leaves(assembly, flat, (index, &parts)), beyond(index));
            (keep.strip, [0, 1].map(|way| own[way] + beyond[way]))
        });
        let places = || parts.iter().flatten();
        Self {
            hole,
            reach: reach(assembly, hole),
            strips: strips.collect(),
            spans: [
                span(places().map(|place| place.x)),
                span(places().map(|place| flat.shape.up(*place))),
            ],
            outlines: parts
                .iter()
                .filter(|part| !part.is_empty())
                .cloned()
                .map(Outline::new)
                .collect(),
        }
    }

    /// Once round where it is, in millimetres, for a move that leads round.
    fn girth(&self, flat: &FlatSkin<'_>, towards: Towards) -> Option<f64> {
        let girth = flat.body.surface.girth(self.hole.hole.along_mm);
        girth.filter(|_| !towards.is_along())
    }

    /// The distances, moved that way, at which it comes over a strip or a lap, is off its body or under its floor.
    pub(super) fn stops(&self, flat: &FlatSkin<'_>, towards: Towards) -> Vec<Span> {
        let girth = self.girth(flat, towards);
        let strips = self.strips.iter().flat_map(|(strip, [one, other])| {
            let way = Towards::of(*strip).iter().position(|way| *way == towards);
            match way {
                Some(0) => met_again([-other, *one], girth),
                Some(_) => met_again([-one, *other], girth),
                None if one.min(*other) > SLIGHT => vec![EVERYWHERE],
                None => Vec::new(),
            }
        });
        let laps = flat.body.laps.iter().flat_map(|lap| {
            let [down, up] = ways_apart(self.hole.strips.up, lap.along_mm).map(|apart| -apart);
            match towards {
                Towards::NearEnd => vec![[-up, down]],
                Towards::FarEnd => vec![[-down, up]],
                _ => Vec::new(),
            }
        });
        strips.chain(laps).chain(self.off_its_body(flat, towards)).collect()
    }

    /// The distances at which it is off its body, or its hole is under the floor.
    fn off_its_body(&self, flat: &FlatSkin<'_>, towards: Towards) -> Vec<Span> {
        let [across, up] = self.spans;
        let (body, hole) = (flat.body, self.hole.strips.up);
        let mut within: Vec<(bool, Span, Span)> = Vec::new();
        if let Some(edges) = flat.edges() {
            within.push((false, across, [edges.x0, edges.x1]));
            within.push((true, up, [edges.y0, edges.y1]));
        } else if let Some(length) = body.length_mm() {
            within.push((true, up, [0.0, flat.up_of(length)]));
        }
        if let Some(floor) = body.floor_mm.map(|floor| flat.up_of(floor)) {
            match body.axis().z {
                rise if rise > STANDING => within.push((true, hole, [floor, f64::INFINITY])),
                rise if rise < -STANDING => within.push((true, hole, [f64::NEG_INFINITY, floor])),
                _ => {}
            }
        }
        let stops = within.into_iter().flat_map(|(is_along, [low, high], [from, to])| {
            let (past_low, past_high) = (from - low, to - high);
            if is_along != towards.is_along() {
                let is_off = past_low > SLIGHT || past_high < -SLIGHT;
                return if is_off { vec![EVERYWHERE] } else { Vec::new() };
            }
            match towards.sign() > 0.0 {
                true => vec![[f64::NEG_INFINITY, past_low], [past_high, f64::INFINITY]],
                false => vec![[f64::NEG_INFINITY, -past_high], [-past_low, f64::INFINITY]],
            }
        });
        stops.collect()
    }

    /// The distance at which it is past a hole that it comes over where it is moved so far; none where it comes over nothing of
    /// it, no end of it where it doesn't come past.
    pub(super) fn past(&self, met: &Met, flat: &FlatSkin<'_>, (towards, by): (Towards, f64)) -> Option<f64> {
        let girth = self.girth(flat, towards);
        let is_clear = |by: f64| {
            let moved = towards.over(&flat.shape, self.hole.middle, by);
            let turned = girth.map_or(0.0, |girth| TAU * towards.sign() * by / girth);
            let round = self.hole.hole.round + turned;
            let mut outlines = self.outlines.iter();
            outlines.all(|outline| met.apart(&outline.moved(moved), round, &flat.shape, NEAR) > 0.0)
        };
        if is_clear(by) {
            return None;
        }
        let on = least_clear(NEAR, &|on| is_clear(by + on));
        Some(on.map_or(f64::INFINITY, |on| by + on))
    }
}

/// What goes round a body is met again a turn on.
fn met_again(stop: Span, girth: Option<f64>) -> Vec<Span> {
    let again = girth.map(|girth| stop.map(|at| at + girth));
    [stop].into_iter().chain(again).collect()
}

impl PlacedHole {
    /// Its outline on the whole skin laid flat, and where the tube's wall sits there, nowhere where it is set in.
    pub(super) fn parts_on_skin(&self, assembly: &Assembly) -> [Vec<Point>; 2] {
        [self.on_skin(), self.wall_on_skin(assembly)]
    }

    /// How far the tube has to be moved over the skin each of the two ways to leave a strip, with all of its parts there and what
    /// is no farther out than what stands there, in millimetres; below 0 where it is past it.
    pub(super) fn leaves(
        &self,
        assembly: &Assembly,
        flat: &FlatSkin<'_>,
        (index, parts): (usize, &[Vec<Point>; 2]),
    ) -> [f64; 2] {
        let keep = &flat.body.keep_off[index];
        let across = |places: &[Point]| flat.across(keep.strip, places, self.middle);
        let ([hole, strip], wall) = (across(&parts[0]), &parts[1]);
        let wall = (!wall.is_empty()).then(|| across(wall)[0]);
        let stock = &assembly.stock[assembly.tubes[self.of_tube].stock].tube;
        let standing = flat.standing(keep, self.hole.along_mm, wall_lines(stock, &self.hole.drilling));
        let all = [Some(hole), wall, standing];
        ways_apart(span(all.into_iter().flatten().flatten()), strip).map(|apart| -apart)
    }
}
