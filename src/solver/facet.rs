//! Flat saw cuts on a branch's end, and the gap that they leave to what it lands on.
//!
//! Definitions: DEVELOPERS.md, "Geometry", chop-saw facets. Every cut is a plane square to the plane
//! of the two axes, so that it is straight when seen from the side: t depends on y = rho cos a alone.

use std::f64::consts::TAU;
use std::ops::Range;

use super::extrema::{Samples, Slant, about_the_peak, close_in, height_of_peak, highest_beside};
use super::line::Lines;
use super::touch::Deciding;
use crate::job::End;

/// The side of the branch that a cut slopes down from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Azimuth 0.
    Front,
    /// Azimuth 180.
    Back,
}

/// A flat cut: the tube remains where t >= `at_axis` + `slope` y.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlatCut {
    /// t where the plane passes the tube's axis, in millimetres.
    pub at_axis: f64,
    /// By how much t grows per millimetre of y, i.e. towards the front.
    pub slope: f64,
}

impl FlatCut {
    /// The first cut, parallel to the header's axis. `angle` in radians between the axes.
    pub fn first(angle: f64) -> Self {
        Self {
            at_axis: 0.0,
            slope: angle.tan().recip(),
        }
    }

    /// A facet that touches the line scribed `scribe` mm back from the first cut, on the crown line of
    /// `side`, and slopes towards the end, `saw` radians off square.
    pub fn facet(side: Side, first: Self, radius: f64, scribe: f64, saw: f64) -> Self {
        let sign = match side {
            Side::Front => 1.0,
            Side::Back => -1.0,
        };
        let slope = sign * saw.tan();
        let crown = sign * radius;
        Self {
            at_axis: first.at_axis + first.slope * crown + scribe - slope * crown,
            slope,
        }
    }

    pub(super) fn t(&self, y: f64) -> f64 {
        self.at_axis + self.slope * y
    }
}

/// An end made of flat cuts.
#[derive(Debug, Clone, PartialEq)]
pub struct FacetedEnd {
    /// In any order.
    pub cuts: Vec<FlatCut>,
}

impl FacetedEnd {
    /// Where the tube ends at `y` mm from the axis towards the front, in millimetres.
    pub fn t(&self, y: f64) -> f64 {
        self.cuts.iter().map(|cut| cut.t(y)).fold(f64::MIN, f64::max)
    }

    /// Where two of its cuts meet, in millimetres from the axis towards the front.
    pub(super) fn ridges(&self) -> Vec<f64> {
        let pairs = self.cuts.iter().enumerate();
        let pairs = pairs.flat_map(|(index, one)| self.cuts[index + 1..].iter().map(move |other| (one, other)));
        pairs
            .filter(|(one, other)| one.slope != other.slope)
            .map(|(one, other)| (other.at_axis - one.at_axis) / (one.slope - other.slope))
            .collect()
    }

    /// Which cut it is that ends the tube there, and t.
    pub(super) fn deciding(&self, y: f64) -> (usize, f64) {
        let cuts = self.cuts.iter().map(|cut| cut.t(y)).enumerate();
        cuts.fold((0, f64::MIN), |best, cut| if cut.1 > best.1 { cut } else { best })
    }
}

/// The gap between a faceted end and the body after the tube first touches.
#[derive(Debug, Clone, PartialEq)]
pub struct Gap {
    /// At every degree from 0 to 360, in millimetres: the smallest axial distance over the wall there, and the root gap.
    pub profile: Vec<f64>,
    /// The largest, in millimetres.
    pub largest: f64,
    /// Where, in degrees.
    pub at_deg: f64,
    /// Over the girth, in millimetres.
    pub mean: f64,
    /// Share of the girth at which the gap is within the limit, 0 to 1.
    pub share_within: f64,
    /// Volume between the end and the body through the whole wall, in cubic millimetres.
    pub volume: f64,
    /// How far the tube moved along its axis until it touched, in millimetres.
    pub shift: f64,
}

/// Places round the girth and through the wall for means and volumes.
const ROUND_PLACES: usize = 1440;
const WALL_PLACES: usize = 8;

/// To what height the nearest place of the wall is found, in millimetres.
const PRECISION: f64 = 1e-10;

/// To where the deepest place to grind is closed in on, in radians.
const CLOSE: f64 = 1e-10;

/// The gap that `facets` leave: what the weld has to bridge, the root gap with it. `limit` in millimetres. `None` where a part of the wall misses the body.
pub fn gap(end: &End, facets: &FacetedEnd, limit: f64) -> Option<Gap> {
    let lines = Lines::at_the_body(&end.frame, end.landing.as_ref());
    let clear = |azimuth: f64| Some(clearance(end, &lines, facets, azimuth)).filter(|clear| clear.is_finite());
    let samples = Samples::new((0..ROUND_PLACES).map(turn).map(|at| (at, clear(at))))?;
    let shift = -highest_beside(&|azimuth| Some(-clear(azimuth)?), &samples.upside_down())?.0;
    let (highest, at) = highest_beside(&clear, &samples)?;
    let root_gap = end.root_gap_mm;
    let gaps: Vec<f64> = samples
        .values()
        .map(|clear| (clear - shift).max(0.0) + root_gap)
        .collect();
    let every = ROUND_PLACES / 360;
    Some(Gap {
        profile: (0..=360).map(|degree| gaps[(degree * every) % ROUND_PLACES]).collect(),
        largest: highest - shift + root_gap,
        at_deg: at.to_degrees(),
        mean: gaps.iter().sum::<f64>() / ROUND_PLACES as f64,
        share_within: share_within(&gaps, limit),
        volume: volume(end, facets, shift),
        shift,
    })
}

fn turn(place: usize) -> f64 {
    TAU * place as f64 / ROUND_PLACES as f64
}

/// How far the end is from the body at `azimuth` before the tube is pushed: the smallest distance over
/// the wall. The end's t is convex in the radius and the body's concave, so their difference has one low.
pub(super) fn clearance(end: &End, lines: &Lines<'_>, facets: &FacetedEnd, azimuth: f64) -> f64 {
    let cos = azimuth.cos();
    let wall = end.tube.wall_line(azimuth);
    let rays = lines.through(&wall);
    // Upside down, so that the low is a peak.
    let place_at = |radius: f64| {
        let (body, lean) = rays
            .meet(radius)
            .map_or((f64::NAN, f64::NAN), |hit| (hit.t, hit.per_radius()));
        let (cut, t) = facets.deciding(radius * cos);
        Slant {
            at: radius,
            value: body - t,
            slope: lean - facets.cuts[cut].slope * cos,
            more: (),
        }
    };
    let ends = [wall.inner, wall.outer].map(place_at);
    if ends[0].slope > 0.0 && ends[1].slope < 0.0 {
        -height_of_peak(&about_the_peak(ends, PRECISION, place_at))
    } else {
        -ends[0].value.max(ends[1].value)
    }
}

/// Share of the girth within the limit, the crossings placed between the places.
fn share_within(gaps: &[f64], limit: f64) -> f64 {
    let part = |from: f64, to: f64| match (from <= limit, to <= limit) {
        (true, true) => 1.0,
        (false, false) => 0.0,
        (true, false) => (limit - from) / (to - from),
        (false, true) => (limit - to) / (from - to),
    };
    let pairs = gaps.iter().zip(gaps.iter().cycle().skip(1));
    pairs.map(|(&from, &to)| part(from, to)).sum::<f64>() / gaps.len() as f64
}

/// Between the end and the body through the wall: distance x radius over radius and azimuth.
fn volume(end: &End, facets: &FacetedEnd, shift: f64) -> f64 {
    let (bore, wall) = (end.tube.bore_radius(), end.tube.wall_mm);
    let cell = wall / WALL_PLACES as f64 * TAU / ROUND_PLACES as f64;
    // Facets are cut for ends that are set on: with a root gap the body begins deeper than what the cuts fit.
    let lines = Lines::at_the_body(&end.frame, end.weld_skin.as_ref());
    let mut volume = 0.0;
    for azimuth in (0..ROUND_PLACES).map(turn) {
        let rays = lines.through(&end.tube.wall_line(azimuth));
        let cos = azimuth.cos();
        for layer in 0..WALL_PLACES {
            let radius = bore + wall * (layer as f64 + 0.5) / WALL_PLACES as f64;
            let body = rays.meet(radius).map_or(f64::NAN, |hit| hit.t);
            volume += (facets.t(radius * cos) - body - shift).max(0.0) * radius * cell;
        }
    }
    volume
}

/// A stretch of the girth where metal comes off.
#[derive(Debug, Clone, PartialEq)]
pub struct TakeOff {
    /// In degrees; may start below 0 where it passes the front.
    pub azimuths_deg: Range<f64>,
    /// Along the tube where most comes off, in millimetres.
    pub deepest: f64,
    /// Where, in degrees.
    pub deepest_at_deg: f64,
}

/// A faceted end after it is rounded and pushed in.
#[derive(Debug, Clone, PartialEq)]
pub struct Round {
    /// How far the tube is pushed in past the first touch, in millimetres.
    pub push_in: f64,
    /// What must come off so that it can be.
    pub take_off: Vec<TakeOff>,
    /// The gap that remains.
    pub gap: Gap,
}

/// Pushes the tube in by `push_in` mm past its first touch: metal comes off wherever the gap was smaller.
pub fn round_off(end: &End, facets: &FacetedEnd, as_cut: &Gap, push_in: f64, limit: f64) -> Round {
    let lines = Lines::at_the_body(&end.frame, end.landing.as_ref());
    let gaps: Vec<f64> = (0..ROUND_PLACES)
        .map(|place| clearance(end, &lines, facets, turn(place)) - as_cut.shift)
        .collect();
    let least = end.root_gap_mm;
    let left: Vec<f64> = gaps.iter().map(|gap| (gap - push_in).max(0.0) + least).collect();
    let gap = Gap {
        profile: as_cut.profile.iter().map(|gap| (gap - push_in).max(least)).collect(),
        largest: (as_cut.largest - push_in).max(least),
        at_deg: as_cut.at_deg,
        mean: left.iter().sum::<f64>() / ROUND_PLACES as f64,
        share_within: share_within(&left, limit),
        volume: volume(end, facets, as_cut.shift + push_in),
        shift: as_cut.shift + push_in,
    };
    let depth = |azimuth: f64| push_in - (clearance(end, &lines, facets, azimuth) - as_cut.shift);
    Round {
        push_in,
        take_off: stretches(&gaps, push_in, &depth),
        gap,
    }
}

/// The stretches where the gap is below `push_in`, in order round the girth. `gaps` are those at even azimuths; `depth` is
/// what comes off at any.
fn stretches(gaps: &[f64], push_in: f64, depth: &impl Fn(f64) -> f64) -> Vec<TakeOff> {
    let count = gaps.len();
    let degrees = |place: f64| 360.0 * place / count as f64;
    let depth_at = |place: usize| push_in - gaps[place % count];
    // Below a thousandth of a millimetre there is nothing to grind.
    let comes_off = |place: usize| depth_at(place) > 1e-3;
    let take_off = |places: Range<usize>| {
        let back = if places.end > count { 360.0 } else { 0.0 };
        let (deepest, at) = deepest_of(places.clone(), &depth_at, depth);
        TakeOff {
            azimuths_deg: degrees(places.start as f64) - back..degrees(places.end as f64) - back,
            // Nothing touches before the first touch.
            deepest: deepest.min(push_in),
            deepest_at_deg: at.to_degrees().rem_euclid(360.0),
        }
    };
    if (0..count).all(comes_off) {
        return vec![take_off(0..count)];
    }
    let mut found = Vec::new();
    for start in (0..count).filter(|&place| comes_off(place) && !comes_off(place + count - 1)) {
        let end = (start..start + count)
            .find(|&place| !comes_off(place))
            .unwrap_or(start + count);
        found.push(take_off(start..end));
    }
    found.sort_by(|a, b| a.azimuths_deg.start.total_cmp(&b.azimuths_deg.start));
    found
}

/// The deepest place of a stretch, in millimetres, and its azimuth: every peak of the even places that could be it is closed
/// in on between its neighbours.
fn deepest_of(places: Range<usize>, depth_at: &impl Fn(usize) -> f64, depth: &impl Fn(f64) -> f64) -> (f64, f64) {
    let count = ROUND_PLACES;
    let before = |place: usize| (place + count - 1) % count;
    let highest = places.clone().map(depth_at).fold(f64::MIN, f64::max);
    let steepest = places
        .clone()
        .map(|place| (depth_at(place) - depth_at(place + 1)).abs());
    let could_be = highest - steepest.fold(0.0, f64::max);
    let peaks = places.filter(|&place| {
        let here = depth_at(place);
        here >= could_be && here >= depth_at(before(place)) && here >= depth_at(place + 1)
    });
    let closer = peaks.flat_map(|place| {
        let at = turn(place);
        let between = close_in(depth, at - turn(1), at + turn(1), CLOSE);
        [(depth_at(place), at), (depth(between), between)]
    });
    // Of equal ones the even place itself.
    closer.fold(
        (f64::MIN, 0.0),
        |best, next| if next.0 > best.0 + PRECISION { next } else { best },
    )
}

/// t of the true seat at `azimuth` radians, in millimetres; `None` where a part of the wall misses the body.
pub(super) fn seat(end: &End, azimuth: f64) -> Option<f64> {
    Some(Deciding::of(end).on(&end.tube.wall_line(azimuth))?.t)
}
