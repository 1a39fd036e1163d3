//! A straight piece of tube, round or with sides, between two cut edges.

use std::f64::consts::TAU;

use glam::{DVec2, DVec3};

use super::{LineInSpace, PLACES, Solid};
use crate::job::Frame;
use crate::section::{Profile, Section};

/// A tube between two edges, open at both ends.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::layout) struct TubePiece {
    /// Where it lies.
    pub frame: Frame,
    /// Its outer skin.
    pub section: Section,
    /// Its bore, where it shows at the far end.
    pub bore: Option<Section>,
    /// t of the near edge, evenly round the girth from the front, in millimetres.
    pub near: Vec<f64>,
    /// t of the far edge, likewise.
    pub far: Vec<f64>,
    /// What to write at the far end of its front line, where that is drawn.
    pub front_label: Option<&'static str>,
}

/// An edge square to the tube.
pub(in crate::layout) fn square_edge(t: f64) -> Vec<f64> {
    vec![t]
}

impl TubePiece {
    fn point(&self, azimuth: f64, t: f64, section: &Section) -> DVec3 {
        let line = section.wall_line(azimuth, 0.0);
        self.frame.origin
            + self.frame.across(line.origin)
            + line.outer * self.frame.outward(line.facing)
            + t * self.frame.axis
    }

    /// A vector as the section sees it.
    fn in_section(&self, vector: DVec3) -> DVec2 {
        DVec2::new(vector.dot(self.frame.front), vector.dot(self.frame.right))
    }

    /// Places on its skin that stand before its axis for an eye in the direction `eye`; first the one half way along.
    pub(in crate::layout) fn before_axis(&self, eye: DVec3) -> Vec<DVec3> {
        let eye = eye.normalize();
        let middle = |edge: &[f64]| edge.iter().sum::<f64>() / edge.len() as f64;
        let (near, far) = (middle(&self.near), middle(&self.far));
        let out = self.section.crossings(DVec2::ZERO, self.in_section(eye));
        let out = out.map_or(0.0, |[_, out]| out) * eye;
        [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9]
            .map(|share| self.frame.origin + (near + share * (far - near)) * self.frame.axis + out)
            .to_vec()
    }
}

impl Solid for TubePiece {
    fn lines(&self, eye: DVec3) -> Vec<LineInSpace> {
        let round = |edge: &[f64], section: &Section| {
            let azimuths = (0..=PLACES).map(|place| TAU * place as f64 / PLACES as f64);
            LineInSpace::edge(
                azimuths
                    .map(|azimuth| self.point(azimuth, edge_at(edge, azimuth), section))
                    .collect(),
            )
        };
        let along = |azimuth: f64| {
            let end = |edge: &[f64]| self.point(azimuth, edge_at(edge, azimuth), &self.section);
            LineInSpace::straight(end(&self.near), end(&self.far))
        };
        let mut lines = vec![round(&self.near, &self.section), round(&self.far, &self.section)];
        lines.extend(self.bore.map(|bore| round(&self.far, &bore)));
        lines.extend(self.section.outlines(self.in_section(eye)).into_iter().map(along));
        lines.extend(self.front_label.map(|_| LineInSpace {
            is_mark: true,
            ..along(0.0)
        }));
        lines
    }

    /// Where the line of sight passes through the wall.
    fn hides(&self, from: DVec3, eye: DVec3, clear: f64) -> bool {
        let (start, way) = (self.in_section(from - self.frame.origin), self.in_section(eye));
        let crossings = self.section.crossings(start, way).into_iter().flatten();
        crossings.filter(|distance| *distance >= clear).any(|distance| {
            let hit = from + distance * eye - self.frame.origin;
            let azimuth = self.section.azimuth_of(self.in_section(hit));
            let t = hit.dot(self.frame.axis);
            t > edge_at(&self.near, azimuth) && t < edge_at(&self.far, azimuth)
        })
    }

    fn reach(&self) -> f64 {
        self.section.reach()
    }

    fn label(&self) -> Option<(DVec3, &'static str)> {
        self.front_label
            .map(|words| (self.point(0.0, edge_at(&self.far, 0.0), &self.section), words))
    }
}

/// t of an edge at an azimuth from 0 to a turn, between its places.
fn edge_at(edge: &[f64], azimuth: f64) -> f64 {
    let place = azimuth / TAU * edge.len() as f64;
    let (before, share) = (place.floor(), place.fract());
    let at = |index: usize| edge[index % edge.len()];
    at(before as usize) * (1.0 - share) + at(before as usize + 1) * share
}
