//! How far two straight tubes with flat ends are apart, whatever their sections.
//!
//! Two convex things are as far apart as the widest gap that two parallel planes find between them; where they overlap,
//! that widest gap is below 0, and is how far one has to be moved to be clear of the other.

use glam::DVec3;

use crate::job::Frame;
use crate::section::{Profile, Section};

/// Steps of the search for the widest gap, in radians: from the first down to the last.
const FIRST_STEP: f64 = 0.3;
const LAST_STEP: f64 = 1e-7;

/// A straight tube with square ends, taken as solid.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bar<'a> {
    /// At its first end, the axis leading to the other.
    pub(super) frame: Frame,
    /// In millimetres.
    pub(super) length: f64,
    /// Its outer skin.
    pub(super) section: &'a Section,
}

impl Bar<'_> {
    /// How far it reaches along a unit vector.
    fn reach(&self, way: DVec3) -> f64 {
        let Frame {
            origin,
            axis,
            front,
            right,
        } = self.frame;
        let across = glam::DVec2::new(way.dot(front), way.dot(right));
        way.dot(origin) + self.length * way.dot(axis).max(0.0) + self.section.reach_towards(across)
    }
}

/// Between two bars in millimetres, negative where they overlap; `between` leads from the one to the other, roughly.
pub(super) fn apart(a: &Bar<'_>, b: &Bar<'_>, between: DVec3) -> f64 {
    let gap = |way: DVec3| -b.reach(-way) - a.reach(way);
    let own = |bar: &Bar<'_>| [bar.frame.axis, bar.frame.front, bar.frame.right];
    let mut ways: Vec<DVec3> = own(a).into_iter().chain(own(b)).chain([between]).collect();
    // Edge against edge.
    ways.extend(own(a).into_iter().flat_map(|one| own(b).map(|other| one.cross(other))));
    let ways = ways.into_iter().filter_map(DVec3::try_normalize);
    ways.flat_map(|way| [way, -way])
        .map(|way| widest(&gap, way))
        .fold(f64::MIN, f64::max)
}

/// Climbs from `way` to the widest gap near it.
fn widest(gap: &impl Fn(DVec3) -> f64, mut way: DVec3) -> f64 {
    let (mut best, mut step) = (gap(way), FIRST_STEP);
    while step > LAST_STEP {
        let (x, y) = way.any_orthonormal_pair();
        let tries = [x, -x, y, -y, x + y, x - y, y - x, -x - y].map(|aside| (way + step * aside).normalize());
        let found = tries.into_iter().map(|way| (gap(way), way));
        let (wider, there) = found.fold((best, way), |best, next| if next.0 > best.0 { next } else { best });
        if wider > best {
            (best, way) = (wider, there);
        } else {
            step /= 2.0;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::section::Rectangle;

    fn sides(width: f64, height: f64, corner: f64) -> Section {
        Section::Rectangle(Rectangle { width, height, corner })
    }

    fn bar(section: &Section, origin: [f64; 3], axis: DVec3, front: DVec3) -> Bar<'_> {
        Bar {
            frame: Frame::new(DVec3::from_array(origin), axis, front),
            length: 100.0,
            section,
        }
    }

    #[test]
    fn gaps_and_overlaps_of_bars_are_those_of_the_drawing_board() {
        let (square, round) = (sides(50.0, 50.0, 0.0), Section::round(40.0));
        let upright = bar(&square, [0.0, 0.0, 0.0], DVec3::Z, DVec3::X);
        let cases = [
            // Face to face, side by side.
            (bar(&square, [60.0, 0.0, 0.0], DVec3::Z, DVec3::X), 10.0),
            // The same, overlapping by 5.
            (bar(&square, [45.0, 0.0, 0.0], DVec3::Z, DVec3::X), -5.0),
            // Turned by 45 degrees its edge is half the diagonal away from its axis.
            (
                bar(
                    &square,
                    [70.0, 0.0, 0.0],
                    DVec3::Z,
                    DVec3::new(1.0, 1.0, 0.0).normalize(),
                ),
                45.0 - 25.0 * f64::sqrt(2.0),
            ),
            // Corner to corner.
            (
                bar(&square, [60.0, 60.0, 0.0], DVec3::Z, DVec3::X),
                10.0 * f64::sqrt(2.0),
            ),
            // End to end.
            (bar(&square, [0.0, 0.0, 103.0], DVec3::Z, DVec3::X), 3.0),
            // Round tube across its corner: from the axis to the corner, less both.
            (
                bar(&round, [50.0, 50.0, 0.0], DVec3::Z, DVec3::X),
                25.0 * f64::sqrt(2.0) - 20.0,
            ),
            // Round tube lying across a face.
            (bar(&round, [50.0, -50.0, 50.0], DVec3::Y, DVec3::X), 5.0),
        ];
        for (index, (other, given)) in cases.iter().enumerate() {
            let found = apart(&upright, other, other.frame.origin - upright.frame.origin);
            assert!((found - given).abs() < 1e-5, "{index}: {found} against {given}");
        }
    }

    #[test]
    fn rounded_corners_are_farther_apart_than_sharp_ones() {
        let rounded = sides(50.0, 50.0, 6.0);
        let (a, b) = (
            bar(&rounded, [0.0, 0.0, 0.0], DVec3::Z, DVec3::X),
            bar(&rounded, [60.0, 60.0, 0.0], DVec3::Z, DVec3::X),
        );
        let given = 10.0 * f64::sqrt(2.0) + 2.0 * 6.0 * (f64::sqrt(2.0) - 1.0);
        assert!((apart(&a, &b, DVec3::new(1.0, 1.0, 0.0)) - given).abs() < 1e-5);
    }
}
