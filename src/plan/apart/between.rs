//! How far a tube as it is cut is from another, or from a body.
//!
//! Spans of azimuths are held against each other by their hulls; what they keep at least is known from those. The pair that
//! may be nearest is halved until none can be nearer than what was found by more than [`TOLERANCE`].

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use glam::DVec3;

use super::convex::{Nearest, nearest};
use super::cut_tube::{CutTube, Span};

/// What is found is at most this much farther than the true distance, in millimetres.
const TOLERANCE: f64 = 0.002;

/// Nearer than this they meet, in millimetres.
pub(in crate::plan) const MEETING: f64 = 1e-3;

/// Far more pairs than are looked at by any two tubes that were tried.
const MOST_PAIRS: usize = 200_000;

/// What a tube is held against, part by part.
pub(in crate::plan) trait Other {
    /// A part of it.
    type Part: Clone;

    /// All of it.
    fn whole(&self) -> Self::Part;

    /// How far a part may reach out of what stands for it, in millimetres.
    fn off(part: &Self::Part) -> f64;

    /// A part's halves.
    fn halves(&self, part: &Self::Part) -> [Self::Part; 2];

    /// Where the hull of some places is nearest to what stands for a part.
    fn nearest(&self, hull: &[DVec3], part: &Self::Part, enough: f64) -> Nearest;

    /// Where the hull of some places is nearest to the thing itself near where it is nearest to what stands for its part.
    fn nearest_itself(&self, hull: &[DVec3], part: &Self::Part, stood_for: &Nearest, enough: f64) -> Nearest;
}

impl Other for CutTube {
    type Part = Span;

    fn whole(&self) -> Span {
        CutTube::whole(self)
    }

    fn off(part: &Span) -> f64 {
        part.off
    }

    fn halves(&self, part: &Span) -> [Span; 2] {
        CutTube::halves(self, part)
    }

    fn nearest(&self, hull: &[DVec3], part: &Span, enough: f64) -> Nearest {
        nearest(hull, &part.hull[..], enough)
    }

    fn nearest_itself(&self, hull: &[DVec3], part: &Span, stood_for: &Nearest, enough: f64) -> Nearest {
        let slice = self.slice(azimuth_of(part, stood_for, 1));
        nearest(hull, &slice.corners[..], enough)
    }
}

/// Where round a span the nearest place is, in radians.
fn azimuth_of(span: &Span, nearest: &Nearest, side: usize) -> f64 {
    let corners = nearest.made_of.iter().filter(|corner| corner.of[side] >= 4);
    let share: f64 = corners.map(|corner| corner.share).sum();
    span.azimuths[0] + share * (span.azimuths[1] - span.azimuths[0])
}

/// Where a tube is nearest to something.
#[derive(Debug, Clone, Copy)]
pub(in crate::plan) struct Between {
    /// In millimetres; below [`MEETING`] where they meet: then they may be anything less.
    pub(in crate::plan) apart_mm: f64,
    /// Whether they may be farther apart: it was given up before it was certain.
    pub(in crate::plan) is_bound: bool,
    /// On the tube, and on the other.
    pub(in crate::plan) places: [DVec3; 2],
}

/// Where they are nearest; `None` where they are `limit` millimetres apart or more.
pub(in crate::plan) fn between<O: Other>(tube: &CutTube, other: &O, limit: f64) -> Option<Between> {
    let mut search = Search {
        tube,
        other,
        limit,
        best: None,
        pairs: BinaryHeap::new(),
    };
    search.take_up(tube.whole(), other.whole());
    for _ in 0..MOST_PAIRS {
        let Some(pair) = search.pairs.pop() else { break };
        if pair.at_least >= search.enough() || search.best.is_some_and(|best| best.apart_mm < MEETING) {
            return search.best;
        }
        search.halve(pair);
    }
    let at_least = search.pairs.peek().map_or(f64::INFINITY, |pair| pair.at_least);
    search.best.map(|best| Between {
        apart_mm: best.apart_mm.min(at_least.max(MEETING)),
        is_bound: at_least < best.apart_mm - TOLERANCE,
        ..best
    })
}

/// Two parts that may be nearer than what is known.
struct Pair<P> {
    at_least: f64,
    span: Span,
    part: P,
}

struct Search<'a, O: Other> {
    tube: &'a CutTube,
    other: &'a O,
    limit: f64,
    best: Option<Between>,
    pairs: BinaryHeap<Pair<O::Part>>,
}

impl<O: Other> Search<'_, O> {
    /// What is at least so far apart needs no look.
    fn enough(&self) -> f64 {
        self.best.map_or(self.limit, |best| best.apart_mm - TOLERANCE)
    }

    fn halve(&mut self, pair: Pair<O::Part>) {
        if O::off(&pair.part) > pair.span.off {
            for half in self.other.halves(&pair.part) {
                self.take_up(pair.span.clone(), half);
            }
        } else {
            for half in self.tube.halves(&pair.span) {
                self.take_up(half, pair.part.clone());
            }
        }
    }

    /// Keeps a pair unless it can't be nearer than what is known.
    fn take_up(&mut self, span: Span, part: O::Part) {
        let (off, enough) = (span.off + O::off(&part), self.enough());
        let hulls = self.other.nearest(&span.hull, &part, enough + off);
        let at_least = hulls.at_least - off;
        if at_least >= enough {
            return;
        }
        self.look(&span, &part, &hulls);
        if at_least < self.enough() {
            self.pairs.push(Pair { at_least, span, part });
        }
    }

    /// Looks at the wall itself where the hulls are nearest.
    fn look(&mut self, span: &Span, part: &O::Part, hulls: &Nearest) {
        let slice = self.tube.slice(azimuth_of(span, hulls, 0));
        let known = self.best.map_or(self.limit, |best| best.apart_mm);
        let found = self.other.nearest_itself(&slice.corners, part, hulls, known);
        if found.apart < known {
            self.best = Some(Between {
                apart_mm: found.apart,
                is_bound: false,
                places: found.places,
            });
        }
    }
}

impl<P> PartialEq for Pair<P> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl<P> Eq for Pair<P> {}

impl<P> PartialOrd for Pair<P> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// The pair that may be nearest comes first.
impl<P> Ord for Pair<P> {
    fn cmp(&self, other: &Self) -> Ordering {
        other.at_least.total_cmp(&self.at_least)
    }
}
