//! Marks for marking a cut by hand: the base line and the ordinates from it.

use std::f64::consts::TAU;

use kurbo::ParamCurve;

use crate::job::{End, WhichEnd};
use crate::measure::{MM_PER_INCH, Units};
use crate::section::Profile;
use crate::solver::{Corner, EndCurve, cut_at, dihedral_deg};

/// The lines along the tube, by azimuth in degrees.
pub const CROWN_LINES: [(&str, f64); 4] = [("front", 0.0), ("right", 90.0), ("back", 180.0), ("left", 270.0)];

/// Between the base line and where the tube is shortest there is at least this, in millimetres.
const BASE_GAP: f64 = 20.0;

/// A place round the girth, and how far the cut is from the base line there.
///
/// Whoever marks an end holds it with the cut end up and measures to the right, at either end of a piece. The tube's
/// azimuths, which are its near end's, run to the left then at its far end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// 0 is at the front, and the next one is to the right of it with the cut end up; likewise of fold lines.
    pub number: usize,
    /// The tube's azimuth, in degrees of which 360 are the whole girth.
    pub azimuth_deg: f64,
    /// From the front to the right with the cut end up, round the tube's own skin, in millimetres.
    pub right_mm: f64,
    /// From the base line to the cut along the tube, in millimetres; of a solved end a number ([`super::PlannedEnd`] sees to it).
    pub from_base_mm: f64,
    /// Across the weld between the outer skins, in degrees; `None` where the outer skin misses the body.
    pub dihedral_deg: Option<f64>,
}

/// What the corners of a tube with sides are marked by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkedBy {
    /// Their middles, where the wrap is folded.
    Folds,
    /// Where their rounds begin and end, where there are rounds.
    Bends,
}

/// What one needs to mark an end without its wrap.
#[derive(Debug, Clone, PartialEq)]
pub struct Marks {
    /// Where the base line is: its t, in millimetres from the work point.
    pub base_t: f64,
    /// Ordinate where the tube is longest, in millimetres.
    pub longest_mm: f64,
    /// Ordinate where the tube is shortest, in millimetres.
    pub shortest_mm: f64,
    /// Evenly round the girth.
    pub stations: Vec<Station>,
    /// At the middles of the corners of a tube with sides.
    pub folds: Vec<Station>,
    /// Where those corners' rounds begin and end: in between the cut is bent most.
    pub bends: Vec<Station>,
    /// At true corners, where another of several bodies takes over: just before each, and just after it where the cut has a
    /// step there.
    pub corners: Vec<Station>,
}

/// Where the base line of a cut's own wrap is: its t, a round one past the cut.
pub(super) fn base_line(curve: &EndCurve, units: Units) -> f64 {
    let round_to = match units {
        Units::Millimetres => 5.0,
        Units::Inches(_) => MM_PER_INCH / 4.0,
    };
    ((curve.highest.0 + BASE_GAP) / round_to).ceil() * round_to
}

impl Marks {
    /// The base line at a round distance from the work point: a multiple of 5 mm, or of 1/4 in.
    ///
    /// `which` end of its piece it is.
    pub fn new(end: &End, curve: &EndCurve, which: WhichEnd, stations: usize, units: Units) -> Self {
        Self::from_base(base_line(curve, units), end, curve, which, stations)
    }

    /// The same from a given base line.
    pub fn from_base(base_t: f64, end: &End, curve: &EndCurve, which: WhichEnd, stations: usize) -> Self {
        let t = |azimuth: f64| cut_at(end, azimuth).map_or(f64::NAN, |cut| cut.t);
        Self {
            corners: corners(base_t, end, curve, which),
            ..Self::of_edge(base_t, end, [curve.lowest.0, curve.highest.0], which, stations, t)
        }
    }

    /// The same of an edge whose t is told at an azimuth in radians; `extrema` are its lowest and highest t.
    pub(crate) fn of_edge(
        base_t: f64,
        end: &End,
        extrema: [f64; 2],
        which: WhichEnd,
        stations: usize,
        t: impl Fn(f64) -> f64,
    ) -> Self {
        let station = |number: usize, turn: f64| Station {
            number,
            azimuth_deg: which.turned(360.0 * turn).rem_euclid(360.0),
            right_mm: end.tube.section.girth() * turn,
            from_base_mm: base_t - t(TAU * turn),
            dihedral_deg: dihedral_deg(end, TAU * turn),
        };
        let section = &end.tube.section;
        let at = |azimuths: Vec<f64>| {
            let numbered = azimuths.into_iter().enumerate();
            numbered
                .map(|(number, azimuth)| station(number, azimuth / TAU))
                .collect()
        };
        Self {
            base_t,
            longest_mm: base_t - extrema[0],
            shortest_mm: base_t - extrema[1],
            stations: (0..stations)
                .map(|number| station(number, number as f64 / stations as f64))
                .collect(),
            corners: Vec::new(),
            folds: at(section.folds()),
            bends: at(section.bends()),
        }
    }

    /// What corners are marked by: where their rounds begin and end, or their middles alone, of which there are half as many.
    pub fn sides(&self, by: MarkedBy) -> &[Station] {
        match by {
            MarkedBy::Bends if !self.bends.is_empty() => &self.bends,
            MarkedBy::Bends | MarkedBy::Folds => &self.folds,
        }
    }

    /// How far off the cut straight lines from mark to mark are at most, along the tube, in millimetres. `curve` is what is marked,
    /// on a tube of this girth.
    pub fn straight_off_mm(&self, girth_mm: f64, curve: &EndCurve, by: MarkedBy) -> f64 {
        /// So near to a mark, in turns, it isn't clear on which side of a step the curve is.
        const AT_A_MARK: f64 = 1e-6;
        const PARTS: u32 = 32;
        let marked = self.stations.iter().chain(self.sides(by));
        let marked = marked.chain(&self.corners);
        let mut marked: Vec<(f64, f64)> = marked.map(|at| (at.right_mm / girth_mm, at.from_base_mm)).collect();
        marked.sort_by(|a, b| a.0.total_cmp(&b.0));
        if let Some(first) = marked.first().copied() {
            marked.push((first.0 + 1.0, first.1));
        }
        let cubics = curve.path.segments();
        let places =
            cubics.flat_map(|cubic| (0..PARTS).map(move |part| cubic.eval(f64::from(part) / f64::from(PARTS))));
        let off = places.filter_map(|place| {
            let turn = ((place.x / curve.girth_radius_mm + curve.seam) / TAU).rem_euclid(1.0);
            let next = marked.partition_point(|(at, _)| *at <= turn);
            let (from, to) = (marked.get(next.checked_sub(1)?)?, marked.get(next)?);
            let share = (turn - from.0) / (to.0 - from.0);
            let is_between = turn - from.0 > AT_A_MARK && to.0 - turn > AT_A_MARK;
            is_between.then(|| (self.base_t - place.y - (from.1 + share * (to.1 - from.1))).abs())
        });
        off.fold(0.0, f64::max)
    }
}

/// A step in a cut that is lower than this is none, in millimetres.
const STEP: f64 = 0.005;

fn corners(base_t: f64, end: &End, curve: &EndCurve, which: WhichEnd) -> Vec<Station> {
    let at = |corner: &Corner, t: f64, number: usize| Station {
        number,
        azimuth_deg: which.turned(corner.azimuth.to_degrees()).rem_euclid(360.0),
        right_mm: end.tube.section.girth() * corner.azimuth / TAU,
        from_base_mm: base_t - t,
        dihedral_deg: dihedral_deg(end, corner.azimuth),
    };
    let numbered = curve.corners.iter().enumerate();
    numbered
        .flat_map(|(number, corner)| {
            let [before, after] = corner.t;
            let step = (after - before).abs() > STEP;
            std::iter::once(at(corner, before, number)).chain(step.then(|| at(corner, after, number)))
        })
        .collect()
}
