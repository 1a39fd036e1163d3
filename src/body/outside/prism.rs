//! What is out of round, the same all along its axis.

use std::f64::consts::TAU;
use std::sync::OnceLock;

use glam::{DVec2, DVec3};

use super::{Core, Ends, Outside};
use crate::body::{Locate, OutOfRound};

/// Places round its section: between them it bows by less than a millionth of its girth.
const ROUND: usize = 2880;

/// Places from one of which the farthest is looked for first.
const STRIDE: usize = 48;

/// A skin that is out of round between two ends square to its axis.
#[derive(Debug, Clone)]
pub struct Prism {
    skin: OutOfRound,
    length_mm: f64,
    /// x and z of places round it, once they are asked for.
    places: OnceLock<Vec<DVec2>>,
}

impl Prism {
    /// From y = 0 to `length_mm` within the skin.
    pub fn new(skin: OutOfRound, length_mm: f64) -> Self {
        Self {
            skin,
            length_mm,
            places: OnceLock::new(),
        }
    }

    fn places(&self) -> &[DVec2] {
        let place = |step: usize| {
            let DVec3 { x, z, .. } = self.skin.site(0.0, TAU * step as f64 / ROUND as f64).point;
            DVec2::new(x, z)
        };
        self.places.get_or_init(|| (0..ROUND).map(place).collect())
    }

    /// Of the corners of a convex outline the farthest along `way`: going round, they rise to it and fall from it.
    fn farthest_round(&self, way: DVec2) -> DVec2 {
        let places = self.places();
        let farther = |a: usize, b: usize| if places[a].dot(way) >= places[b].dot(way) { a } else { b };
        let rough = (0..places.len()).step_by(STRIDE).fold(0, farther);
        let beside = places.len() - STRIDE + rough..=places.len() + STRIDE + rough;
        places[beside.map(|index| index % places.len()).fold(rough, farther)]
    }
}

/// Its places follow from the rest.
impl PartialEq for Prism {
    fn eq(&self, other: &Self) -> bool {
        self.skin == other.skin && self.length_mm == other.length_mm
    }
}

impl Outside for Prism {
    fn ends(&self) -> Option<Ends> {
        Some(Ends {
            length_mm: self.length_mm,
            reach_mm: [self.skin.reach(); 2],
        })
    }

    fn core(&self) -> Option<Core> {
        Some(Core {
            length_mm: self.length_mm,
            reach_mm: self.skin.reach(),
        })
    }

    fn farthest(&self, way: DVec3) -> DVec3 {
        let out = self.farthest_round(DVec2::new(way.x, way.z));
        DVec3::new(out.x, if way.y > 0.0 { self.length_mm } else { 0.0 }, out.y)
    }

    fn depth_mm(&self, place: DVec3) -> f64 {
        let (along, round) = self.skin.place_of(place);
        let under = self.skin.site(along, round);
        let below = (under.point - place).dot(under.normal);
        below.min(place.y).min(self.length_mm - place.y)
    }
}
