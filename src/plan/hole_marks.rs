//! A hole's ordinates: how far its outline lies to both sides of the line along the body, at heights along that line.

use std::f64::consts::PI;

use kurbo::Point;

/// From one end of a hole to the other, in steps that are short where the outline turns.
const STEPS: usize = 8;

/// Nearer than this to the line round the body a height is left out beside that line's own, in millimetres.
const NEAR_B: f64 = 1.0;

/// Where the outline is at a height, measured on the skin from the hole pattern's lines A and B.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Across {
    /// From line B along line A, up on the pattern, in millimetres.
    pub up_mm: f64,
    /// From line A square to it to the left, in millimetres; below 0 where the outline is right of it there.
    pub left_mm: f64,
    /// The same to the right.
    pub right_mm: f64,
}

/// The ordinates of a closed outline about the place where line A and line B cross, from its top down.
pub fn hole_marks(outline: &[Point]) -> Vec<Across> {
    let heights = outline.iter().map(|place| place.y);
    let (low, high) = heights.fold((f64::MAX, f64::MIN), |(low, high), y| (low.min(y), high.max(y)));
    let steps =
        (0..=STEPS).map(|step| 0.5 * (low + high) + 0.5 * (high - low) * (PI * step as f64 / STEPS as f64).cos());
    let mut heights: Vec<f64> = steps.collect();
    if low < 0.0 && high > 0.0 {
        heights.retain(|height| height.abs() > NEAR_B || *height == low || *height == high);
        heights.push(0.0);
    }
    heights.sort_by(|a, b| b.total_cmp(a));
    // The first and the last are touched, whatever rounding made of them.
    heights
        .iter()
        .filter_map(|height| across(outline, height.clamp(low, high)))
        .collect()
}

/// Where a closed outline of straight steps is farthest left and right at a height; none where it isn't there at all.
fn across(outline: &[Point], height: f64) -> Option<Across> {
    let next = outline.iter().cycle().skip(1);
    let met = outline.iter().zip(next).flat_map(|(from, to)| {
        let (below, above) = (from.y.min(to.y), from.y.max(to.y));
        let is_met = (below..=above).contains(&height);
        let share = |flat: f64| {
            if above > below {
                (height - from.y) / (to.y - from.y)
            } else {
                flat
            }
        };
        // Of a step that lies level both ends are met.
        [0.0, 1.0]
            .map(|flat| from.lerp(*to, share(flat)).x)
            .into_iter()
            .filter(move |_| is_met)
    });
    let (left, right) = met.fold((f64::MAX, f64::MIN), |(left, right), x| (left.min(x), right.max(x)));
    (left <= right).then_some(Across {
        up_mm: height,
        left_mm: -left,
        right_mm: right,
    })
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::*;

    #[test]
    fn an_ellipse_has_the_ordinates_of_its_equation() {
        // (x - 3)^2 / 400 + (y - 5)^2 / 900 = 1, about a cross that is not its middle.
        let place = |step: usize| {
            let turn = TAU * step as f64 / 7200.0;
            Point::new(3.0 + 20.0 * turn.cos(), 5.0 + 30.0 * turn.sin())
        };
        let outline: Vec<Point> = (0..7200).map(place).collect();
        let marks = hole_marks(&outline);
        assert!(marks.len() >= 9 && marks.iter().any(|mark| mark.up_mm == 0.0));
        assert!(marks.is_sorted_by(|a, b| a.up_mm > b.up_mm), "{marks:?}");
        for mark in &marks {
            let half = 20.0 * (1.0 - ((mark.up_mm - 5.0) / 30.0).powi(2)).max(0.0).sqrt();
            assert!((mark.right_mm - (3.0 + half)).abs() < 0.02, "{mark:?}");
            assert!((mark.left_mm - (half - 3.0)).abs() < 0.02, "{mark:?}");
        }
        assert!((marks[0].up_mm - 35.0).abs() < 1e-5);
    }

    #[test]
    fn a_level_side_is_told_from_corner_to_corner() {
        let corners = [(-10.0, -8.0), (12.0, -8.0), (12.0, 8.0), (-10.0, 8.0)].map(Point::from);
        for mark in hole_marks(&corners) {
            assert_eq!((mark.left_mm, mark.right_mm), (10.0, 12.0), "{mark:?}");
        }
    }
}
