//! Lines through space, and what is seen of them.

use glam::DVec3;
use kurbo::{BezPath, Point};

use super::super::polyline::{polyline, thinned};

/// Nobody sees by how much a line is off if it is this, in millimetres on the sheet.
const UNSEEN: f64 = 0.02;
/// A line is looked at in steps of this at the most, in millimetres on the sheet: less than a pen is wide.
const STEP: f64 = 0.25;
/// Nor in more steps than this: of a picture that is enlarged most lies outside.
const MOST_STEPS: f64 = 4000.0;
/// Steps round an edge, from which its length is told.
const ROUND: usize = 60;

/// What a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::layout) enum Kind {
    /// An edge or an outline.
    Edge,
    /// The edge of a cut that is made.
    Cut,
    /// Marked on a skin: a front line.
    Mark,
}

/// A line through places in space.
pub(in crate::layout) struct LineInSpace<'a> {
    /// From 0 to 1 along it.
    at: Box<dyn Fn(f64) -> DVec3 + 'a>,
    /// Steps in which its shape shows.
    steps: usize,
    pub(super) kind: Kind,
}

impl<'a> LineInSpace<'a> {
    /// One that bends.
    pub(super) fn curve(at: impl Fn(f64) -> DVec3 + 'a) -> Self {
        Self {
            at: Box::new(at),
            steps: ROUND,
            kind: Kind::Edge,
        }
    }

    /// A straight one.
    pub(super) fn straight(from: DVec3, to: DVec3) -> Self {
        Self {
            at: Box::new(move |share| from.lerp(to, share)),
            steps: 1,
            kind: Kind::Edge,
        }
    }

    /// The same as another kind.
    pub(super) fn of(self, kind: Kind) -> Self {
        Self { kind, ..self }
    }

    fn places(&self, steps: usize) -> impl Iterator<Item = DVec3> {
        (0..=steps).map(move |step| (self.at)(step as f64 / steps as f64))
    }

    /// So many of its places that its shape shows.
    pub(super) fn shape(&self) -> impl Iterator<Item = DVec3> {
        self.places(self.steps)
    }

    /// The parts of it that are seen, each to where something begins to hide it; `flat` takes places to the sheet.
    pub(super) fn seen(&self, sees: impl Fn(DVec3) -> bool, flat: impl Fn(DVec3) -> Point) -> BezPath {
        let shape: Vec<Point> = self.shape().map(&flat).collect();
        let length: f64 = shape.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        if length < UNSEEN {
            return BezPath::new();
        }
        let steps = ((length / STEP).min(MOST_STEPS).ceil() as usize).max(self.steps);
        let share = |step: usize| step as f64 / steps as f64;
        let places: Vec<(DVec3, bool)> = self.places(steps).map(|place| (place, sees(place))).collect();
        let mut runs: Vec<Vec<Point>> = Vec::new();
        let mut is_down = false;
        for (step, pair) in places.windows(2).enumerate() {
            let [(from, sees_from), (to, sees_to)] = [pair[0], pair[1]];
            let (before, after) = (share(step), share(step + 1));
            let (from, to) = match (sees_from, sees_to) {
                (true, true) => (from, to),
                (true, false) => (from, self.last_seen(before, after, &sees)),
                (false, true) => (self.last_seen(after, before, &sees), to),
                (false, false) => continue,
            };
            if !is_down {
                runs.push(vec![flat(from)]);
            }
            if let Some(run) = runs.last_mut() {
                run.push(flat(to));
            }
            is_down = sees_to;
        }
        let mut path = BezPath::new();
        for run in runs {
            path.extend(polyline(&thinned(&run, UNSEEN)));
        }
        path
    }

    /// Between a place that is seen and one that is not.
    fn last_seen(&self, mut seen: f64, mut hidden: f64, sees: impl Fn(DVec3) -> bool) -> DVec3 {
        const HALVINGS: usize = 5;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (seen + hidden);
            if sees((self.at)(middle)) {
                seen = middle;
            } else {
                hidden = middle;
            }
        }
        (self.at)(seen)
    }
}

#[cfg(test)]
mod tests {
    use kurbo::Shape;

    use super::*;

    #[test]
    fn only_what_is_seen_of_a_line_is_drawn_in_runs() {
        let line = LineInSpace::straight(DVec3::ZERO, DVec3::new(30.0, 0.0, 0.0));
        let sees = |place: DVec3| !(10.0..20.0).contains(&place.x) && place.x > 1.0 && place.x < 29.0;
        let path = line.seen(sees, |place| Point::new(place.x, place.y));
        let ends: Vec<f64> = path
            .elements()
            .iter()
            .filter_map(|part| part.end_point())
            .map(|end| end.x)
            .collect();
        assert_eq!(ends.len(), 4, "{path:?}");
        for (end, should) in ends.iter().zip([1.0, 10.0, 20.0, 29.0]) {
            assert!((end - should).abs() < 0.01, "{ends:?}");
        }
    }

    #[test]
    fn a_curve_is_drawn_within_a_hair() {
        let ring = LineInSpace::curve(|share| {
            let (sin, cos) = (std::f64::consts::TAU * share).sin_cos();
            DVec3::new(20.0 * cos, 20.0 * sin, 0.0)
        });
        let path = ring.seen(|_| true, |place| Point::new(place.x, place.y));
        assert!((path.perimeter(1e-3) - 125.66).abs() < 0.05);
    }
}
