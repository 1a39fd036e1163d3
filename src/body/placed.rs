//! Any body, moved and turned.

use std::sync::Arc;

use glam::{DAffine3, DVec3};
use kurbo::{Point, Vec2};

use super::{Body, Development, Grow, Hit, Line, Locate, Site, Unroll};

/// A body somewhere else than at its own origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed<B> {
    body: B,
    to_body: DAffine3,
    from_body: DAffine3,
}

impl<B> Placed<B> {
    /// `placement` takes the body's own coordinates to the surrounding ones: a turn and a move, no scaling.
    pub fn new(body: B, placement: DAffine3) -> Self {
        Self {
            body,
            to_body: placement.inverse(),
            from_body: placement,
        }
    }
}

impl<B: Body + PartialEq> Body for Placed<B> {
    fn first_hit(&self, line: &Line) -> Option<Hit> {
        let line = Line {
            origin: self.to_body.transform_point3(line.origin),
            direction: self.to_body.transform_vector3(line.direction),
        };
        let hit = self.body.first_hit(&line)?;
        Some(Hit {
            normal: self.from_body.transform_vector3(hit.normal),
            ..hit
        })
    }

    fn passes_by(&self, line: &Line) -> Option<f64> {
        self.body.passes_by(&Line {
            origin: self.to_body.transform_point3(line.origin),
            direction: self.to_body.transform_vector3(line.direction),
        })
    }

    fn by_itself(&self) -> Option<(&dyn Body, DAffine3)> {
        Some((&self.body, self.to_body))
    }
}

impl<B: Grow> Grow for Placed<B> {
    fn grown(&self, by: f64) -> Arc<dyn Body + Send + Sync> {
        Arc::new(Placed::new(self.body.grown(by), self.from_body))
    }

    fn deepest_mm(&self) -> f64 {
        self.body.deepest_mm()
    }
}

impl<B: Unroll> Unroll for Placed<B> {
    fn lay_flat(&self, point: DVec3) -> Point {
        self.body.lay_flat(self.to_body.transform_point3(point))
    }

    fn lay_flat_vector(&self, point: DVec3, vector: DVec3) -> Vec2 {
        self.body.lay_flat_vector(
            self.to_body.transform_point3(point),
            self.to_body.transform_vector3(vector),
        )
    }

    fn carry(&self, point: DVec3, lift: f64) -> DVec3 {
        self.from_body
            .transform_point3(self.body.carry(self.to_body.transform_point3(point), lift))
    }

    fn development(&self) -> Development {
        self.body.development()
    }
}

impl<B: Locate> Locate for Placed<B> {
    fn site(&self, along: f64, round: f64) -> Site {
        let Site { point, normal } = self.body.site(along, round);
        Site {
            point: self.from_body.transform_point3(point),
            normal: self.from_body.transform_vector3(normal),
        }
    }

    fn angle_of(&self, along: f64, arc: f64) -> f64 {
        self.body.angle_of(along, arc)
    }

    fn arc_of(&self, along: f64, round: f64) -> f64 {
        self.body.arc_of(along, round)
    }

    fn girth(&self, along: f64) -> Option<f64> {
        self.body.girth(along)
    }

    fn place_of(&self, point: DVec3) -> (f64, f64) {
        self.body.place_of(self.to_body.transform_point3(point))
    }
}
