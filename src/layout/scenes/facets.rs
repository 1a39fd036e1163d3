//! A branch cut flat on a chop saw, on its header or alone.

use crate::job::Frame;
use crate::layout::picture::{Look, Part, Scene, flat_cut};
use crate::plan::FacetsPlan;

use super::saddle;

/// The end as cut, pushed on until it first touches; apart, the end alone.
pub(super) fn scene(plan: &FacetsPlan, look: &Look) -> Scene {
    let (joint, cut) = (&plan.asked.joint, &plan.study.as_cut);
    let own = plan.end.end.frame;
    let shift = if look.is_apart { 0.0 } else { cut.gap.shift };
    let frame = Frame {
        origin: own.origin - shift * own.axis,
        ..own
    };
    let facets = cut.recipe.end(joint.branch.radius(), joint.angle_deg.to_radians());
    let cuts = facets.cuts.iter().map(|cut| {
        let at = frame.origin + cut.at_axis * frame.axis;
        flat_cut(at, frame.axis - cut.slope * frame.front)
    });
    let branch = saddle::branch(joint, frame, cuts.collect());
    let from = saddle::caption(joint, look);
    if look.is_apart {
        let tube = "branch".to_owned();
        return Scene {
            things: vec![(Part::Piece { tube, number: 1 }, Box::new(branch))],
            shown: None,
            numbers: Vec::new(),
            clashes: Vec::new(),
            caption: format!("the end as cut, before rounding, {from}"),
        };
    }
    saddle::on_header(joint, branch, 0.0, format!("as cut, where it first touches, {from}"))
}
