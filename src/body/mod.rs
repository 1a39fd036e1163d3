//! What a tube lands on. Pure geometry in millimetres; knows no job.
//!
//! A body answers one question: where does a straight line first meet you? A new body is a new file
//! here and a line in this one.

mod cone;
mod contour;
mod curve;
mod cylinder;
mod dished;
mod ellipsoid;
mod grow;
mod locate;
mod measured;
mod out_of_round;
mod outside;
mod placed;
mod plane;
mod root;
mod same;
mod several;
mod sphere;
mod spline;
mod straight;
mod torisphere;
mod unroll;

pub use cone::Cone;
pub use contour::Contour;
pub use curve::Hollow;
pub use cylinder::Cylinder;
pub use ellipsoid::Ellipsoid;
pub use grow::Grow;
pub use locate::{Locate, Site};
pub use measured::Mark;
pub use out_of_round::OutOfRound;
pub use outside::{Core, Ends, Frustum, Outside, Prism, SolidBall, SolidPlate};
pub use placed::Placed;
pub use plane::Plane;
pub(crate) use root::rising_root;
pub use same::Same;
pub use several::Several;
pub use sphere::Sphere;
pub use straight::{OnStraight, Straight};
pub use torisphere::Torisphere;
pub use unroll::{Development, Unroll};

use std::sync::Arc;

use glam::{DAffine3, DVec3};

/// A straight line with a sense, endless both ways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Where distances along it are counted from.
    pub origin: DVec3,
    /// Unit vector.
    pub direction: DVec3,
}

impl Line {
    /// The point at `distance` from the origin.
    pub fn at(&self, distance: f64) -> DVec3 {
        self.origin + distance * self.direction
    }
}

/// Where a line meets a body's skin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hit {
    /// Along the line from its origin, in millimetres; may be negative.
    pub distance: f64,
    /// Unit vector out of the body.
    pub normal: DVec3,
}

/// Something that a tube can land on.
pub trait Body: Same {
    /// Where `line`, coming from endlessly far, first meets the skin, or `None` where it misses.
    ///
    /// A line that only grazes the skin meets it, and so does one that passes it by no more than [`crate::measure::SAME_MM`].
    /// All bodies here but [`Several`] are convex, so that along a plane
    /// the first hits form a concave curve (the solver's search through the wall relies on it).
    fn first_hit(&self, line: &Line) -> Option<Hit>;

    /// How far outside the skin a line passes, in millimetres; 0 or less where it meets it, `None` where that isn't told.
    fn passes_by(&self, _line: &Line) -> Option<f64> {
        None
    }

    /// For one that was moved: the body as it is by itself, and the way from the surrounding coordinates into its own. Who
    /// has many lines takes them there all at once.
    fn by_itself(&self) -> Option<(&dyn Body, DAffine3)> {
        None
    }

    /// For one that is made of several: those. Not convex all together, each is asked for itself.
    fn parts(&self) -> Option<&[Arc<dyn Body + Send + Sync>]> {
        None
    }
}

impl PartialEq for dyn Body + Send + Sync {
    fn eq(&self, other: &Self) -> bool {
        self.is_same(other.as_any())
    }
}

impl<B: Body + PartialEq + ?Sized> Body for Arc<B> {
    fn first_hit(&self, line: &Line) -> Option<Hit> {
        (**self).first_hit(line)
    }

    fn passes_by(&self, line: &Line) -> Option<f64> {
        (**self).passes_by(line)
    }

    fn by_itself(&self) -> Option<(&dyn Body, DAffine3)> {
        (**self).by_itself()
    }

    fn parts(&self) -> Option<&[Arc<dyn Body + Send + Sync>]> {
        (**self).parts()
    }
}
