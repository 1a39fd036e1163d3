//! The straight stretches of all tubes.

use glam::DVec3;

use super::apart::stretches;
use super::near::Bounds;
use crate::job::{Assembly, Piece, TubeEnd};
use crate::section::Profile;

/// Two places nearer than this are one, in millimetres: mitered tubes end in the same.
const SAME: f64 = 1.0;

/// A straight stretch of tube.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leg {
    /// Which tube it is of, and which of its legs.
    pub(super) tube: usize,
    pub(super) leg: usize,
    /// Of its axis: nothing of it is farther from there than `radius`.
    pub(super) axis: (DVec3, DVec3),
    /// Of its axis where it is whole all round.
    pub(super) full: (DVec3, DVec3),
    /// How far its section reaches from the axis, in millimetres.
    pub(super) radius: f64,
}

/// All of them, tube after tube, each with the piece that is cut for it.
pub(super) fn legs(assembly: &Assembly) -> (Vec<Leg>, Vec<Piece>) {
    let (mut found, mut pieces) = (Vec::new(), Vec::new());
    for (index, tube) in assembly.tubes.iter().enumerate() {
        let radius = assembly.stock[tube.stock].tube.section.reach();
        let legs = (0..tube.nodes.len() - 1).filter(|leg| !tube.gaps.contains(leg));
        for (leg, piece) in legs.zip(assembly.pieces(tube)) {
            let at = |t: f64| piece.near.frame.origin + t * piece.near.frame.axis;
            let [axis, full] = stretches(&piece).map(|(from, to)| (at(from), at(to)));
            found.push(Leg {
                tube: index,
                leg,
                axis,
                full,
                radius,
            });
            pieces.push(piece);
        }
    }
    (found, pieces)
}

impl Leg {
    /// The ends of the tube that it ends in.
    pub(super) fn ends(&self, assembly: &Assembly) -> impl Iterator<Item = TubeEnd> + use<> {
        let tube = &assembly.tubes[self.tube];
        let ends = [self.leg == 0, self.leg + 2 == tube.nodes.len()];
        let ends = tube.ends().into_iter().zip(ends);
        ends.filter(|(_, is_here)| *is_here).map(|(end, _)| end)
    }

    /// Whether it is this leg that ends on the body, or is cut to it.
    pub(super) fn lands(&self, assembly: &Assembly, body: usize) -> bool {
        let is_its_vessel = |end: &TubeEnd| end.body().is_some_and(|on| assembly.is_one_vessel(on, body));
        // A straight leg that leaves a vessel, which bulges everywhere, never comes back to it.
        self.ends(assembly)
            .any(|end| end.is_cut_to(body) || is_its_vessel(&end))
    }

    fn lands_on(&self, assembly: &Assembly, other: &Self) -> bool {
        let is_it = |body: usize| {
            let body = &assembly.bodies[body];
            body.of_tube == Some(other.tube) && body.of_leg.is_none_or(|leg| leg == other.leg)
        };
        let mut ends = self.ends(assembly);
        ends.any(|end| end.body().is_some_and(is_it) || end.also().iter().copied().any(is_it))
    }

    /// Whether the two meet in a cut: they follow each other round a corner, one lands on the other, or they are mitered to
    /// each other. The cut keeps them from running into each other anywhere else.
    pub(super) fn is_joined_to(&self, other: &Self, assembly: &Assembly) -> bool {
        if self.tube == other.tube {
            return self.leg.abs_diff(other.leg) <= 1;
        }
        if self.lands_on(assembly, other) || other.lands_on(assembly, self) {
            return true;
        }
        let mitered = |leg: &Self| leg.ends(assembly).filter(TubeEnd::is_mitered);
        mitered(self).any(|end| mitered(other).any(|there| (end.at - there.at).length() < SAME))
    }

    /// The box about it, in space.
    pub(super) fn bounds(&self) -> Bounds {
        let (from, to) = self.axis;
        (from.min(to) - self.radius, from.max(to) + self.radius)
    }

    /// No part of one is nearer to a part of the other, in millimetres.
    pub(super) fn apart_at_least(&self, other: &Self) -> f64 {
        let (p, q) = nearest(self.axis, other.axis);
        (p - q).length() - self.radius - other.radius
    }
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
