//! Straight lines from place to place, and through no more places than show a difference.

use kurbo::{BezPath, Line, ParamCurveNearest, Point};

/// Straight from place to place.
pub(super) fn polyline(places: &[Point]) -> BezPath {
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

/// The first and last of the places, and of the others so many that none lies further than `off` from the straight lines
/// between them, in the same unit: where one does, the farthest is kept, and what is to either side is looked at by itself.
pub(super) fn thinned(places: &[Point], off: f64) -> Vec<Point> {
    let mut kept: Vec<Point> = places.first().copied().into_iter().collect();
    keep_after(places, off, &mut kept);
    kept
}

/// All that is kept but for the first place.
fn keep_after(places: &[Point], off: f64, kept: &mut Vec<Point>) {
    let [first, between @ .., last] = places else { return };
    let line = Line::new(*first, *last);
    let distances = between.iter().map(|place| line.nearest(*place, 1e-9).distance_sq);
    let farthest = distances.enumerate().max_by(|a, b| a.1.total_cmp(&b.1));
    match farthest {
        Some((index, squared)) if squared > off * off => {
            keep_after(&places[..=index + 1], off, kept);
            keep_after(&places[index + 1..], off, kept);
        }
        _ => kept.push(*last),
    }
}

#[cfg(test)]
mod tests {
    use kurbo::Vec2;

    use super::*;

    #[test]
    fn a_thinned_outline_has_fewer_places_and_stays_as_near_as_it_must() {
        let circle = |radius: f64| -> Vec<Point> {
            let turns = (0..=720).map(|step| f64::from(step).to_radians() / 2.0);
            turns
                .map(|turn| Point::ZERO + radius * Vec2::from_angle(turn))
                .collect()
        };
        for (radius, most) in [(0.02, 20), (1.0, 100), (20.0, 400), (1e4, 721)] {
            let places = circle(radius);
            let thin = thinned(&places, 0.001);
            assert!(thin.len() <= most, "{radius}: {}", thin.len());
            assert_eq!((thin.first(), thin.last()), (places.first(), places.last()));
            let lines = || thin.windows(2).map(|ends| Line::new(ends[0], ends[1]));
            for place in &places {
                let near = lines().map(|line| line.nearest(*place, 1e-9).distance_sq);
                let off = near.fold(f64::MAX, f64::min).sqrt();
                assert!(off <= 0.001, "{radius}: {off}");
            }
        }
    }
}
