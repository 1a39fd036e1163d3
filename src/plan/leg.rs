//! The straight stretches of all tubes, and which of them come near each other at all.

use glam::DVec3;

use super::apart::stretches;
use crate::job::{Assembly, Ending, Piece, TubeEnd};
use crate::section::Profile;

/// Two places nearer than this are one, in millimetres: mitered tubes end in the same.
const SAME: f64 = 1.0;

/// A straight stretch of tube.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leg {
    /// Which tube it is of, and which of its legs.
    pub(super) tube: usize,
    pub(super) leg: usize,
    /// Which of the tube's pieces.
    number: usize,
    /// Of its axis: nothing of it is farther from there than `radius`.
    pub(super) axis: (DVec3, DVec3),
    /// Of its axis where it is whole all round.
    pub(super) full: (DVec3, DVec3),
    /// How far its section reaches from the axis, in millimetres.
    pub(super) radius: f64,
}

/// All of them, tube after tube.
pub(super) fn legs(assembly: &Assembly) -> Vec<Leg> {
    let mut found = Vec::new();
    for (index, tube) in assembly.tubes.iter().enumerate() {
        let radius = assembly.stock[tube.stock].tube.section.reach();
        let legs = (0..tube.nodes.len() - 1).filter(|leg| !tube.gaps.contains(leg));
        for ((number, leg), piece) in legs.enumerate().zip(assembly.pieces(tube)) {
            let at = |t: f64| piece.near.frame.origin + t * piece.near.frame.axis;
            let [axis, full] = stretches(&piece).map(|(from, to)| (at(from), at(to)));
            found.push(Leg {
                tube: index,
                leg,
                number,
                axis,
                full,
                radius,
            });
        }
    }
    found
}

impl Leg {
    pub(super) fn piece(&self, assembly: &Assembly) -> Option<Piece> {
        assembly.pieces(&assembly.tubes[self.tube]).into_iter().nth(self.number)
    }

    /// The ends of the tube that it ends in.
    pub(super) fn ends(&self, assembly: &Assembly) -> impl Iterator<Item = TubeEnd> + use<> {
        let tube = &assembly.tubes[self.tube];
        let ends = [self.leg == 0, self.leg + 2 == tube.nodes.len()];
        let ends = tube.ends().into_iter().zip(ends);
        ends.filter(|(_, is_here)| *is_here).map(|(end, _)| end)
    }

    /// Whether it is this leg that ends on the body.
    pub(super) fn lands(&self, assembly: &Assembly, body: usize) -> bool {
        self.ends(assembly).any(|end| end.body() == Some(body))
    }

    fn lands_on_tube(&self, assembly: &Assembly, tube: usize) -> bool {
        let mut bodies = self.ends(assembly).filter_map(|end| end.body());
        bodies.any(|body| assembly.bodies[body].of_tube == Some(tube))
    }

    /// Whether the two meet in a cut: they follow each other round a corner, one lands on the other, or they are mitered to
    /// each other. The cut keeps them from running into each other anywhere else.
    pub(super) fn is_joined_to(&self, other: &Self, assembly: &Assembly) -> bool {
        if self.tube == other.tube {
            return self.leg.abs_diff(other.leg) <= 1;
        }
        if self.lands_on_tube(assembly, other.tube) || other.lands_on_tube(assembly, self.tube) {
            return true;
        }
        let mitered = |leg: &Self| leg.ends(assembly).filter(|end| matches!(end.ending, Ending::Miter(_)));
        mitered(self).any(|end| mitered(other).any(|there| (end.at - there.at).length() < SAME))
    }

    /// The box about it, in space.
    fn bounds(&self) -> (DVec3, DVec3) {
        let (from, to) = self.axis;
        (from.min(to) - self.radius, from.max(to) + self.radius)
    }

    /// No part of one is nearer to a part of the other, in millimetres.
    pub(super) fn apart_at_least(&self, other: &Self) -> f64 {
        let (p, q) = nearest(self.axis, other.axis);
        (p - q).length() - self.radius - other.radius
    }
}

/// The pairs whose boxes overlap. They are taken in the order in which they begin along the way in which they are strewn
/// farthest, each held against those that begin before it ends.
pub(super) fn near_pairs(legs: &[Leg]) -> Vec<(&Leg, &Leg)> {
    let boxes: Vec<(DVec3, DVec3)> = legs.iter().map(Leg::bounds).collect();
    let middles = boxes.iter().map(|(low, high)| (*low + *high) / 2.0);
    let strewn = middles.fold((DVec3::INFINITY, DVec3::NEG_INFINITY), |(low, high), middle| {
        (low.min(middle), high.max(middle))
    });
    let along = (strewn.1 - strewn.0).max_position();
    let mut order: Vec<usize> = (0..legs.len()).collect();
    order.sort_by(|a, b| boxes[*a].0[along].total_cmp(&boxes[*b].0[along]));
    let mut found = Vec::new();
    for (index, &a) in order.iter().enumerate() {
        let (low, high) = boxes[a];
        let beside = order[index + 1..]
            .iter()
            .take_while(|b| boxes[**b].0[along] <= high[along]);
        found.extend(
            beside
                .filter(|b| boxes[**b].0.cmple(high).all() && boxes[**b].1.cmpge(low).all())
                .map(|&b| (a.min(b), a.max(b))),
        );
    }
    found.sort_unstable();
    found.into_iter().map(|(a, b)| (&legs[a], &legs[b])).collect()
}

/// The nearest points of two straight stretches (Ericson, Real-Time Collision Detection, 2005, 5.1.9).
pub(super) fn nearest(a: (DVec3, DVec3), b: (DVec3, DVec3)) -> (DVec3, DVec3) {
    let (u, v, w) = (a.1 - a.0, b.1 - b.0, a.0 - b.0);
    let (uu, uv, vv, uw, vw) = (u.dot(u), u.dot(v), v.dot(v), u.dot(w), v.dot(w));
    let denominator = uu * vv - uv * uv;
    let mut s = if denominator > 1e-12 * uu * vv {
        ((uv * vw - vv * uw) / denominator).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let t = if vv > 0.0 {
        ((uv * s + vw) / vv).clamp(0.0, 1.0)
    } else {
        0.0
    };
    if uu > 0.0 {
        s = ((uv * t - uw) / uu).clamp(0.0, 1.0);
    }
    (a.0 + s * u, b.0 + t * v)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_points_of_stretches_that_cross_miss_and_lie_alongside() {
        let apart = |a, b| {
            let (p, q) = nearest(a, b);
            (p - q).length()
        };
        let x = (DVec3::ZERO, 10.0 * DVec3::X);
        assert!((apart(x, (DVec3::new(5.0, -5.0, 3.0), DVec3::new(5.0, 5.0, 3.0))) - 3.0).abs() < 1e-12);
        assert!((apart(x, (DVec3::new(13.0, 4.0, 0.0), DVec3::new(20.0, 4.0, 0.0))) - 5.0).abs() < 1e-12);
        assert!((apart(x, (DVec3::new(2.0, 4.0, 0.0), DVec3::new(8.0, 4.0, 0.0))) - 4.0).abs() < 1e-12);
        assert!((apart(x, (DVec3::new(-3.0, 4.0, 0.0), DVec3::new(-3.0, 4.0, 0.0))) - 5.0).abs() < 1e-12);
    }
}
