//! A hole's ordinates: marks down both sides of its outline, so near that straight lines from one to the next tell it.

use std::f64::consts::PI;

use kurbo::{Line, ParamCurveNearest, Point};

/// Places of an outline nearer to each other than this are one, in millimetres.
const SAME: f64 = 1e-4;

/// An outline that turns by more than this at one place has a corner there, in radians.
const CORNER: f64 = PI / 9.0;

/// Halvings by which marks are spread evenly.
const HALVINGS: usize = 20;

/// A mark on the outline, measured on the skin from the hole pattern's lines A and B.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoleMark {
    /// From line B along line A, up on the pattern, in millimetres.
    pub up_mm: f64,
    /// From line A square to it, to the side that the mark is one of, in millimetres; below 0 on the other side.
    pub aside_mm: f64,
}

/// The marks of a hole, down either side from where line A crosses its outline at the top to where it does at the bottom; of one
/// that line A passes, from its highest place to its lowest.
#[derive(Debug, Clone, PartialEq)]
pub struct HoleMarks {
    /// On the left.
    pub left: Vec<HoleMark>,
    /// On the right.
    pub right: Vec<HoleMark>,
}

impl HoleMarks {
    /// Of a closed outline about the place where line A and line B cross: as few as tell it within `within_mm` if joined by
    /// straight lines. Line B, the ends, and what stands out past these and true corners are always told.
    pub fn new(outline: &[Point], within_mm: f64) -> Self {
        let [left, right] = sides(outline);
        let marks = |side: &[Point], way: f64| {
            let places = marked(side, within_mm).into_iter();
            let marks = places.map(|place| HoleMark {
                up_mm: place.y,
                aside_mm: way * place.x,
            });
            marks.collect()
        };
        Self {
            left: marks(&left, -1.0),
            right: marks(&right, 1.0),
        }
    }
}

/// The left and the right side of a closed outline, each from the top down.
fn sides(outline: &[Point]) -> [Vec<Point>; 2] {
    let count = outline.len();
    let [top, bottom] = ends(outline);
    // The places after one edge up to the one at which another begins.
    let after = |edge: usize, until: usize| {
        let places = (1..=(until + count - edge) % count).map(move |step| outline[(edge + step) % count]);
        places.collect::<Vec<Point>>()
    };
    let side = |between: Vec<Point>| with_line_b(std::iter::once(top.1).chain(between).chain([bottom.1]));
    let onwards = side(after(top.0, bottom.0));
    let mut back = after(bottom.0, top.0);
    back.reverse();
    let back = side(back);
    let next = outline.iter().cycle().skip(1);
    let twice_area: f64 = outline
        .iter()
        .zip(next)
        .map(|(a, b)| a.to_vec2().cross(b.to_vec2()))
        .sum();
    if twice_area > 0.0 {
        [onwards, back]
    } else {
        [back, onwards]
    }
}

/// Where line A crosses the outline at the top and at the bottom, each with the edge that it lies on; the highest and the lowest
/// place where it doesn't.
fn ends(outline: &[Point]) -> [(usize, Point); 2] {
    let next = outline.iter().cycle().skip(1);
    let edges = outline.iter().zip(next).enumerate();
    let crossed = edges.filter(|(_, (from, to))| (from.x < 0.0) != (to.x < 0.0));
    let mut places: Vec<(usize, Point)> = crossed
        .map(|(edge, (from, to))| (edge, Point::new(0.0, from.lerp(*to, from.x / (from.x - to.x)).y)))
        .collect();
    if places.len() < 2 {
        places = outline.iter().copied().enumerate().collect();
    }
    let by_height = |a: &&(usize, Point), b: &&(usize, Point)| a.1.y.total_cmp(&b.1.y);
    let top = places.iter().max_by(by_height).copied();
    let bottom = places.iter().min_by(by_height).copied();
    [top, bottom].map(Option::unwrap_or_default)
}

/// Places in a row without those that come twice, and with those on line B.
fn with_line_b(places: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut side: Vec<Point> = Vec::new();
    for place in places {
        if let Some(last) = side.last().copied() {
            if last.distance(place) < SAME {
                continue;
            }
            if (last.y < 0.0) != (place.y < 0.0) {
                let on_b = Point::new(last.lerp(place, last.y / (last.y - place.y)).x, 0.0);
                if last.distance(on_b) < SAME {
                    side.pop();
                }
                side.push(on_b);
                if on_b.distance(place) < SAME {
                    continue;
                }
            }
        }
        side.push(place);
    }
    side
}

/// The places of a side that are marked.
fn marked(side: &[Point], within_mm: f64) -> Vec<Point> {
    let Some(last) = side.len().checked_sub(1) else {
        return Vec::new();
    };
    let by_height = |a: &usize, b: &usize| side[*a].y.total_cmp(&side[*b].y);
    let highest = (0..=last).max_by(by_height);
    let lowest = (0..=last).min_by(by_height);
    let mut told: Vec<usize> = (0..=last)
        .filter(|place| {
            let here = side[*place];
            [0, last].contains(place)
                || here.y == 0.0
                || highest == Some(*place) && here.y > side[0].y + within_mm
                || lowest == Some(*place) && here.y < side[last].y - within_mm
                || turn(side, *place) > CORNER
        })
        .collect();
    told.dedup_by(|next, before| side[*next].distance(side[*before]) < SAME);
    let mut places = vec![side[0]];
    for ends in told.windows(2) {
        places.extend(evenly(&side[ends[0]..=ends[1]], within_mm));
    }
    places
}

/// By how much a side turns at a place within it, in radians.
fn turn(side: &[Point], place: usize) -> f64 {
    let (before, after) = (side[place] - side[place - 1], side[place + 1] - side[place]);
    before.cross(after).atan2(before.dot(after)).abs()
}

/// As few places of a stretch as tell it, without its first: all straight lines alike far off, as near as so many can be.
fn evenly(stretch: &[Point], within_mm: f64) -> Vec<Point> {
    let mut best = fewest(stretch, within_mm);
    let (mut low, mut high) = (0.0, within_mm);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        let tried = fewest(stretch, middle);
        if tried.len() > best.len() {
            low = middle;
        } else {
            (high, best) = (middle, tried);
        }
    }
    best
}

/// The ends of straight lines along a stretch, each as long as it stays within so much of it.
fn fewest(stretch: &[Point], within_mm: f64) -> Vec<Point> {
    let mut ends = Vec::new();
    let mut from = 0;
    while from + 1 < stretch.len() {
        let is_near = |to: &usize| {
            let line = Line::new(stretch[from], stretch[*to]);
            let mut between = stretch[from + 1..*to].iter();
            between.all(|place| line.nearest(*place, SAME).distance_sq <= within_mm * within_mm)
        };
        from = (from + 1..stretch.len()).take_while(is_near).last().unwrap_or(from + 1);
        ends.push(stretch[from]);
    }
    ends
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;

    /// An ellipse, (x - 3)^2 / 400 + (y - 5)^2 / 900 = 1, about a cross that is not its middle.
    fn ellipse() -> Vec<Point> {
        let place = |step: usize| {
            let turn = TAU * step as f64 / 7200.0;
            Point::new(3.0 + 20.0 * turn.cos(), 5.0 + 30.0 * turn.sin())
        };
        (0..7200).map(place).collect()
    }

    #[test]
    fn marks_lie_on_the_outline_and_on_both_lines() {
        let mut outline = ellipse();
        for _ in 0..2 {
            let HoleMarks { left, right } = HoleMarks::new(&outline, 0.5);
            for (side, way) in [(&left, -1.0), (&right, 1.0)] {
                assert!(
                    side.len() >= 6 && side.iter().all(|mark| mark.aside_mm >= 0.0),
                    "{side:?}"
                );
                for mark in side {
                    let x = way * mark.aside_mm;
                    let off = (x - 3.0).powi(2) / 400.0 + (mark.up_mm - 5.0).powi(2) / 900.0 - 1.0;
                    assert!(off.abs() < 1e-5, "{mark:?}: {off}");
                }
                let ends = [side[0], side[side.len() - 1]].map(|mark| mark.aside_mm);
                assert_eq!(ends, [0.0, 0.0]);
                assert!(side.iter().any(|mark| mark.up_mm == 0.0));
            }
            // The widest place is right of line A.
            let widest = |side: &[HoleMark]| side.iter().map(|mark| mark.aside_mm).fold(0.0, f64::max);
            assert!(widest(&right) > 22.0 && widest(&left) < 17.1);
            // The same the other way round.
            outline.reverse();
        }
    }

    #[test]
    fn a_rectangle_is_told_by_its_corners_and_its_lines() {
        let corners = [(-10.0, -8.0), (12.0, -8.0), (12.0, 8.0), (-10.0, 8.0)].map(Point::from);
        let marks = HoleMarks::new(&corners, 0.5);
        let told = |side: &[HoleMark]| side.iter().map(|mark| (mark.up_mm, mark.aside_mm)).collect::<Vec<_>>();
        let side = |wide: f64| vec![(8.0, 0.0), (8.0, wide), (0.0, wide), (-8.0, wide), (-8.0, 0.0)];
        assert_eq!([told(&marks.left), told(&marks.right)], [side(10.0), side(12.0)]);
    }

    #[test]
    fn a_hole_beside_line_a_has_its_marks_from_its_top_to_its_bottom() {
        let beside: Vec<Point> = ellipse()
            .iter()
            .map(|place| Point::new(place.x + 40.0, place.y))
            .collect();
        let HoleMarks { left, right } = HoleMarks::new(&beside, 0.5);
        assert!(left.iter().all(|mark| mark.aside_mm < 0.0) && right.iter().all(|mark| mark.aside_mm > 0.0));
        for side in [left, right] {
            assert!((side[0].up_mm - 35.0).abs() < 1e-3 && (side[side.len() - 1].up_mm + 25.0).abs() < 1e-3);
        }
    }
}
