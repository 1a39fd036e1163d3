//! A ball.

use std::f64::consts::TAU;

use glam::DVec3;

use super::Solid;
use super::line::LineInSpace;
use super::sight::{CLEAR, Sight};

/// A whole ball.
pub(in crate::layout) struct Ball {
    /// Its middle.
    pub middle: DVec3,
    /// In millimetres.
    pub radius: f64,
}

impl Solid for Ball {
    /// From wherever it is seen, a circle.
    fn lines(&self, eye: DVec3) -> Vec<LineInSpace<'_>> {
        let (a, b) = eye.any_orthonormal_pair();
        vec![LineInSpace::curve(move |share| {
            let (sin, cos) = (TAU * share).sin_cos();
            self.middle + self.radius * (cos * a + sin * b)
        })]
    }

    fn hides(&self, sight: &Sight) -> bool {
        let to_middle = self.middle - sight.from;
        let nearest = to_middle.dot(sight.eye);
        let square = (self.radius - CLEAR).powi(2) - (to_middle.length_squared() - nearest * nearest);
        square > 0.0 && nearest + square.sqrt() > 0.0
    }

    fn ball(&self) -> (DVec3, f64) {
        (self.middle, self.radius)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ball_hides_its_own_back_and_what_is_behind_it() {
        let ball = Ball {
            middle: DVec3::new(0.0, 0.0, 50.0),
            radius: 50.0,
        };
        let hides = |x: f64, z: f64| {
            ball.hides(&Sight {
                from: DVec3::new(x, 0.0, z),
                eye: DVec3::X,
            })
        };
        assert!(hides(-50.0, 50.0) && hides(-200.0, 99.0));
        assert!(!hides(50.0, 50.0) && !hides(200.0, 50.0) && !hides(-200.0, 101.0) && !hides(0.0, 100.0));
    }
}
