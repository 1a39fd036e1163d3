//! Saw settings: how a faceted end is cut, and how deep its true seat is.

use super::extrema::highest;
use super::facet::{FacetedEnd, FlatCut, Side, seat};
use crate::job::{End, FlatCuts, SawCut};

/// Cuts of one side: each with its scribe depth in millimetres and its saw angle in degrees off square.
pub(super) type SideCuts = Vec<(f64, f64)>;

/// How to cut a faceted end. Angles are off square, as read on a chop saw.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    /// Cuts of the front: scribe depth in millimetres, saw angle in degrees. A pair has one; where no cut helps there is none.
    pub front: SideCuts,
    /// Cuts of the back.
    pub back: SideCuts,
}

impl Recipe {
    /// One cut a side, both touching one scribed line.
    pub fn pair(scribe_mm: f64, saw_front_deg: f64, saw_back_deg: f64) -> Self {
        Self {
            front: vec![(scribe_mm, saw_front_deg)],
            back: vec![(scribe_mm, saw_back_deg)],
        }
    }

    /// As an end was sawn.
    pub fn sawn(cuts: &FlatCuts) -> Self {
        let side = |cuts: &[SawCut]| cuts.iter().map(|cut| (cut.scribe_mm, cut.saw_deg)).collect();
        Self {
            front: side(&cuts.front),
            back: side(&cuts.back),
        }
    }

    /// The end that it makes of a tube of `radius` mm at `angle` radians between the axes.
    pub fn end(&self, radius: f64, angle: f64) -> FacetedEnd {
        let first = FlatCut::first(angle);
        let facets = |side: Side, cuts: &SideCuts| -> Vec<FlatCut> {
            cuts.iter()
                .map(|&(scribe, saw)| FlatCut::facet(side, first, radius, scribe, saw.to_radians()))
                .collect()
        };
        let mut cuts = vec![first];
        cuts.extend(facets(Side::Front, &self.front));
        cuts.extend(facets(Side::Back, &self.back));
        FacetedEnd { cuts }
    }
}

/// The scribe depth in millimetres that the true seat asks for: how far it stands back at the front
/// behind where it stands out farthest, measured from a cut parallel to the header's axis. `None` where a part of the wall
/// misses the body.
pub fn true_depth(end: &End, angle: f64) -> Option<f64> {
    let slope = FlatCut::first(angle).slope * end.tube.radius();
    let relief = |azimuth: f64| Some(seat(end, azimuth)? - slope * azimuth.cos());
    Some(relief(0.0)? + highest(|azimuth| Some(-relief(azimuth)?))?.0)
}
