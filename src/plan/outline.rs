//! Closed outlines held against each other.

use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::ops::Range;

use kurbo::{Affine, BezPath, Line, ParamCurveNearest, Point, Rect};

/// Edges in a box that is not halved any more.
const FEW: usize = 4;
/// Outlines that come nearer than this, in millimetres, touch.
const TOUCH: f64 = 1e-6;

/// Straight from place to place.
pub(crate) fn polyline(places: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (index, place) in places.iter().enumerate() {
        if index == 0 {
            path.move_to(*place);
        } else {
            path.line_to(*place);
        }
    }
    path
}

/// A closed outline, its edges in boxes within boxes: what is far away is passed over by the box.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Outline {
    /// Its first place is not repeated.
    points: Vec<Point>,
    /// The first one holds all edges; each but the smallest is followed by its first half, and names its second.
    boxes: Vec<Boxed>,
}

#[derive(Debug, Clone, PartialEq)]
struct Boxed {
    edges: Range<usize>,
    bounds: Rect,
    second_half: Option<usize>,
}

impl Outline {
    /// Through three places or more.
    pub(crate) fn new(points: Vec<Point>) -> Self {
        let mut outline = Self {
            boxes: Vec::with_capacity(points.len()),
            points,
        };
        outline.fill(0..outline.points.len());
        outline.boxes.shrink_to_fit();
        outline
    }

    /// The box round all of it.
    pub(super) fn bounds(&self) -> Rect {
        self.boxes.first().map_or(Rect::ZERO, |all| all.bounds)
    }

    /// The same somewhere else.
    pub(crate) fn moved(&self, how: Affine) -> Self {
        Self::new(self.points.iter().map(|point| how * *point).collect())
    }

    /// Makes the boxes of a run of edges; the box round all of them.
    fn fill(&mut self, edges: Range<usize>) -> Rect {
        let at = self.boxes.len();
        self.boxes.push(Boxed {
            edges: edges.clone(),
            bounds: Rect::ZERO,
            second_half: None,
        });
        let bounds = if edges.len() <= FEW {
            let ends = edges.map(|edge| self.edge(edge));
            let boxes = ends.map(|edge| Rect::from_points(edge.p0, edge.p1));
            boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
        } else {
            let middle = edges.start + edges.len() / 2;
            let first = self.fill(edges.start..middle);
            self.boxes[at].second_half = Some(self.boxes.len());
            first.union(self.fill(middle..edges.end))
        };
        self.boxes[at].bounds = bounds;
        bounds
    }

    fn edge(&self, index: usize) -> Line {
        let next = if index + 1 == self.points.len() { 0 } else { index + 1 };
        Line::new(self.points[index], self.points[next])
    }

    /// The edges that may pass through places of which `may` holds for the box round them.
    fn edges_where(&self, may: impl Fn(&Rect) -> bool) -> impl Iterator<Item = Line> {
        let mut open = vec![0];
        let runs = std::iter::from_fn(move || {
            while let Some(at) = open.pop() {
                let part = &self.boxes[at];
                if may(&part.bounds) {
                    let Some(second) = part.second_half else {
                        return Some(part.edges.clone());
                    };
                    open.extend([second, at + 1]);
                }
            }
            None
        });
        runs.flatten().map(|edge| self.edge(edge))
    }

    /// Whether a place is within the outline, by the edges that a level line from it crosses.
    fn holds(&self, place: Point) -> bool {
        let crosses = |edge: &Line| {
            let is_between = (edge.p0.y > place.y) != (edge.p1.y > place.y);
            is_between
                && place.x < edge.p0.x + (place.y - edge.p0.y) / (edge.p1.y - edge.p0.y) * (edge.p1.x - edge.p0.x)
        };
        let beside = |bounds: &Rect| bounds.y0 <= place.y && place.y <= bounds.y1 && place.x <= bounds.x1;
        self.edges_where(beside).filter(crosses).count() % 2 == 1
    }

    /// From a place to the nearest edge, in millimetres.
    fn to_edge(&self, place: Point) -> f64 {
        let point = Self {
            points: vec![place],
            boxes: vec![Boxed {
                edges: 0..1,
                bounds: Rect::from_points(place, place),
                second_half: None,
            }],
        };
        point.apart(self, f64::INFINITY)
    }

    /// The least distance between the edges of two outlines, in millimetres, where it is below `limit`; else `limit`.
    ///
    /// Pairs of boxes are opened in the order of their distance until the nearest one is no nearer than what was found.
    fn apart(&self, other: &Self, limit: f64) -> f64 {
        let mut least = limit * limit;
        let mut open = BinaryHeap::new();
        let pair = |a: usize, b: usize| Pair(distance_squared(&self.boxes[a].bounds, &other.boxes[b].bounds), a, b);
        open.push(Reverse(pair(0, 0)));
        while let Some(Reverse(Pair(distance, a, b))) = open.pop() {
            if distance >= least {
                break;
            }
            let (mine, theirs) = (&self.boxes[a], &other.boxes[b]);
            let mut add = |a: usize, b: usize| {
                let pair = pair(a, b);
                if pair.0 < least {
                    open.push(Reverse(pair));
                }
            };
            match (mine.second_half, theirs.second_half) {
                (None, None) => {
                    for mine in mine.edges.clone().map(|edge| self.edge(edge)) {
                        for theirs in theirs.edges.clone().map(|edge| other.edge(edge)) {
                            least = least.min(between(mine, theirs));
                        }
                    }
                }
                (Some(second), _) if theirs.second_half.is_none() || mine.edges.len() >= theirs.edges.len() => {
                    add(a + 1, b);
                    add(second, b);
                }
                (_, Some(second)) => {
                    add(a, b + 1);
                    add(a, second);
                }
                (Some(_), None) => unreachable!("the larger one is halved"),
            }
        }
        least.sqrt()
    }

    /// Whether it is the same outline in the same place, as of copies that don't move.
    fn is_one_with(&self, other: &Self) -> bool {
        let mut places = self.points.iter().zip(&other.points);
        self.points.len() == other.points.len()
            && places.all(|(one, other)| one.distance_squared(*other) < TOUCH * TOUCH)
    }

    /// How deep places of the other one reach into this one, in millimetres; 0 where none does.
    fn reached_into(&self, other: &Self) -> f64 {
        const FEW: usize = 8;
        const DEEP: f64 = 1.0;
        let deepest = |every: usize| {
            let places = other.points.iter().step_by(every);
            let within = places.filter(|place| self.holds(**place));
            within.map(|place| self.to_edge(*place)).fold(0.0, f64::max)
        };
        // Of a deep overlap a few places tell enough.
        Some(deepest(FEW))
            .filter(|depth| *depth > DEEP)
            .unwrap_or_else(|| deepest(1))
    }
}

/// Two boxes by their numbers, in the order of their distance squared.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Pair(f64, usize, usize);

impl Eq for Pair {}

impl Ord for Pair {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl PartialOrd for Pair {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

fn distance_squared(a: &Rect, b: &Rect) -> f64 {
    let across = (a.x0 - b.x1).max(b.x0 - a.x1).max(0.0);
    let up = (a.y0 - b.y1).max(b.y0 - a.y1).max(0.0);
    across * across + up * up
}

/// The least distance between two edges, squared: 0 where they cross, else from an end of the one to the other.
fn between(a: Line, b: Line) -> f64 {
    if cross(a, b) {
        return 0.0;
    }
    let from_ends = [(b, a.p0), (b, a.p1), (a, b.p0), (a, b.p1)];
    let distances = from_ends.map(|(edge, place)| edge.nearest(place, 1e-9).distance_sq);
    distances.into_iter().fold(f64::MAX, f64::min)
}

/// Whether each has its ends on either side of the other.
fn cross(a: Line, b: Line) -> bool {
    let side = |line: Line, place: Point| (line.p1 - line.p0).cross(place - line.p0);
    side(a, b.p0) * side(a, b.p1) < 0.0 && side(b, a.p0) * side(b, a.p1) < 0.0
}

/// The least distance between two outlines, in millimetres, where it is below `limit`, else `limit`; where they overlap,
/// less than 0 by how deep the places of the one reach into the other, and 0 where they are the same.
pub(crate) fn clearance_within(a: &Outline, b: &Outline, limit: f64) -> f64 {
    if a.is_one_with(b) {
        return 0.0;
    }
    let apart = a.apart(b, limit);
    // Apart from each other or one within the other: then any of its places tells.
    let is_apart = apart > TOUCH && !a.holds(b.points[0]) && !b.holds(a.points[0]);
    if is_apart {
        return apart;
    }
    let deepest = a.reached_into(b).max(b.reached_into(a));
    match (deepest > 0.0, apart < TOUCH) {
        (true, _) => -deepest,
        // No place of equal outlines is within the other, but they are one hole.
        (false, true) => 0.0,
        (false, false) => apart,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clearance(a: &Outline, b: &Outline) -> f64 {
        clearance_within(a, b, f64::INFINITY)
    }

    /// A circle with waves on it, so that it is not convex.
    fn wavy(middle: Point, radius: f64, wave: f64) -> Outline {
        let angles = (0..720).map(|step| f64::from(step).to_radians() / 2.0);
        let points = angles.map(|a| {
            let radius = radius + wave * (5.0 * a).cos();
            middle + radius * kurbo::Vec2::from_angle(a)
        });
        Outline::new(points.collect())
    }

    fn circle(x: f64, radius: f64) -> Outline {
        wavy(Point::new(x, 0.0), radius, 0.0)
    }

    #[test]
    fn circles_apart_overlapping_and_within_each_other() {
        // Between the edges of polygons with a corner every half degree: 1e-4 mm off the circle at most.
        assert!((clearance(&circle(0.0, 10.0), &circle(25.0, 10.0)) - 5.0).abs() < 1e-3);
        assert!((clearance(&circle(0.0, 10.0), &circle(17.0, 10.0)) + 3.0).abs() < 1e-3);
        assert!((clearance(&circle(0.0, 10.0), &circle(0.0, 4.0)) + 6.0).abs() < 1e-3);
        assert!(clearance(&circle(0.0, 10.0), &circle(0.0, 10.0)) <= 0.0);
    }

    #[test]
    fn boxes_pass_over_nothing_that_is_nearer() {
        for step in 0..60 {
            let way = f64::from(step) * 0.7;
            let (a, b) = (
                wavy(Point::ZERO, 12.0, 2.5),
                wavy(Point::ZERO + 30.0 * kurbo::Vec2::from_angle(way), 9.0, 1.5),
            );
            let every_pair = (0..720).flat_map(|i| (0..720).map(move |k| (i, k)));
            let least = every_pair.map(|(i, k)| between(a.edge(i), b.edge(k)));
            let least = least.fold(f64::MAX, f64::min).sqrt();
            assert!(least > 1.0, "apart at {way}");
            assert!((clearance(&a, &b) - least).abs() < 1e-9, "at {way}");
            assert_eq!(clearance_within(&a, &b, least / 2.0), least / 2.0);
        }
    }

    #[test]
    fn a_place_is_within_by_the_boxes_where_it_is_by_all_edges() {
        let outline = wavy(Point::new(3.0, -2.0), 12.0, 4.0);
        for step in 0..2000 {
            let place = Point::new(f64::from(step % 50) * 0.8 - 17.0, f64::from(step / 50) * 0.9 - 20.0);
            let from = place - Point::new(3.0, -2.0);
            let radius = 12.0 + 4.0 * (5.0 * from.angle()).cos();
            if (from.hypot() - radius).abs() > 0.01 {
                assert_eq!(outline.holds(place), from.hypot() < radius, "{place:?}");
            }
        }
    }
}
