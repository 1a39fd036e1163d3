//! A body as something that is in a tube's way: solid, with the ends and edges that it has.

use glam::{DAffine3, DVec3};

use super::between::Other;
use super::convex::{Convex, Nearest, nearest};
use crate::job::{BodyInSpace, SolidThing};

/// A solid body in its place.
pub(in crate::plan) struct Obstacle {
    from_body: DAffine3,
    to_body: DAffine3,
    outside: SolidThing,
    rounding: f64,
    is_endless: bool,
}

impl Obstacle {
    pub(in crate::plan) fn new(body: &BodyInSpace) -> Self {
        Self {
            from_body: body.placement,
            to_body: body.placement.inverse(),
            rounding: body.outside.rounding_mm(),
            is_endless: body.outside.core().is_none(),
            outside: body.outside.clone(),
        }
    }

    /// How far inside it a place is, in millimetres; `None` outside.
    pub(in crate::plan) fn depth(&self, place: DVec3) -> Option<f64> {
        let depth = self.outside.depth_mm(self.to_body.transform_point3(place));
        (depth > 0.0).then_some(depth)
    }

    /// From what is endless below its face.
    fn over_the_face(&self, hull: &[DVec3]) -> Nearest {
        let normal = self.from_body.transform_vector3(DVec3::Z);
        let lowest = hull.farthest(-normal);
        let height = self.to_body.transform_point3(lowest.1).z;
        Nearest::single(lowest, lowest.1 - height * normal, height.max(0.0))
    }
}

/// What it is grown by is left out.
impl Convex for Obstacle {
    fn farthest(&self, way: DVec3) -> (usize, DVec3) {
        let own = self.outside.farthest(self.to_body.transform_vector3(way));
        (0, self.from_body.transform_point3(own))
    }
}

impl Other for Obstacle {
    type Part = ();

    fn whole(&self) {}

    fn off((): &()) -> f64 {
        0.0
    }

    fn halves(&self, (): &()) -> [(); 2] {
        [(); 2]
    }

    fn nearest(&self, hull: &[DVec3], (): &(), enough: f64) -> Nearest {
        if self.is_endless {
            return self.over_the_face(hull);
        }
        let found = nearest(hull, self, enough + self.rounding);
        if self.rounding > 0.0 {
            found.less(self.rounding)
        } else {
            found
        }
    }

    fn nearest_itself(&self, hull: &[DVec3], part: &(), _stood_for: &Nearest, enough: f64) -> Nearest {
        self.nearest(hull, part, enough)
    }
}
