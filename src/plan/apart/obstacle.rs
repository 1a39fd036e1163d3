//! A body as something that is in a tube's way: solid, with the ends and edges that it has.

use std::f64::consts::TAU;
use std::sync::Arc;

use glam::{DAffine3, DVec2, DVec3};

use super::between::Other;
use super::convex::{Convex, Nearest, nearest};
use crate::job::{BodyInSpace, Extent, Surface};

/// Places round the section of one that is out of round: between them it bows by less than a millionth of its girth.
const ROUND: usize = 2880;

/// Places from one of which the farthest is looked for first.
const STRIDE: usize = 48;

/// A solid body.
pub(in crate::plan) struct Obstacle {
    from_body: DAffine3,
    to_body: DAffine3,
    surface: Arc<dyn Surface>,
    shape: Shape,
}

enum Shape {
    /// Two round ends, at 0 and so far along.
    Discs { length: f64, radii: [f64; 2] },
    /// Two equal ends that are out of round.
    Outline { length: f64, places: Vec<DVec2> },
    /// About the origin.
    Ball(f64),
    /// From this place to that.
    Plate(DVec3, DVec3),
    /// All below z = 0.
    Endless,
}

impl Obstacle {
    pub(in crate::plan) fn new(body: &BodyInSpace) -> Self {
        let to_body = body.placement.inverse();
        let shape = match (body.extent, body.edges_mm) {
            (Extent::Round { length, .. }, _) if body.if_round.is_some() => {
                let place = |step: usize| {
                    let site = body.surface.site(0.0, TAU * step as f64 / ROUND as f64);
                    let DVec3 { x, z, .. } = to_body.transform_point3(site.point);
                    DVec2::new(x, z)
                };
                Shape::Outline {
                    length,
                    places: (0..ROUND).map(place).collect(),
                }
            }
            (Extent::Round { length, radii }, _) => Shape::Discs {
                length,
                radii: radii.into(),
            },
            (Extent::Ball(radius), _) => Shape::Ball(radius),
            (Extent::Flat, None) => Shape::Endless,
            (Extent::Flat, Some([wide, high])) => {
                let half = DVec3::new(wide, high, 0.0) / 2.0;
                Shape::Plate(-half - thickness(body) * DVec3::Z, half)
            }
        };
        Self {
            from_body: body.placement,
            to_body,
            surface: body.surface.clone(),
            shape,
        }
    }

    /// How far inside it a place is, in millimetres; `None` outside.
    pub(in crate::plan) fn depth(&self, place: DVec3) -> Option<f64> {
        let own = self.to_body.transform_point3(place);
        let depth = match &self.shape {
            Shape::Discs { length, .. } | Shape::Outline { length, .. } => {
                let (along, round) = self.surface.place_of(place);
                let under = self.surface.site(along, round);
                let below = (under.point - place).dot(under.normal);
                below.min(own.y).min(length - own.y)
            }
            Shape::Ball(radius) => radius - own.length(),
            Shape::Plate(low, high) => (own - *low).min(*high - own).min_element(),
            Shape::Endless => -own.z,
        };
        (depth > 0.0).then_some(depth)
    }
}

/// A plate's, in millimetres; 0 where it isn't known.
pub(in crate::plan) fn thickness(body: &BodyInSpace) -> f64 {
    let inner = body.flat.as_ref().and_then(|flat| flat.inner.as_ref());
    inner.map_or(0.0, |(_, wall)| *wall)
}

/// A ball is taken for its middle, an endless plate can't be asked.
impl Convex for Obstacle {
    fn farthest(&self, way: DVec3) -> (usize, DVec3) {
        let way = self.to_body.transform_vector3(way);
        let own = match &self.shape {
            Shape::Discs { length, radii } => {
                let out = DVec2::new(way.x, way.z).normalize_or_zero();
                let at = |radius: f64, y: f64| DVec3::new(radius * out.x, y, radius * out.y);
                let [near, far] = [at(radii[0], 0.0), at(radii[1], *length)];
                if near.dot(way) >= far.dot(way) { near } else { far }
            }
            Shape::Outline { length, places } => {
                let out = farthest_round(places, DVec2::new(way.x, way.z));
                DVec3::new(out.x, if way.y > 0.0 { *length } else { 0.0 }, out.y)
            }
            Shape::Ball(_) | Shape::Endless => DVec3::ZERO,
            Shape::Plate(low, high) => DVec3::select(way.cmpgt(DVec3::ZERO), *high, *low),
        };
        (0, self.from_body.transform_point3(own))
    }
}

/// Of the corners of a convex outline the farthest along `way`: going round, they rise to it and fall from it.
fn farthest_round(places: &[DVec2], way: DVec2) -> DVec2 {
    let farther = |a: usize, b: usize| if places[a].dot(way) >= places[b].dot(way) { a } else { b };
    let rough = (0..places.len()).step_by(STRIDE).fold(0, farther);
    let beside = places.len() - STRIDE + rough..=places.len() + STRIDE + rough;
    places[beside.map(|index| index % places.len()).fold(rough, farther)]
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
        match self.shape {
            Shape::Endless => {
                let normal = self.from_body.transform_vector3(DVec3::Z);
                let lowest = hull.farthest(-normal);
                let height = self.to_body.transform_point3(lowest.1).z;
                Nearest::single(lowest, lowest.1 - height * normal, height.max(0.0))
            }
            Shape::Ball(radius) => nearest(hull, self, enough + radius).less(radius),
            _ => nearest(hull, self, enough),
        }
    }

    fn nearest_itself(&self, hull: &[DVec3], part: &(), _stood_for: &Nearest, enough: f64) -> Nearest {
        self.nearest(hull, part, enough)
    }
}
