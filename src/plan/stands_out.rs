//! What of a tube passes what stands out of its body's skin: a tube that leans has more to leave than its hole has.

use std::f64::consts::{PI, TAU};

use super::flat_skin::FlatSkin;
use super::strips::{Span, span};
use crate::body::Line;
use crate::job::{KeepOff, Strip};

/// Places looked at along each line of the tube's skin, from the body's skin out.
const STEPS: u32 = 32;

impl FlatSkin<'_> {
    /// From where to where across a strip the tube's skin lies as far out as what is kept off stands, in millimetres, as
    /// [`FlatSkin::across`] measures an outline; none where nothing stands out. The `lines` of the tube's skin come from
    /// outside. As it is left by a move over the skin the tube is taken as fixed: along the body it is moved, round the body it
    /// is turned about the axis (on a cone, or on what is out of round, nearly so).
    pub(super) fn standing(&self, keep: &KeepOff, along_mm: f64, lines: impl Iterator<Item = Line>) -> Option<Span> {
        if keep.out_mm == 0.0 {
            return None;
        }
        let Strip::Along { round, wide_mm } = keep.strip else {
            let grown = self.body.surface.grown(keep.out_mm);
            let own = self.body.placement.inverse();
            let up = lines.filter_map(|line| {
                let top = line.at(grown.first_hit(&line)?.distance);
                Some(self.up_of(own.transform_point3(top).y))
            });
            return Some(span(up)).filter(|[low, high]| low <= high);
        };
        let girth = self.body.surface.girth(along_mm);
        let half = wide_mm / 2.0;
        // Flat across: its edges are farther from the axis than its middle.
        let edge = girth.map_or(0.0, |girth| {
            let middle = girth / TAU + keep.out_mm;
            middle.hypot(half) - middle
        });
        let grown = self.body.surface.grown(keep.out_mm + edge);
        let mut all = [f64::INFINITY, f64::NEG_INFINITY];
        for line in lines {
            let ends = [grown.first_hit(&line), self.body.surface.first_hit(&line)];
            let [Some(from), Some(to)] = ends.map(|hit| hit.map(|hit| hit.distance)) else {
                continue;
            };
            let places = (0..=STEPS).map(|step| from + (to - from) * f64::from(step) / f64::from(STEPS));
            let beside = places.map(|distance| self.beside(&line, distance, (round, half), girth));
            all = beside.fold(all, |[low, high], [left, right]| [low.min(left), high.max(right)]);
        }
        Some(all).filter(|[low, high]| low <= high)
    }

    /// A place of a line beside the middle of a strip along the body, to the left where positive: as it stands to the strip's
    /// right edge, and to its left one. The edges go straight out, so that farther out they take less of a turn.
    fn beside(&self, line: &Line, distance: f64, (round, half): (f64, f64), girth: Option<f64>) -> Span {
        let place = self.body.placement.inverse().transform_point3(line.at(distance));
        let Some(girth) = girth else {
            return [round - place.x; 2];
        };
        let turn = (place.x.atan2(place.z) - round + PI).rem_euclid(TAU) - PI;
        let radius = girth / TAU;
        let edge = radius * (half / place.x.hypot(place.z)).min(1.0).asin();
        let aside = -radius * turn;
        [aside - edge + half, aside + edge - half]
    }
}
