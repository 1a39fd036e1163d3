//! A branch cut flat on a chop saw, on its header or alone.

use crate::job::{Frame, Saddle};
use crate::layout::picture::{CutBy, Look, Part, Scene, flat_cut};
use crate::plan::{FacetsPlan, FlatEnd};

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
    let planes = facets.cuts.iter().map(|cut| (cut.at_axis, cut.slope));
    let branch = saddle::branch(joint, frame, cut_by(&frame, planes));
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

/// An end that was cut flat, at the trial fit, as it stands with nothing off.
pub(super) fn flat_end(joint: &Saddle, flat: &FlatEnd, look: &Look) -> Scene {
    let own = joint.frame();
    let frame = Frame {
        origin: own.origin - flat.is_in_mm * own.axis,
        ..own
    };
    let planes = flat.cuts.cuts.iter().map(|cut| (cut.at_axis, cut.slope));
    let branch = saddle::branch(joint, frame, cut_by(&frame, planes));
    saddle::on_header(joint, branch, 0.0, saddle::caption(joint, look))
}

/// By planes, each with its t on the axis and how fast that grows towards the front.
fn cut_by(frame: &Frame, planes: impl Iterator<Item = (f64, f64)>) -> CutBy {
    let plane = |(at_axis, slope): (f64, f64)| {
        let at = frame.origin + at_axis * frame.axis;
        flat_cut(at, frame.axis - slope * frame.front)
    };
    planes.map(plane).collect()
}
