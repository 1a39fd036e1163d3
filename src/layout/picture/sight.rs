//! A line of sight, and the stretches of it that lie in things.

use glam::{DVec2, DVec3};
use smallvec::SmallVec;

use crate::body::{Body, Line};
use crate::section::{Profile, Section};

/// What is nearer than this to a skin lies on it, in millimetres: a thing hides what lies behind something that is smaller by
/// this all round, so that it never hides its own skin, and an outline is off by no more.
pub(super) const CLEAR: f64 = 0.01;

/// A line of sight that only grazes a grown skin lies in it no farther than this on either side, in millimetres.
const GRAZES: f64 = 1.0;

/// From a place to the eye.
#[derive(Debug, Clone, Copy)]
pub(in crate::layout) struct Sight {
    /// The place.
    pub(super) from: DVec3,
    /// Unit vector.
    pub(super) eye: DVec3,
}

/// A stretch of a line of sight, from and to, in millimetres from the place; below 0 behind it.
pub(super) type Stretch = (f64, f64);

/// Where there is no metal: the bore, two ends and a hole or two. Asked thousands of times a picture, so not on the heap.
pub(super) type Hollows = SmallVec<[Stretch; 6]>;

/// All of the line.
const ALL: Stretch = (f64::NEG_INFINITY, f64::INFINITY);

impl Sight {
    /// What of it lies between two parallel planes square to `axis`, a unit vector, from `low` to `high` along it.
    #[inline]
    pub(super) fn between(&self, axis: DVec3, low: f64, high: f64) -> Option<Stretch> {
        let (at, pace) = (self.from.dot(axis), self.eye.dot(axis));
        if pace.abs() < 1e-12 {
            return (at > low && at < high).then_some(ALL);
        }
        let (a, b) = ((low - at) / pace, (high - at) / pace);
        Some((a.min(b), a.max(b)))
    }

    /// What of it lies in a body that is grown by `by` millimetres.
    pub(super) fn in_body(&self, body: &dyn Body, by: f64) -> Option<Stretch> {
        let [enters, leaves] = [1.0, -1.0].map(|sign| {
            let hit = body.first_hit(&Line {
                origin: self.from,
                direction: sign * self.eye,
            })?;
            let facing = hit.normal.dot(self.eye).abs().max(1e-9);
            Some(sign * (hit.distance - (by / facing).min(GRAZES)))
        });
        if enters.is_none() && leaves.is_none() {
            return self.runs_within(body, by).then_some(ALL);
        }
        let stretch = (enters.unwrap_or(ALL.0), leaves.unwrap_or(ALL.1));
        (stretch.0 < stretch.1).then_some(stretch)
    }

    /// Whether a line that meets no skin runs within the body: then another line through the same place leaves it.
    fn runs_within(&self, body: &dyn Body, by: f64) -> bool {
        let (a, b) = self.eye.any_orthonormal_pair();
        [a, b].into_iter().any(|across| {
            let aside = Self {
                from: self.from,
                eye: across,
            };
            let is_met = [across, -across].into_iter().any(|direction| {
                let line = Line {
                    origin: self.from,
                    direction,
                };
                body.first_hit(&line).is_some()
            });
            is_met && aside.in_body(body, by).is_some_and(|(from, to)| from < 0.0 && to > 0.0)
        })
    }
}

/// What of a line of sight lies in a section that goes on for ever: `start` and `way` as the section sees them.
#[inline]
pub(super) fn in_section(section: &Section, start: DVec2, way: DVec2) -> Option<Stretch> {
    if way.length_squared() < 1e-18 {
        let across = DVec3::new(start.x, start.y, 0.0);
        return (section.outside_by(across, DVec3::X, DVec3::Y) < 0.0).then_some(ALL);
    }
    section.crossings(start, way).map(|[from, to]| (from, to))
}

/// What of it lies in a cylinder about an axis through the origin that goes on for ever.
pub(super) fn in_cylinder(sight: &Sight, axis: DVec3, radius: f64) -> Option<Stretch> {
    let across = |vector: DVec3| vector - vector.dot(axis) * axis;
    let (from, way) = (across(sight.from), across(sight.eye));
    let (pace, past) = (way.length_squared(), from.dot(way));
    let inside = radius * radius - from.length_squared();
    if pace < 1e-18 {
        return (inside > 0.0).then_some(ALL);
    }
    let square = past * past + pace * inside;
    (square > 0.0).then(|| ((-past - square.sqrt()) / pace, (-past + square.sqrt()) / pace))
}

/// The part that two stretches share.
#[inline]
pub(super) fn shared(a: Option<Stretch>, b: Option<Stretch>) -> Option<Stretch> {
    let (a, b) = (a?, b?);
    let both = (a.0.max(b.0), a.1.min(b.1));
    (both.0 < both.1).then_some(both)
}

/// Whether anything of a stretch is left when the hollows are taken away, on the eye's side of the place.
#[inline]
pub(super) fn is_left(stretch: Stretch, hollows: &[Stretch]) -> bool {
    let mut at = stretch.0.max(0.0);
    while let Some(hollow) = hollows.iter().find(|hollow| hollow.0 <= at && at < hollow.1) {
        at = hollow.1;
    }
    at < stretch.1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::{Cylinder, Plane};

    fn sight(from: (f64, f64, f64), eye: DVec3) -> Sight {
        Sight { from: from.into(), eye }
    }

    #[test]
    fn a_line_along_a_body_lies_in_it_or_beside_it() {
        let (bar, ground) = (Cylinder::new(10.0), Plane);
        let inside = |body: &dyn Body, x: f64, z: f64| sight((x, 0.0, z), DVec3::Y).in_body(body, 0.0);
        assert_eq!(inside(&bar, 3.0, 9.0), Some(ALL));
        assert_eq!(inside(&bar, 8.0, 9.0), None);
        assert_eq!(inside(&ground, 3.0, -9.0), Some(ALL));
        assert_eq!(inside(&ground, 3.0, 9.0), None);
    }

    #[test]
    fn a_stretch_in_a_body_is_that_of_the_body_grown_or_shrunk() {
        let bar = Cylinder::new(10.0);
        assert_eq!(sight((0.0, 0.0, 0.0), DVec3::X).in_body(&bar, 0.5), Some((-10.5, 10.5)));
        assert_eq!(sight((0.0, 0.0, 0.0), DVec3::X).in_body(&bar, -0.5), Some((-9.5, 9.5)));
        let up = sight((0.0, 0.0, 4.0), DVec3::Z).in_body(&Plane, 0.5);
        assert_eq!(up, Some((f64::NEG_INFINITY, -3.5)));
    }

    #[test]
    fn a_line_that_grazes_a_body_is_near_it_for_a_short_way_only() {
        let bar = Cylinder::new(10.0);
        let graze = sight((0.0, 0.0, 10.0), DVec3::X);
        let near = graze.in_body(&bar, CLEAR).expect("it is near");
        assert!(
            (-2.0..0.0).contains(&near.0) && (0.0..2.0).contains(&near.1),
            "{near:?}"
        );
        assert_eq!(graze.in_body(&bar, -CLEAR), None);
    }

    #[test]
    fn hollows_take_away_what_they_cover_together() {
        assert!(!is_left((-5.0, 4.0), &[(2.0, 9.0), (-1.0, 2.0)]));
        assert!(is_left((-5.0, 4.0), &[(2.0, 3.5), (-1.0, 2.0)]));
        assert!(!is_left((-5.0, -1.0), &[]), "behind the place");
    }
}
