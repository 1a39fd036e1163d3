//! A cubic as a sum of powers: places and directions for little.

use kurbo::{Point, Vec2};

/// A place and three powers of what leads from it.
pub(super) struct Polynomial {
    pub(super) start: Point,
    /// By the first power, the second and the third.
    pub(super) by: [Vec2; 3],
}

impl Polynomial {
    /// The place, and by how much it moves there.
    pub(super) fn at(&self, on: f64) -> (Point, Vec2) {
        let [linear, square, cube] = self.by;
        let point = self.start + on * (linear + on * (square + on * cube));
        (point, linear + on * (2.0 * square + 3.0 * on * cube))
    }
}
