//! Closed outlines held against each other.

use kurbo::{Line, ParamCurveNearest, Point};

/// The edges of a closed outline; its first place is not repeated.
fn edges(outline: &[Point]) -> impl Iterator<Item = Line> {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(from, to)| Line::new(*from, *to))
}

/// From a place to the nearest edge.
fn to_edge(place: Point, outline: &[Point]) -> f64 {
    edges(outline)
        .map(|edge| edge.nearest(place, 1e-9).distance_sq)
        .fold(f64::MAX, f64::min)
        .sqrt()
}

/// Whether a place is within the outline, by the edges that a level line from it crosses.
fn holds(outline: &[Point], place: Point) -> bool {
    let crosses = |edge: &Line| {
        let is_between = (edge.p0.y > place.y) != (edge.p1.y > place.y);
        is_between && place.x < edge.p0.x + (place.y - edge.p0.y) / (edge.p1.y - edge.p0.y) * (edge.p1.x - edge.p0.x)
    };
    edges(outline).filter(crosses).count() % 2 == 1
}

/// The least distance between two outlines, in millimetres; where they overlap, less than 0 by how deep the places of the
/// one reach into the other, and 0 where they are the same.
pub(super) fn clearance(a: &[Point], b: &[Point]) -> f64 {
    let (mut apart, mut deepest) = (f64::MAX, 0.0_f64);
    for (places, outline) in [(a, b), (b, a)] {
        // Every third place will do: an outline has one every half degree.
        for place in places.iter().step_by(3) {
            let distance = to_edge(*place, outline);
            apart = apart.min(distance);
            if holds(outline, *place) {
                deepest = deepest.max(distance);
            }
        }
    }
    match (deepest > 0.0, apart < 1e-6) {
        (true, _) => -deepest,
        // No place of equal outlines is within the other, but they are one hole.
        (false, true) => 0.0,
        (false, false) => apart,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn circle(x: f64, radius: f64) -> Vec<Point> {
        (0..720)
            .map(|step| f64::from(step).to_radians() / 2.0)
            .map(|a| Point::new(x + radius * a.cos(), radius * a.sin()))
            .collect()
    }

    #[test]
    fn circles_apart_overlapping_and_within_each_other() {
        assert!((clearance(&circle(0.0, 10.0), &circle(25.0, 10.0)) - 5.0).abs() < 0.01);
        assert!((clearance(&circle(0.0, 10.0), &circle(17.0, 10.0)) + 3.0).abs() < 0.01);
        assert!((clearance(&circle(0.0, 10.0), &circle(0.0, 4.0)) + 6.0).abs() < 0.01);
        assert!(clearance(&circle(0.0, 10.0), &circle(0.0, 10.0)) <= 0.0);
    }
}
