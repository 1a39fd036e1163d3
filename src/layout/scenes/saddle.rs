//! A branch on its header, with the hole under it.

use std::sync::Arc;

use glam::{DAffine3, DVec3};

use crate::body::{Cylinder, Placed};
use crate::job::{Frame, Saddle};
use crate::layout::picture::{CutBy, Drilled, Look, Part, Scene, TubePiece, flat_cut};
use crate::measure::show_angle;
use crate::section::Section;

/// How far the branch is drawn off beyond its cut, in its own radii.
const APART: f64 = 1.5;
/// So much of the branch is shown over its cut, in its own radii.
const SHOWN: f64 = 2.2;

/// The two tubes as they are joined, or the branch drawn off the header. A tube on a drum shows a part of the drum only.
pub(super) fn scene(joint: &Saddle, look: &Look) -> Scene {
    let own = joint.frame();
    let cut = |lift: f64| -> CutBy {
        let skin = Cylinder::new(joint.landing_radius());
        vec![Arc::new(Placed::new(skin, DAffine3::from_translation(lift * own.axis)))]
    };
    let lift = if look.is_apart {
        let (low, high) = branch(joint, own, cut(0.0)).cut_reach();
        high - low + APART * joint.branch.radius()
    } else {
        0.0
    };
    let frame = Frame {
        origin: own.origin + lift * own.axis,
        ..own
    };
    let from = caption(joint, look);
    let branch = branch(joint, frame, cut(lift));
    on_header(joint, branch, lift, from)
}

/// The branch to a square end a little over its cut.
pub(super) fn branch(joint: &Saddle, frame: Frame, near: CutBy) -> TubePiece {
    let bore = Some(joint.branch.bore()).filter(|_| joint.branch.wall_mm > 0.0);
    let open = TubePiece::new(frame, joint.branch.section, bore, near.clone(), Vec::new());
    let end = frame.origin + (open.cut_reach().1 + SHOWN * joint.branch.radius()) * frame.axis;
    let far = vec![flat_cut(end, -frame.axis)];
    let mut branch = TubePiece::new(frame, joint.branch.section, bore, near, far);
    branch.is_cut = [true, false];
    branch.front_label = Some("front");
    branch
}

/// A branch over its header, drawn off by `lift` millimetres along its axis.
pub(super) fn on_header(joint: &Saddle, branch: TubePiece, lift: f64, caption: String) -> Scene {
    let (radius, header) = (joint.branch.radius(), joint.header.radius());
    let depth = header.min(1.6 * radius);
    let (low, high) = branch.cut_reach();
    let on_axis = |t: f64| branch.frame.origin + t * branch.frame.axis;
    let foot = on_axis(0.5 * (low + high) - lift) - 2.0 * depth * DVec3::Z;
    let top = on_axis(high + SHOWN * radius);
    let shown = (0.5 * (foot + top), 0.5 * (top - foot).length() + radius);
    let middle = DVec3::new(0.0, shown.0.y, 0.0);
    let half = 1.2 * shown.1;
    let ends = [-1.0, 1.0].map(|sign| vec![flat_cut(middle + sign * half * DVec3::Y, -sign * DVec3::Y)]);
    let [near, far] = ends;
    let drilling = joint.drilling();
    let mut header = TubePiece::new(
        Frame::new(middle, DVec3::Y, DVec3::Z),
        Section::round(2.0 * header),
        joint.header.wall_mm.map(|wall| Section::round(2.0 * (header - wall))),
        near,
        far,
    );
    header.drilled.push(Drilled {
        frame: drilling.frame,
        section: drilling.section,
    });
    let name = "header".to_owned();
    let tube = "branch".to_owned();
    Scene {
        things: vec![
            (Part::Body { name }, Box::new(header)),
            (Part::Piece { tube, number: 1 }, Box::new(branch)),
        ],
        shown: Some(shown),
        numbers: Vec::new(),
        clashes: Vec::new(),
        caption,
    }
}

/// Angle, and from where it is seen: the header runs from back to front.
pub(super) fn caption(joint: &Saddle, look: &Look) -> String {
    let sides = if joint.turned_deg == 0.0 {
        ["the right", "the front", "the left", "the back"]
    } else {
        ["the right", "the acute side", "the left", "the obtuse side"]
    };
    format!("{}, {}", show_angle(joint.angle_deg), look.eye.words(sides))
}
