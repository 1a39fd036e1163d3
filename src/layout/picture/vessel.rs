//! A body about an axis between two flat ends: a drum, round or not, a cone.

use std::f64::consts::TAU;
use std::sync::Arc;

use glam::DVec3;

use super::Solid;
use super::labels::Label;
use super::line::LineInSpace;
use super::sight::{CLEAR, Sight, in_cylinder, shared};
use crate::job::Surface;

/// Places round it at which it is told whether it faces the eye.
const PLACES: usize = 120;
/// To where an outline is found, in halvings of such a place.
const HALVINGS: usize = 30;
/// What faces the eye by less than this, as a cosine, is seen along its skin.
const ALONG: f64 = 1e-9;

/// Who looks along an axis by more than this, as a cosine, sees hardly anything but one end.
const STRAIGHT: f64 = 0.99;

/// Convex, straight along its skin, closed by flat lids.
pub(in crate::layout) struct Vessel {
    /// Its skin in space, without ends.
    pub surface: Arc<dyn Surface>,
    /// Where its axis begins.
    pub from: DVec3,
    /// Its axis, a unit vector.
    pub axis: DVec3,
    /// Along the axis, in millimetres.
    pub length: f64,
    /// The farthest that its skin is from the axis, in millimetres.
    pub reach: f64,
    /// What is written at its ends, the one where the axis begins first, where they need to be told apart.
    pub ends: Option<[&'static str; 2]>,
}

impl Vessel {
    fn rim(&self, along: f64) -> LineInSpace<'_> {
        LineInSpace::curve(move |share| self.surface.site(along, TAU * share).point)
    }

    /// Where round it the skin turns away from the eye, in radians.
    fn outlines(&self, eye: DVec3) -> Vec<f64> {
        let facing = |round: f64| self.surface.site(0.5 * self.length, round).normal.dot(eye);
        let faces = |round: f64| facing(round) > ALONG;
        let step = TAU / PLACES as f64;
        let turns = (0..PLACES).map(|place| place as f64 * step);
        let turns = turns.filter(|round| faces(*round) != faces(round + step));
        turns
            .map(|round| {
                let (mut low, mut high) = (round, round + step);
                for _ in 0..HALVINGS {
                    let middle = 0.5 * (low + high);
                    if faces(middle) == faces(round) {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                low
            })
            .collect()
    }
}

impl Solid for Vessel {
    fn lines(&self, eye: DVec3) -> Vec<LineInSpace<'_>> {
        let outlines = self.outlines(eye).into_iter().map(|round| {
            let [from, to] = [0.0, self.length].map(|along| self.surface.site(along, round).point);
            LineInSpace::straight(from, to)
        });
        [self.rim(0.0), self.rim(self.length)]
            .into_iter()
            .chain(outlines)
            .collect()
    }

    fn hides(&self, sight: &Sight) -> bool {
        let from_end = Sight {
            from: sight.from - self.from,
            ..*sight
        };
        let between = from_end.between(self.axis, CLEAR, self.length - CLEAR);
        // Most lines of sight pass by: a round tube about all of it tells that faster.
        let about = shared(between, in_cylinder(&from_end, self.axis, self.reach));
        if about.is_none_or(|about| about.1 <= 0.0) {
            return false;
        }
        let within = shared(between, sight.in_body(self.surface.as_ref(), -CLEAR));
        within.is_some_and(|within| within.1 > 0.0)
    }

    /// At each rim where it is nearest to the eye, and to both sides from there.
    fn labels(&self, eye: DVec3) -> Vec<Label> {
        const ASIDE: [usize; 7] = [0, 10, PLACES - 10, 20, PLACES - 20, 30, PLACES - 30];
        let near = |along: f64| {
            let at = |place: usize| {
                self.surface
                    .site(along, TAU * (place % PLACES) as f64 / PLACES as f64)
                    .point
            };
            let nearest = (0..PLACES).max_by(|a, b| at(*a).dot(eye).total_cmp(&at(*b).dot(eye)));
            let nearest = nearest.into_iter();
            nearest.flat_map(|place| ASIDE.map(|aside| at(place + aside))).collect()
        };
        let ends = self
            .ends
            .into_iter()
            .flat_map(|words| [0.0, self.length].into_iter().zip(words));
        // Seen straight along, both rims are one line, and only one end is seen.
        let facing = self.axis.dot(eye);
        let ends = ends.filter(|(along, _)| facing.abs() < STRAIGHT || (facing > 0.0) == (*along > 0.0));
        ends.map(|(along, words)| Label {
            places: near(along),
            words,
        })
        .collect()
    }

    fn ball(&self) -> (DVec3, f64) {
        let middle = self.from + 0.5 * self.length * self.axis;
        (middle, self.reach.hypot(0.5 * self.length))
    }
}

#[cfg(test)]
mod tests {
    use glam::DAffine3;

    use super::*;
    use crate::body::{Cone, Contour, Cylinder, OutOfRound, Placed};

    const EYE: DVec3 = DVec3::X;

    fn sight(from: (f64, f64, f64), eye: DVec3) -> Sight {
        Sight { from: from.into(), eye }
    }

    /// At home: its axis +y, its zero line +z.
    fn vessel(surface: Arc<dyn Surface>, reach: f64) -> Vessel {
        Vessel {
            surface,
            from: DVec3::ZERO,
            axis: DVec3::Y,
            length: 400.0,
            reach,
            ends: None,
        }
    }

    /// How wide its outlines are apart for an eye in +x, at both ends.
    fn widths(vessel: &Vessel) -> [f64; 2] {
        let lines = vessel.lines(EYE);
        let outlines = &lines[2..];
        assert_eq!(outlines.len(), 2);
        let ends = |line: &LineInSpace<'_>| {
            let places: Vec<DVec3> = line.shape().collect();
            [places[0].z, places[places.len() - 1].z]
        };
        let (a, b) = (ends(&outlines[0]), ends(&outlines[1]));
        [(a[0] - b[0]).abs(), (a[1] - b[1]).abs()]
    }

    #[test]
    fn an_oval_drum_is_as_wide_as_it_is_from_where_it_is_seen() {
        let oval = |diameters| OutOfRound::new(Arc::new(Contour::ellipse(diameters, 0.0)), 0.0);
        // The first diameter is towards the zero line, across the eye.
        let [width, _] = widths(&vessel(Arc::new(oval([592.0, 555.0])), 296.0));
        assert!((width - 592.0).abs() < 1e-6, "{width}");
        let [width, _] = widths(&vessel(Arc::new(oval([555.0, 592.0])), 296.0));
        assert!((width - 555.0).abs() < 1e-6, "{width}");
    }

    /// By hand: the skin's normal is square to the eye where sin(round) = -taper x (the eye's y / x), here 0.
    #[test]
    fn a_cone_tapers_in_the_picture_as_it_does() {
        let [near, far] = widths(&vessel(Arc::new(Cone::new(300.0, -0.5)), 300.0));
        assert!(
            (near - 600.0).abs() < 1e-6 && (far - 200.0).abs() < 1e-6,
            "{near} {far}"
        );
    }

    #[test]
    fn it_hides_what_is_behind_and_in_it_and_nothing_before_or_beside_it() {
        let drum = vessel(Arc::new(Placed::new(Cylinder::new(200.0), DAffine3::IDENTITY)), 200.0);
        let hides = |x: f64, y: f64, z: f64| drum.hides(&sight((x, y, z), EYE));
        assert!(hides(-300.0, 200.0, 0.0) && hides(0.0, 200.0, 0.0) && hides(-200.0, 200.0, 0.0));
        assert!(
            !hides(300.0, 200.0, 0.0) && !hides(200.0, 200.0, 0.0),
            "before it, and its own skin"
        );
        assert!(!hides(-300.0, 410.0, 0.0) && !hides(-300.0, -10.0, 0.0) && !hides(-300.0, 200.0, 210.0));
    }

    #[test]
    fn both_ends_are_named_except_where_one_hides_the_other() {
        let drum = Vessel {
            ends: Some(["near end", "far end"]),
            ..vessel(Arc::new(Placed::new(Cylinder::new(200.0), DAffine3::IDENTITY)), 200.0)
        };
        let named = |eye: DVec3| -> Vec<&str> {
            let labels = drum.labels(eye.normalize());
            labels.iter().map(|label| label.words).collect()
        };
        assert_eq!(named(DVec3::new(1.0, 1.0, 0.3)), ["near end", "far end"]);
        assert_eq!(named(DVec3::Y), ["far end"]);
        assert_eq!(named(DVec3::NEG_Y), ["near end"]);
    }

    #[test]
    fn a_lid_hides_what_is_under_it_from_above() {
        let drum = vessel(Arc::new(Cone::new(100.0, 0.25)), 200.0);
        let above = DVec3::Y;
        assert!(drum.hides(&sight((150.0, -50.0, 0.0), above)));
        assert!(!drum.hides(&sight((150.0, 450.0, 0.0), above)));
        assert!(!drum.hides(&sight((210.0, -50.0, 0.0), above)));
    }
}
