//! A body's whole skin laid flat from its zero line, and what lies on it.

use std::sync::Arc;

use kurbo::{Affine, Point, Vec2};

use crate::body::Development;
use crate::job::{BodyInSpace, Extent, HoleInBody, Skin};

/// (0, 0) is where the zero line meets the body's end, up is along the body; on a plate its point.
pub(super) struct FlatSkin<'a> {
    body: &'a BodyInSpace,
    skin: Arc<dyn Skin>,
    pub(super) shape: Development,
}

impl<'a> FlatSkin<'a> {
    /// None where the body can't be laid flat.
    pub(super) fn new(body: &'a BodyInSpace) -> Option<Self> {
        let skin = (body.flat.as_ref()?.outer)(0.0);
        Some(Self {
            body,
            shape: skin.development(),
            skin,
        })
    }

    /// Takes a hole as it is laid flat from its own line to the whole skin. Both are flat pictures of one skin, so that
    /// one place and one direction tell how to move the one onto the other.
    pub(super) fn carry(&self, hole: &HoleInBody) -> Affine {
        let site = self.body.surface.site(hole.along_mm, hole.round);
        let (from, onto) = (&hole.drilling.outer, &self.skin);
        let way = site.normal.any_orthonormal_vector();
        let turn = onto.lay_flat_vector(site.point, way).angle() - from.lay_flat_vector(site.point, way).angle();
        let to = |point: Point| -> Vec2 { point.to_vec2() };
        Affine::translate(to(onto.lay_flat(site.point)))
            * Affine::rotate(turn)
            * Affine::translate(-to(from.lay_flat(site.point)))
    }

    /// From the body's end to its far end along the skin, in millimetres; none where it has no ends.
    pub(super) fn length(&self) -> Option<f64> {
        let Extent::Round { length, .. } = self.body.extent else {
            return None;
        };
        let far_end = self.skin.lay_flat(self.body.surface.site(length, 0.0).point);
        Some(self.shape.up(far_end))
    }

    /// What is left between a place of the flat skin and the body's nearer end, in millimetres, below 0 past it; none
    /// where it has no ends.
    pub(super) fn to_end(&self, place: Point) -> Option<f64> {
        let up = self.shape.up(place);
        Some(up.min(self.length()? - up))
    }
}
