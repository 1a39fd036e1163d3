//! A straight piece of tube as it is cut: the point set of its wall.
//!
//! At every azimuth the wall is a flat piece with four corners, bore and skin at both cuts ([`Slice`]): a coped end is cut
//! square to the wall, a flat saw cut is straight, so both leave straight edges. Over a span of azimuths the wall lies within
//! the hull of its first and last slice, but for what bows out of it ([`Span::off`]); halving a span leaves a quarter of that.

use std::f64::consts::TAU;

use glam::{DVec2, DVec3};

use crate::job::{End, Frame, Piece, Touch};
use crate::section::Profile;
use crate::solver::cut_at;

/// Slices that are made of every tube, besides those at its corners: every four degrees or so.
const SLICES: usize = 96;

/// Samples at both cuts from which it is told how far a tube may reach.
const SAMPLES: usize = 12;

/// One end of it.
struct CutEnd {
    end: End,
    /// Its bore and its skin each for itself, where the cut is flat and goes straight through the wall.
    flat: Option<[End; 2]>,
}

impl CutEnd {
    fn new(end: &End, is_flat: bool) -> Self {
        let with = |touch: Touch| End { touch, ..end.clone() };
        Self {
            end: end.clone(),
            flat: is_flat.then(|| [with(Touch::Inside), with(Touch::Outside)]),
        }
    }

    /// Where it is cut at the bore and at the skin, from its work point into the tube, in millimetres.
    fn cut(&self, azimuth: f64) -> [f64; 2] {
        let t = |end: &End| cut_at(end, azimuth).map_or(0.0, |cut| cut.t);
        match &self.flat {
            Some(skins) => [t(&skins[0]), t(&skins[1])],
            None => [t(&self.end); 2],
        }
    }
}

/// A straight piece of tube with both its cuts.
pub(in crate::plan) struct CutTube {
    ends: [CutEnd; 2],
    frame: Frame,
    length: f64,
    spared: f64,
    slices: Vec<Slice>,
    /// Between each slice and the next.
    middles: Vec<Slice>,
    /// Along the axis from the near work point: where the tube is whole all round, and where there is any of it, in
    /// millimetres. The one is never too long, the other never too short.
    whole: [f64; 2],
    any: [f64; 2],
}

/// What of the wall is at one azimuth.
#[derive(Debug, Clone, Copy)]
pub(in crate::plan) struct Slice {
    /// Of the near end, in radians.
    pub(in crate::plan) azimuth: f64,
    /// Bore and skin at the near cut, skin and bore at the far one.
    pub(in crate::plan) corners: [DVec3; 4],
}

impl Slice {
    /// The place `along` from the near cut to the far one and `across` from bore to skin, both 0 to 1.
    pub(in crate::plan) fn place(&self, along: f64, across: f64) -> DVec3 {
        let [bore, skin, far_skin, far_bore] = self.corners;
        bore.lerp(skin, across).lerp(far_bore.lerp(far_skin, across), along)
    }

    /// How far this slice is from where it would be if the wall were straight between two others, in millimetres.
    fn off(&self, from: &Self, to: &Self) -> f64 {
        let share = (self.azimuth - from.azimuth) / (to.azimuth - from.azimuth);
        let corners = (0..4).map(|corner| {
            let straight = from.corners[corner].lerp(to.corners[corner], share);
            (self.corners[corner] - straight).length()
        });
        corners.fold(0.0, f64::max)
    }
}

/// The wall from one azimuth to another.
#[derive(Debug, Clone)]
pub(in crate::plan) struct Span {
    /// The corners of its first slice, then of its last.
    pub(in crate::plan) hull: [DVec3; 8],
    /// Of its first slice and its last, in radians.
    pub(in crate::plan) azimuths: [f64; 2],
    /// No part of it lies farther than this outside of the hull, in millimetres.
    pub(in crate::plan) off: f64,
    inside: Inside,
}

#[derive(Debug, Clone)]
enum Inside {
    /// From one of the slices that are made of every tube to another.
    Known(usize, usize),
    /// The one in the middle.
    Middle(Box<Slice>),
}

impl CutTube {
    /// The piece as it is cut; its wall is spared `spared` millimetres on all sides.
    pub(in crate::plan) fn new(piece: &Piece, spared: f64) -> Self {
        let [near, far] = piece.flat_cuts_deg.map(|flat| flat.is_some());
        let mut tube = Self {
            ends: [CutEnd::new(&piece.near, near), CutEnd::new(&piece.far, far)],
            frame: piece.near.frame,
            length: piece.length_mm,
            spared,
            slices: Vec::new(),
            middles: Vec::new(),
            whole: [0.0; 2],
            any: [0.0; 2],
        };
        let stock = &piece.near.tube;
        let mut azimuths: Vec<f64> = (0..=SLICES).map(|step| TAU * step as f64 / SLICES as f64).collect();
        azimuths.extend(stock.section.joins(stock.wall_mm));
        azimuths.sort_by(f64::total_cmp);
        azimuths.dedup_by(|next, before| *next - *before < 1e-9);
        tube.slices = azimuths.iter().map(|azimuth| tube.slice(*azimuth)).collect();
        let middles = azimuths.windows(2).map(|pair| tube.slice((pair[0] + pair[1]) / 2.0));
        tube.middles = middles.collect();
        tube.set_stretches();
        tube
    }

    /// Takes from the slices where it is whole and where there is any of it.
    fn set_stretches(&mut self) {
        let bowed = (0..self.middles.len()).map(|first| self.bowed(first));
        let off = bowed.fold(0.0, f64::max);
        let spared = self.spared;
        let cuts = |end: usize| {
            // The wall was spared at the cuts, the tube that others lie in is not.
            let unspared = if end == 0 { -spared } else { spared };
            let corners = self
                .slices
                .iter()
                .flat_map(move |slice| [slice.corners[3 * end], slice.corners[end + 1]]);
            let along = corners.map(|corner| (corner - self.frame.origin).dot(self.frame.axis) + unspared);
            along.fold([f64::MAX, f64::MIN], |[low, high], at| [low.min(at), high.max(at)])
        };
        let ([low, near], [far, high]) = (cuts(0), cuts(1));
        self.whole = [near + off, far - off];
        self.any = [low - off, high + off];
    }

    /// How far the wall may bow out of what is straight between a slice and the next, in millimetres.
    fn bowed(&self, first: usize) -> f64 {
        BOWED * self.middles[first].off(&self.slices[first], &self.slices[first + 1])
    }

    /// Its slice at an azimuth in radians.
    pub(in crate::plan) fn slice(&self, azimuth: f64) -> Slice {
        let wall = self.ends[0].end.tube.wall_line(azimuth);
        let middle = (wall.inner + wall.outer) / 2.0;
        let radii = [
            (wall.inner + self.spared).min(middle),
            (wall.outer - self.spared).max(middle),
        ];
        let (near, far) = (self.ends[0].cut(azimuth), self.ends[1].cut(-azimuth));
        let foot = self.frame.origin + self.frame.across(wall.origin);
        let outward = self.frame.outward(wall.facing);
        let place = |side: usize, t: f64| foot + radii[side] * outward + t * self.frame.axis;
        let at = |side: usize| {
            let (from, to) = (near[side] + self.spared, self.length - far[side] - self.spared);
            [place(side, from), place(side, to)]
        };
        let ([bore, far_bore], [skin, far_skin]) = (at(0), at(1));
        Slice {
            azimuth,
            corners: [bore, skin, far_skin, far_bore],
        }
    }

    /// Slices all round it.
    pub(in crate::plan) fn slices(&self) -> &[Slice] {
        &self.slices
    }

    /// The whole of its wall.
    pub(in crate::plan) fn whole(&self) -> Span {
        self.known(0, self.slices.len() - 1)
    }

    fn known(&self, first: usize, last: usize) -> Span {
        let (from, to) = (&self.slices[first], &self.slices[last]);
        if last == first + 1 {
            return Self::about(from, to, self.middles[first]);
        }
        let off = |slice: &Slice| slice.off(from, to);
        let farthest = self.slices[first..=last].iter().map(off).fold(0.0, f64::max);
        let between = (first..last).map(|step| {
            let (before, after) = (&self.slices[step], &self.slices[step + 1]);
            self.middles[step].off(before, after)
        });
        Span {
            hull: hull(from, to),
            azimuths: [from.azimuth, to.azimuth],
            off: farthest + BOWED * between.fold(0.0, f64::max),
            inside: Inside::Known(first, last),
        }
    }

    fn about(from: &Slice, to: &Slice, middle: Slice) -> Span {
        Span {
            hull: hull(from, to),
            azimuths: [from.azimuth, to.azimuth],
            off: BOWED * middle.off(from, to),
            inside: Inside::Middle(Box::new(middle)),
        }
    }

    /// A span's halves.
    pub(in crate::plan) fn halves(&self, span: &Span) -> [Span; 2] {
        match &span.inside {
            Inside::Known(first, last) => {
                let middle = usize::midpoint(*first, *last);
                [self.known(*first, middle), self.known(middle, *last)]
            }
            Inside::Middle(middle) => {
                let [from, to] = [0, 1].map(|side| Slice {
                    azimuth: span.azimuths[side],
                    corners: std::array::from_fn(|corner| span.hull[4 * side + corner]),
                });
                let between = |a: &Slice, b: &Slice| self.slice((a.azimuth + b.azimuth) / 2.0);
                [
                    Self::about(&from, middle, between(&from, middle)),
                    Self::about(middle, &to, between(middle, &to)),
                ]
            }
        }
    }

    /// How far inside the outer skin a place is, in millimetres; `None` outside of it or beyond a cut.
    pub(in crate::plan) fn depth(&self, place: DVec3) -> Option<f64> {
        let Frame {
            origin,
            axis,
            front,
            right,
        } = self.frame;
        let tube = &self.ends[0].end.tube;
        let along = (place - origin).dot(axis);
        if along < self.any[0] || along > self.any[1] {
            return None;
        }
        let across = place - origin - along * axis;
        let depth = -tube.section.outside_by(across, front, right);
        if depth <= 0.0 {
            return None;
        }
        if along >= self.whole[0] && along <= self.whole[1] {
            return Some(depth);
        }
        let azimuth = tube
            .section
            .azimuth_of(DVec2::new(across.dot(front), across.dot(right)));
        let wall = tube.wall_line(azimuth);
        let inwards = (depth / (wall.outer - wall.inner).max(1e-9)).min(1.0);
        self.is_between_the_cuts(azimuth.rem_euclid(TAU), inwards, along)
            .then_some(depth)
    }

    /// Whether what is `inwards` from skin to bore (0 to 1) and `along` the axis (millimetres) is left by both cuts.
    fn is_between_the_cuts(&self, azimuth: f64, inwards: f64, along: f64) -> bool {
        // The slices at hand tell it, but for what is as near to a cut as the wall bows out between them.
        let ([near, far], off) = self.cuts_nearly(azimuth, inwards);
        let is_left = |by: f64| along >= near + by && along <= far - by;
        if is_left(off) == is_left(-off) {
            return is_left(0.0);
        }
        let at = |[bore, skin]: [f64; 2]| skin + inwards * (bore - skin);
        let (near, far) = (at(self.ends[0].cut(azimuth)), at(self.ends[1].cut(-azimuth)));
        along >= near && along <= self.length - far
    }

    /// Where both cuts are along the axis as the slices have it that are made of every tube, and how far off that may be.
    fn cuts_nearly(&self, azimuth: f64, inwards: f64) -> ([f64; 2], f64) {
        let after = self.slices.partition_point(|slice| slice.azimuth <= azimuth);
        let first = after.clamp(1, self.middles.len()) - 1;
        let (from, to) = (&self.slices[first], &self.slices[first + 1]);
        let share = (azimuth - from.azimuth) / (to.azimuth - from.azimuth);
        let along = |end: f64| {
            let place = |slice: &Slice| slice.place(end, 1.0 - inwards);
            (place(from).lerp(place(to), share) - self.frame.origin).dot(self.frame.axis)
        };
        let cuts = [along(0.0) - self.spared, along(1.0) + self.spared];
        (cuts, self.bowed(first))
    }
}

/// What a middle slice is off times this is more than any part between is: where the wall bends evenly it is 1, with one
/// corner anywhere between 2.
const BOWED: f64 = 2.0;

fn hull(from: &Slice, to: &Slice) -> [DVec3; 8] {
    std::array::from_fn(|corner| if corner < 4 { from } else { to }.corners[corner % 4])
}

/// The stretch of a piece's axis about which, within its section's reach, all of it lies: never too short; and the
/// stretch along which it is whole all round, where there is one, never too long.
pub(in crate::plan) fn stretches(piece: &Piece) -> [(f64, f64); 2] {
    let ends = [
        (&piece.near, piece.flat_cuts_deg[0]),
        (&piece.far, piece.flat_cuts_deg[1]),
    ];
    let [near, far] = ends.map(|(end, flat)| {
        let cut = CutEnd::new(end, flat.is_some());
        let samples: Vec<f64> = (0..=SAMPLES)
            .flat_map(|sample| cut.cut(TAU * sample as f64 / SAMPLES as f64))
            .collect();
        let low = samples.iter().copied().fold(f64::MAX, f64::min);
        let high = samples.iter().copied().fold(f64::MIN, f64::max);
        // What may be missed between two samples is less than all that is between the highest and the lowest.
        (low - (high - low) / 2.0, high + (high - low) / 2.0)
    });
    [(near.0, piece.length_mm - far.0), (near.1, piece.length_mm - far.1)]
}
