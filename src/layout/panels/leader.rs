//! Whose a label is. It stands bare where it can be read as its own hole's alone; elsewhere a leader, a thin straight line,
//! leads from it to its hole. Pure geometry in millimetres on the sheet.

use kurbo::{Line, ParamCurveNearest, Point, Rect, Vec2};

/// A bare label is no farther from its own hole's outline than this, in millimetres.
const NEAR: f64 = 3.0;
/// And so many times nearer to it than to any other hole.
const NEARER: f64 = 1.5;
/// No label is taken for that of a hole which is farther from it than this, in millimetres.
pub(super) const FARTHEST: f64 = NEAR * NEARER;
/// A leader whose middle is nearer to another line than this can be taken for it, in millimetres.
const ALONG: f64 = 2.0;
/// How good a distance must be, in millimetres.
const WITHIN: f64 = 1e-6;

/// A closed line on the sheet, the last place being joined to the first, and the box round it.
#[derive(Debug, Clone)]
pub(super) struct Outline {
    pub(super) places: Vec<Point>,
    pub(super) around: Rect,
}

impl Outline {
    /// Of one place or more.
    pub(super) fn new(places: Vec<Point>) -> Self {
        let around = around(&places);
        Self { places, around }
    }

    fn sides(&self) -> impl Iterator<Item = Line> {
        let next = self.places.iter().cycle().skip(1);
        self.places.iter().zip(next).map(|(from, to)| Line::new(*from, *to))
    }

    /// Whether a place lies within it: a line from there to the right crosses it an odd number of times.
    fn holds(&self, place: Point) -> bool {
        self.around.contains(place)
            && self
                .sides()
                .filter(|side| (side.p0.y > place.y) != (side.p1.y > place.y))
                .filter(|side| {
                    let share = (place.y - side.p0.y) / (side.p1.y - side.p0.y);
                    side.p0.lerp(side.p1, share).x > place.x
                })
                .count()
                % 2
                == 1
    }

    /// How far a box is from it, up to a limit.
    pub(super) fn distance_up_to(&self, limit: f64, place: Rect) -> f64 {
        if gap(self.around, place) >= limit {
            return limit;
        }
        self.distance(place).min(limit)
    }

    /// How far a box is from it: 0 where the box reaches into it or lies within it.
    fn distance(&self, place: Rect) -> f64 {
        if self.holds(place.center()) {
            return 0.0;
        }
        self.sides().fold(f64::MAX, |least, side| {
            // What is too far from the box round it is so from the side.
            if gap(box_round(side), place) >= least {
                return least;
            }
            least.min(between(side, place))
        })
    }

    /// Whether a line passes it nearer than `aside`, or through it.
    pub(super) fn is_passed(&self, line: Line, aside: f64) -> bool {
        let is_near = |side: Line| gap(box_round(side), box_round(line)) <= aside;
        let is_passed = |side: Line| meet(side, line) || ends_between(side, line) < aside;
        passes(line, self.around.inflate(aside, aside))
            && (self.holds(line.p0) || self.sides().any(|side| is_near(side) && is_passed(side)))
    }
}

/// Whether a label can be read as its own hole's and as no other's: `NEAR` its outline, and `NEARER` to it than to any other.
pub(super) fn stands_bare<'a>(place: Rect, own: &Outline, mut others: impl Iterator<Item = &'a Outline>) -> bool {
    // What is too far from the box round it is so from the outline.
    if gap(own.around, place) > NEAR {
        return false;
    }
    let distance = own.distance(place);
    let at_least = (NEARER * distance).max(WITHIN);
    distance <= NEAR && others.all(|other| other.distance_up_to(at_least, place) >= at_least)
}

/// From a label's edge towards the middle of its hole, up to where the outline is first met; to the middle where it isn't.
pub(super) fn leader(from: Point, own: &Outline, middle: Point) -> Line {
    let to_middle = Line::new(from, middle);
    let met = own.sides().filter_map(|side| crossing(side, to_middle));
    let first = met.min_by(|a, b| from.distance(*a).total_cmp(&from.distance(*b)));
    Line::new(from, first.unwrap_or(middle))
}

/// Whether two straight lines have a place in common, their ends too.
pub(super) fn meet(a: Line, b: Line) -> bool {
    // Beside each other, if they don't cross.
    gap(box_round(a), box_round(b)) < WITHIN
        && (crossing(a, b).is_some() || a.crossing_point(b).is_none() && ends_between(a, b) < WITHIN)
}

/// Where two straight lines cross, their ends too.
fn crossing(a: Line, b: Line) -> Option<Point> {
    let (way_a, way_b, between) = (a.p1 - a.p0, b.p1 - b.p0, b.p0 - a.p0);
    let area = way_a.cross(way_b);
    let (share_a, share_b) = (between.cross(way_b) / area, between.cross(way_a) / area);
    // Of lines beside each other the shares are no numbers.
    let is_on = |share: f64, way: Vec2| (share - 0.5).abs() <= 0.5 + WITHIN / way.hypot();
    (is_on(share_a, way_a) && is_on(share_b, way_b)).then(|| a.p0 + share_a * way_a)
}

/// Whether a leader lies so nearly along a line that the two can't be told apart.
pub(super) fn runs_along(leader: Line, line: Line) -> bool {
    line.nearest(leader.midpoint(), WITHIN).distance_sq < ALONG * ALONG
}

/// Whether a line passes through a box.
pub(super) fn passes(line: Line, place: Rect) -> bool {
    shares_within(line, place).is_some_and(|[from, to]| from <= to)
}

/// What of a line lies within a box.
pub(super) fn within(line: Line, place: Rect) -> Option<Line> {
    let [from, to] = shares_within(line, place)?;
    (from < to).then(|| Line::new(line.p0.lerp(line.p1, from), line.p0.lerp(line.p1, to)))
}

/// From which share of a line to which it lies within a box; the first is the greater one where it passes by.
fn shares_within(line: Line, place: Rect) -> Option<[f64; 2]> {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let way = line.p1 - line.p0;
    for (at, step, [low, high]) in [
        (line.p0.x, way.x, [place.x0, place.x1]),
        (line.p0.y, way.y, [place.y0, place.y1]),
    ] {
        if step == 0.0 {
            if at < low || at > high {
                return None;
            }
            continue;
        }
        let (a, b) = ((low - at) / step, (high - at) / step);
        from = from.max(a.min(b));
        to = to.min(a.max(b));
    }
    Some([from, to])
}

/// The box round some places.
pub(super) fn around(places: &[Point]) -> Rect {
    let first = Rect::from_points(places[0], places[0]);
    places.iter().fold(first, |rect, place| rect.union_pt(*place))
}

fn box_round(line: Line) -> Rect {
    Rect::from_points(line.p0, line.p1)
}

/// How far two boxes are from each other.
fn gap(a: Rect, b: Rect) -> f64 {
    let aside = (b.x0 - a.x1).max(a.x0 - b.x1).max(0.0);
    let over = (b.y0 - a.y1).max(a.y0 - b.y1).max(0.0);
    aside.hypot(over)
}

/// How far a line is from a box.
fn between(line: Line, place: Rect) -> f64 {
    if passes(line, place) {
        return 0.0;
    }
    let of_line = [line.p0, line.p1].map(|end| gap(Rect::from_points(end, end), place));
    let corners = [
        (place.x0, place.y0),
        (place.x1, place.y0),
        (place.x1, place.y1),
        (place.x0, place.y1),
    ];
    let of_box = corners.map(|corner| line.nearest(corner.into(), WITHIN).distance_sq.sqrt());
    of_line.into_iter().chain(of_box).fold(f64::MAX, f64::min)
}

/// How near an end of one line comes to the other: what is between them where they don't cross.
fn ends_between(a: Line, b: Line) -> f64 {
    let ends = [(a.p0, b), (a.p1, b), (b.p0, a), (b.p1, a)];
    let distances = ends.map(|(end, line)| line.nearest(end, WITHIN).distance_sq);
    distances.into_iter().fold(f64::MAX, f64::min).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(middle: (f64, f64), half: f64) -> Outline {
        let corner = |x: f64, y: f64| Point::new(middle.0 + half * x, middle.1 + half * y);
        Outline::new(vec![
            corner(-1.0, -1.0),
            corner(1.0, -1.0),
            corner(1.0, 1.0),
            corner(-1.0, 1.0),
        ])
    }

    #[test]
    fn a_label_is_as_far_from_an_outline_as_its_nearest_place() {
        let hole = square((0.0, 0.0), 2.0);
        for (place, distance) in [
            (Rect::new(5.0, -1.0, 9.0, 1.0), 3.0),
            (Rect::new(5.0, 6.0, 9.0, 8.0), 5.0),
            (Rect::new(-9.0, 2.5, 9.0, 4.0), 0.5),
            (Rect::new(1.0, 1.0, 9.0, 9.0), 0.0),
            (Rect::new(-0.5, -0.5, 0.5, 0.5), 0.0),
            (Rect::new(-9.0, -9.0, 9.0, 9.0), 0.0),
        ] {
            assert!((hole.distance(place) - distance).abs() < 1e-6, "{place:?}");
        }
    }

    #[test]
    fn a_label_stands_bare_only_near_its_own_hole_and_nearer_than_to_others() {
        let (own, other) = (square((0.0, 0.0), 2.0), square((20.0, 0.0), 2.0));
        // From the right edge of the one, 2 mm, to the left one of the other, 18 mm: 16 mm less 10 of a label.
        for (from_own, is_bare) in [(1.0, true), (2.3, true), (2.5, false), (3.5, false), (-14.5, true)] {
            let place = Rect::new(2.0 + from_own, -1.0, 12.0 + from_own, 1.0);
            assert_eq!(stands_bare(place, &own, [&other].into_iter()), is_bare, "{from_own}");
        }
        let far = Rect::new(5.1, -1.0, 9.0, 1.0);
        assert!(!stands_bare(far, &own, [].into_iter()));
        // Where holes lie over each other nobody can tell whose a label in both is.
        let inside = Rect::new(0.5, -0.5, 1.5, 0.5);
        assert!(stands_bare(inside, &own, [&other].into_iter()));
        assert!(!stands_bare(inside, &own, [&square((1.0, 0.0), 2.0)].into_iter()));
    }

    #[test]
    fn a_leader_ends_where_it_meets_its_hole() {
        let hole = square((0.0, 0.0), 2.0);
        let line = leader(Point::new(10.0, 5.0), &hole, Point::ORIGIN);
        assert!(line.p1.distance(Point::new(2.0, 1.0)) < 1e-9 && line.p0 == Point::new(10.0, 5.0));
        assert!(!hole.is_passed(Line::new((10.0, 5.0), (10.0, -5.0)), 0.5));
        assert!(hole.is_passed(Line::new((2.3, 5.0), (2.3, -5.0)), 0.5));
        assert!(hole.is_passed(Line::new((5.0, 5.0), (-5.0, -5.0)), 0.0));
        assert!(hole.is_passed(Line::new((0.5, 0.5), (0.0, 0.5)), 0.0));
    }

    #[test]
    fn lines_meet_where_they_cross_touch_or_lie_over_each_other() {
        let line = Line::new((0.0, 0.0), (10.0, 0.0));
        for (other, is_met) in [
            (Line::new((5.0, -1.0), (5.0, 1.0)), true),
            (Line::new((5.0, 1.0), (5.0, 0.0)), true),
            (Line::new((5.0, 1.0), (5.0, 0.1)), false),
            (Line::new((8.0, 0.0), (12.0, 0.0)), true),
            (Line::new((11.0, 0.0), (12.0, 0.0)), false),
        ] {
            assert_eq!(meet(line, other), is_met, "{other:?}");
            assert_eq!(meet(other, line), is_met, "{other:?}");
        }
        let place = Rect::new(2.0, -1.0, 4.0, 1.0);
        assert_eq!(within(line, place), Some(Line::new((2.0, 0.0), (4.0, 0.0))));
        assert_eq!(within(Line::new((0.0, 2.0), (10.0, 2.0)), place), None);
        assert_eq!(within(Line::new((5.0, 0.0), (10.0, 0.0)), place), None);
    }
}
