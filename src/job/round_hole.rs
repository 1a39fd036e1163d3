//! Holes in bodies whose skin can't be laid flat: balls and dished heads.

use std::sync::Arc;

use glam::DVec3;

use super::opening::Opening;
use super::{Assembly, Frame, Join, Surface, TubeInSpace};
use crate::body::Body;
use crate::section::Section;

/// Below this share of it a direction that is laid into a skin is none.
const NONE: f64 = 1e-6;

/// A hole in a ball or a head, marked from the place where the tube's axis meets the skin: its middle.
#[derive(Clone)]
pub struct RoundHole {
    /// The body, by index.
    pub body: usize,
    /// Whether it is for the tube's start.
    pub is_at_start: bool,
    /// Whether it is cut already.
    pub is_made: bool,
    /// How the tube joins.
    pub join: Join,
    /// Added to the tube's radius, in millimetres.
    pub clearance_mm: f64,
    /// The tube that cuts it out, at `middle`.
    pub frame: Frame,
    /// What cuts it out: the bore of a set-on tube, the outside of a set-in one with the clearance.
    pub section: Section,
    /// The skin on which it is marked.
    pub outer: Arc<dyn Surface>,
    /// For a set-in tube, the inner skin.
    pub inner: Option<Arc<dyn Body + Send + Sync>>,
    /// What else the tube's end is cut to.
    pub others: Vec<Arc<dyn Body + Send + Sync>>,
    /// Their names.
    pub covered_by: Vec<String>,
    /// Over the skin from the apex, or a ball's pole, to the middle, in millimetres.
    pub along_mm: f64,
    /// Round from the zero line to the middle, in radians.
    pub round: f64,
    /// Where the apex or the pole is.
    pub apex: DVec3,
    /// Where the tube's axis meets the skin.
    pub middle: DVec3,
    /// Straight out of the skin there.
    pub normal: DVec3,
    /// Laid into the skin at the middle: the way to the side on which the zero line is.
    pub to_zero: DVec3,
    /// The way to the apex there; none at the apex.
    pub to_apex: Option<DVec3>,
    /// Which way the front of the tube's piece points here, as a unit vector square to the tube.
    pub front: DVec3,
    /// From the axis to the rim, or a ball's widest place, in millimetres.
    pub rim_radius_mm: f64,
}

impl RoundHole {
    /// A quarter turn from [`Self::to_zero`], to the right as seen from outside.
    pub fn to_right(&self) -> DVec3 {
        self.to_zero.cross(self.normal)
    }

    /// Whether the other is the same hole, turned about the body's axis: then one outline, its line to the apex on the line to
    /// the apex, serves both.
    pub fn is_turned(&self, other: &Self) -> bool {
        /// Directions, unit vectors, and lengths in millimetres that differ by less are the same.
        const SAME: f64 = 1e-6;
        let (Some(up), Some(other_up)) = (self.to_apex, other.to_apex) else {
            return false;
        };
        let own = |hole: &Self, up: DVec3, way: DVec3| {
            let right = up.cross(hole.normal);
            DVec3::new(way.dot(right), way.dot(up), way.dot(hole.normal))
        };
        let is_same = |way: DVec3, other_way: DVec3| {
            let apart = own(self, up, way) - own(other, other_up, other_way);
            apart.length() < SAME
        };
        self.body == other.body
            && self.join == other.join
            && self.section == other.section
            && self.others.is_empty()
            && other.others.is_empty()
            && (self.along_mm - other.along_mm).abs() < SAME
            && is_same(self.frame.axis, other.frame.axis)
            // Round tube may stand turned.
            && (self.section.sides().is_none() || is_same(self.frame.front, other.frame.front))
    }
}

impl Assembly {
    /// The holes that a tube needs in bodies that can't be laid flat.
    pub fn round_holes(&self, tube: &TubeInSpace) -> Vec<RoundHole> {
        let hole = |opening: Opening<'_>| {
            let front = self.front_at_end(tube, opening.is_at_start);
            round_hole(opening, front)
        };
        self.openings(tube).filter_map(hole).collect()
    }
}

fn round_hole(opening: Opening<'_>, front: DVec3) -> Option<RoundHole> {
    let Opening { body, join, .. } = opening;
    let rim_radius_mm = body.outside.rim_mm().or(Some(body.outside.core()?.reach_mm));
    let rim_radius_mm = rim_radius_mm.filter(|_| body.flat.is_none())?;
    let axis = opening.end.into_tube();
    let (along_mm, round) = body.surface.place_of(opening.end.at);
    let site = body.surface.site(along_mm, round);
    let laid = |way: DVec3| {
        let laid = way - way.dot(site.normal) * site.normal;
        (laid.length() > NONE).then(|| laid.normalize())
    };
    let to_apex = laid(body.axis());
    let to_zero = laid(body.placement.transform_vector3(DVec3::Z));
    Some(RoundHole {
        body: opening.index,
        is_at_start: opening.is_at_start,
        is_made: opening.is_made,
        join,
        clearance_mm: opening.clearance_mm,
        frame: Frame::new(site.point, axis, body.front_of(axis, site.point)),
        section: opening.section,
        outer: body.surface.clone(),
        inner: body.inner.clone().filter(|_| join == Join::SetIn),
        others: opening.others,
        covered_by: opening.covered_by,
        along_mm,
        round,
        apex: body.surface.site(0.0, round).point,
        middle: site.point,
        normal: site.normal,
        // On the zero line at the rim the way to it is straight out: there it is the way down from the apex.
        to_zero: to_zero.or(to_apex.map(|way| -way))?,
        to_apex,
        front,
        rim_radius_mm,
    })
}
