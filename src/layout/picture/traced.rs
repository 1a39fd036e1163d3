//! A line as it runs over the sheet, and what is seen of it.

use glam::DVec3;
use kurbo::{BezPath, Line, Point, Rect};

use super::super::polyline::{polyline, thinned};
use super::line::LineInSpace;

/// Nobody sees by how much a line is off if it is this, in millimetres on the sheet.
const UNSEEN: f64 = 0.02;
/// A line is followed in steps of this at the most, in millimetres on the sheet.
const STEP: f64 = 1.0;
/// In steps of this where another line is near: less than a pen is wide.
const FINE_STEP: f64 = 0.25;
/// Nor in more steps than this: of a picture that is enlarged most lies outside.
const MOST_STEPS: f64 = 1000.0;

/// A place on a line.
#[derive(Clone, Copy)]
struct Stop {
    /// From 0 to 1 along the line.
    share: f64,
    place: DVec3,
    /// On the sheet.
    at: Point,
}

/// A line through space and the straight stretches that stand for it on the sheet.
pub(super) struct Traced<'a> {
    line: &'a LineInSpace<'a>,
    stops: Vec<Stop>,
}

impl<'a> Traced<'a> {
    /// `flat` takes places to the sheet. What lies outside the window isn't followed.
    pub(super) fn new(line: &'a LineInSpace<'a>, flat: impl Fn(DVec3) -> Point, window: Rect) -> Self {
        let stop = |share: f64, place: DVec3| Stop {
            share,
            place,
            at: flat(place),
        };
        let shape: Vec<DVec3> = line.shape().collect();
        let last = shape.len() - 1;
        let shape = shape.into_iter().enumerate();
        let shape: Vec<Stop> = shape
            .map(|(step, place)| stop(step as f64 / last as f64, place))
            .collect();
        let length: f64 = shape.windows(2).map(|pair| pair[0].at.distance(pair[1].at)).sum();
        // Between the places of its shape it goes a little farther.
        let is_outside = bounds(&shape).is_none_or(|bounds| !bounds.inflate(STEP, STEP).overlaps(window));
        if length < UNSEEN || is_outside {
            return Self {
                line,
                stops: Vec::new(),
            };
        }
        let between = ((length / STEP).min(MOST_STEPS) / last as f64).ceil() as usize;
        let mut stops = Vec::with_capacity(last * between + 1);
        for pair in shape.windows(2) {
            stops.push(pair[0]);
            stops.extend((1..between).map(|step| {
                let share = pair[0].share + (pair[1].share - pair[0].share) * step as f64 / between as f64;
                stop(share, line.at(share))
            }));
        }
        stops.push(shape[last]);
        Self { line, stops }
    }

    /// What it stands for.
    pub(super) fn line(&self) -> &LineInSpace<'a> {
        self.line
    }

    /// A box about all of it; none where it is too short to be seen.
    pub(super) fn bounds(&self) -> Option<Rect> {
        bounds(&self.stops)
    }

    /// The straight stretches that it is followed in, on the sheet.
    pub(super) fn stretches(&self) -> impl Iterator<Item = Line> {
        self.stops.windows(2).map(|pair| Line::new(pair[0].at, pair[1].at))
    }

    /// The parts of it that are seen, each to where something begins to hide it. What is seen changes where another line
    /// passes or where things run into each other, and hardly anywhere else: `is_passed` tells the one of a stretch by its
    /// number and its ends, and `hidden_by`, by what it names, the other.
    pub(super) fn seen<H: PartialEq>(
        &self,
        hidden_by: impl Fn(DVec3) -> Option<H>,
        is_passed: impl Fn(usize, Line) -> bool,
        flat: impl Fn(DVec3) -> Point,
    ) -> BezPath {
        let mut runs = Runs::default();
        let sees = |place| hidden_by(place).is_none();
        let mut ends = self.stops.iter().map(|stop| (*stop, hidden_by(stop.place)));
        let Some((mut from, mut from_hidden)) = ends.next() else {
            return BezPath::new();
        };
        for (index, (to, to_hidden)) in ends.enumerate() {
            let is_by_another = from_hidden.is_some() && to_hidden.is_some() && from_hidden != to_hidden;
            let is_fine = is_by_another || self.bends(index) || is_passed(index, Line::new(from.at, to.at));
            let finely = from.at.distance(to.at) / FINE_STEP;
            let parts = if is_fine { finely.ceil().max(1.0) as usize } else { 1 };
            let (mut before, mut sees_before) = (from, from_hidden.is_none());
            for part in 1..=parts {
                let (next, sees_next) = if part == parts {
                    (to, to_hidden.is_none())
                } else {
                    let share = from.share + (to.share - from.share) * part as f64 / parts as f64;
                    let next = self.stop(share, &flat);
                    (next, sees(next.place))
                };
                match (sees_before, sees_next) {
                    (true, true) => runs.draw(before.at, next.at),
                    (true, false) => runs.draw(before.at, self.last_seen(before, next, sees, &flat)),
                    (false, true) => runs.draw(self.last_seen(next, before, sees, &flat), next.at),
                    (false, false) => {}
                }
                runs.is_down = sees_next;
                (before, sees_before) = (next, sees_next);
            }
            (from, from_hidden) = (to, to_hidden);
        }
        runs.path()
    }

    fn stop(&self, share: f64, flat: impl Fn(DVec3) -> Point) -> Stop {
        let place = self.line.at(share);
        Stop {
            share,
            place,
            at: flat(place),
        }
    }

    /// Whether a stretch may stray from the line that it stands for by more than is seen: beside a corner.
    fn bends(&self, index: usize) -> bool {
        let way = |index: usize| Some(self.stops.get(index + 1)?.at - self.stops[index].at);
        let Some(own) = way(index) else { return false };
        let others = [index.checked_sub(1).and_then(way), way(index + 1)];
        // An arc's rise over its chord, from the turn to the next chord: length x turn / 8.
        others
            .into_iter()
            .flatten()
            .any(|other| own.cross(other).abs() > 8.0 * UNSEEN * other.hypot() || own.dot(other) < 0.0)
    }

    /// On the sheet, between a place that is seen and one that is not.
    fn last_seen(
        &self,
        mut seen: Stop,
        mut hidden: Stop,
        sees: impl Fn(DVec3) -> bool,
        flat: impl Fn(DVec3) -> Point,
    ) -> Point {
        const HALVINGS: usize = 8;
        for _ in 0..HALVINGS {
            if seen.at.distance(hidden.at) < 0.5 * UNSEEN {
                break;
            }
            let middle = self.stop(0.5 * (seen.share + hidden.share), &flat);
            if sees(middle.place) {
                seen = middle;
            } else {
                hidden = middle;
            }
        }
        seen.at
    }
}

fn bounds(stops: &[Stop]) -> Option<Rect> {
    let boxes = stops.iter().map(|stop| Rect::from_points(stop.at, stop.at));
    boxes.reduce(|a, b| a.union(b))
}

/// What is drawn of a line.
#[derive(Default)]
struct Runs {
    runs: Vec<Vec<Point>>,
    /// Whether the last one goes on.
    is_down: bool,
}

impl Runs {
    fn draw(&mut self, from: Point, to: Point) {
        match self.runs.last_mut().filter(|_| self.is_down) {
            Some(run) => run.push(to),
            None => self.runs.push(vec![from, to]),
        }
    }

    fn path(self) -> BezPath {
        let mut path = BezPath::new();
        for run in self.runs {
            path.extend(polyline(&thinned(&run, UNSEEN)));
        }
        path
    }
}

#[cfg(test)]
mod tests {
    use kurbo::{ParamCurve, Shape};

    use super::*;

    const ALL: Rect = Rect::new(-400.0, -400.0, 400.0, 400.0);

    fn flat(place: DVec3) -> Point {
        Point::new(place.x, place.y)
    }

    fn ends(path: &BezPath) -> Vec<f64> {
        let ends = path.elements().iter().filter_map(|part| part.end_point());
        ends.map(|end| end.x).collect()
    }

    #[test]
    fn only_what_is_seen_of_a_line_is_drawn_in_runs() {
        let line = LineInSpace::straight(DVec3::ZERO, DVec3::new(30.0, 0.0, 0.0));
        let sees = |place: DVec3| !(10.0..20.0).contains(&place.x) && place.x > 1.0 && place.x < 29.0;
        let ends = ends(&Traced::new(&line, flat, ALL).seen(|place| (!sees(place)).then_some(()), |_, _| false, flat));
        assert_eq!(ends.len(), 4, "{ends:?}");
        for (end, should) in ends.iter().zip([1.0, 10.0, 20.0, 29.0]) {
            assert!((end - should).abs() < 0.011, "{ends:?}");
        }
    }

    #[test]
    fn what_is_hidden_for_less_than_a_step_is_found_where_a_line_passes() {
        let line = LineInSpace::straight(DVec3::ZERO, DVec3::new(30.0, 0.0, 0.0));
        let hidden_by = |place: DVec3| (10.3..10.7).contains(&place.x).then_some(());
        let traced = Traced::new(&line, flat, ALL);
        let passed = ends(&traced.seen(hidden_by, |stretch, _| stretch == 10, flat));
        assert_eq!(passed.len(), 4, "{passed:?}");
        assert!(
            (passed[1] - 10.3).abs() < 0.011 && (passed[2] - 10.7).abs() < 0.011,
            "{passed:?}"
        );
    }

    #[test]
    fn what_is_seen_between_two_things_that_hide_is_found() {
        let line = LineInSpace::straight(DVec3::ZERO, DVec3::new(30.0, 0.0, 0.0));
        let hidden_by = |place: DVec3| match place.x {
            x if x < 10.3 => Some("one"),
            x if x > 10.7 => Some("other"),
            _ => None,
        };
        let between = ends(&Traced::new(&line, flat, ALL).seen(hidden_by, |_, _| false, flat));
        assert_eq!(between.len(), 2, "{between:?}");
        assert!(
            (between[0] - 10.3).abs() < 0.011 && (between[1] - 10.7).abs() < 0.011,
            "{between:?}"
        );
    }

    #[test]
    fn a_curve_is_drawn_within_a_hair_whatever_its_size() {
        for radius in [1.0, 9.0, 20.0, 300.0] {
            let ring = LineInSpace::curve(|share| {
                let (sin, cos) = (std::f64::consts::TAU * share).sin_cos();
                DVec3::new(radius * cos, radius * sin, 0.0)
            });
            let path = Traced::new(&ring, flat, ALL).seen(|_| None::<()>, |_, _| false, flat);
            let middles = path.segments().map(|piece| piece.eval(0.5).to_vec2().hypot());
            let least = middles.fold(f64::MAX, f64::min);
            assert!(least > radius - 2.0 * UNSEEN - 0.015, "{radius}: {least}");
            assert!(
                (path.perimeter(1e-3) / radius - std::f64::consts::TAU).abs() < 0.03,
                "{radius}"
            );
        }
    }

    /// A square of 40: without finer steps its corners are cut off by up to a third of a step.
    #[test]
    fn corners_are_not_cut_off() {
        let square = LineInSpace::curve(|share| {
            let side = 4.0 * (share + 0.003);
            let (along, step) = (40.0 * side.fract(), side.floor() as usize % 4);
            let (x, y) = [(along, 0.0), (40.0, along), (40.0 - along, 40.0), (0.0, 40.0 - along)][step];
            DVec3::new(x, y, 0.0)
        });
        let path = Traced::new(&square, flat, ALL).seen(|_| None::<()>, |_, _| false, flat);
        let off = path.area().abs() - 1600.0;
        assert!(off.abs() < 4.0 * 0.5 * FINE_STEP * FINE_STEP, "{off}");
    }
}
