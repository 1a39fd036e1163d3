//! Straight lines from place to place through no more places than show a difference.

use kurbo::{Line, ParamCurveNearest, Point};

pub(super) use crate::plan::polyline;

/// The first and last of the places, and of the others so many that none lies further than `off` from the straight lines
/// between them, in the same unit: from each place as far as one straight line goes.
pub(super) fn thinned(places: &[Point], off: f64) -> Vec<Point> {
    let mut kept = Vec::new();
    let mut from = 0;
    while from < places.len() {
        kept.push(places[from]);
        let is_straight = |steps: usize| {
            let line = Line::new(places[from], places[from + steps]);
            let between = &places[from + 1..from + steps];
            between
                .iter()
                .all(|place| line.nearest(*place, 1e-9).distance_sq <= off * off)
        };
        from += longest(places.len() - 1 - from, is_straight).max(1);
    }
    kept
}

/// About the most steps that do, of `all`: doubled while they do, then halved in on.
fn longest(all: usize, does: impl Fn(usize) -> bool) -> usize {
    let (mut most, mut next) = (1.min(all), 2);
    while next < all && does(next) {
        (most, next) = (next, 2 * next);
    }
    let mut too_many = next.min(all) + 1;
    while too_many - most > 1 {
        let middle = usize::midpoint(most, too_many);
        if does(middle) {
            most = middle;
        } else {
            too_many = middle;
        }
    }
    most
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
