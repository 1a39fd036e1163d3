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

/// The least distance from the places of either to the edges of the other, in millimetres.
pub(super) fn apart(a: &[Point], b: &[Point]) -> f64 {
    let from = |places: &[Point], outline: &[Point]| {
        // Every third place, then its neighbours: an outline has one every half degree.
        places
            .iter()
            .step_by(3)
            .map(|place| to_edge(*place, outline))
            .fold(f64::MAX, f64::min)
    };
    from(a, b).min(from(b, a))
}

/// How deep the places of either reach into the other at most, in millimetres; 0 where they don't.
pub(super) fn depth(a: &[Point], b: &[Point]) -> f64 {
    let into = |places: &[Point], outline: &[Point]| {
        let within = places.iter().step_by(3).filter(|place| holds(outline, **place));
        within.map(|place| to_edge(*place, outline)).fold(0.0, f64::max)
    };
    let deepest = into(a, b).max(into(b, a));
    // Equal outlines have no place within each other, but they are one hole.
    let is_same = apart(a, b) < 1e-6 && deepest == 0.0;
    if is_same { f64::MIN_POSITIVE } else { deepest }
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
        assert!((apart(&circle(0.0, 10.0), &circle(25.0, 10.0)) - 5.0).abs() < 0.01);
        assert!(depth(&circle(0.0, 10.0), &circle(25.0, 10.0)) == 0.0);
        assert!((depth(&circle(0.0, 10.0), &circle(17.0, 10.0)) - 3.0).abs() < 0.01);
        assert!((depth(&circle(0.0, 10.0), &circle(0.0, 4.0)) - 6.0).abs() < 0.01);
        assert!(depth(&circle(0.0, 10.0), &circle(0.0, 10.0)) > 0.0);
    }
}
