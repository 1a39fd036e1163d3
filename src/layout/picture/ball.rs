//! A ball.

use std::f64::consts::TAU;

use glam::DVec3;

use super::{LineInSpace, PLACES, Solid};

/// A whole ball.
pub(in crate::layout) struct Ball {
    /// Its middle.
    pub middle: DVec3,
    /// In millimetres.
    pub radius: f64,
}

impl Solid for Ball {
    /// From wherever it is seen, a circle.
    fn lines(&self, eye: DVec3) -> Vec<LineInSpace> {
        let (a, b) = eye.any_orthonormal_pair();
        let angles = (0..=PLACES).map(|place| TAU * place as f64 / PLACES as f64);
        let places = angles.map(|angle| self.middle + self.radius * (angle.cos() * a + angle.sin() * b));
        vec![LineInSpace::edge(places.collect())]
    }

    fn hides(&self, from: DVec3, eye: DVec3, clear: f64) -> bool {
        let to_middle = self.middle - from;
        let nearest = to_middle.dot(eye);
        let square = self.radius * self.radius - (to_middle.length_squared() - nearest * nearest);
        square > 0.0 && nearest + square.sqrt() > clear
    }

    fn reach(&self) -> f64 {
        self.radius
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
        let hides = |x: f64, z: f64| ball.hides(DVec3::new(x, 0.0, z), DVec3::X, 0.1);
        assert!(hides(-50.0, 50.0) && hides(-200.0, 99.0));
        assert!(!hides(50.0, 50.0) && !hides(200.0, 50.0) && !hides(-200.0, 101.0) && !hides(0.0, 100.0));
    }
}
