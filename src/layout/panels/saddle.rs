//! What is drawn of a branch on a header: wrap, hole, tables and picture.

use std::f64::consts::PI;

use kurbo::{Affine, Rect, Shape};

use super::hole::HolePattern;
use super::table::{hole_ordinates_panel, ordinates_panels};
use super::wrap::of_end;
use crate::job::{Join, LeftOut, Saddle, SheetOptions, Touch};
use crate::layout::Panel;
use crate::measure::{Units, show_angle};
use crate::plan::{Marks, SaddlePlan, base_to_skin};
use crate::wording::{
    Said, describe_joint, hole_ordinates_of_joint, line_a, ordinates_beside_wrap, root_gap_note, side_notes,
    tight_sentence, weld_sentence,
};

/// Over all of it: what is joined, and how.
pub(super) fn heading(plan: &SaddlePlan, sheet: &SheetOptions, said: &Said) -> String {
    format!("{}, {}", said.title, describe_joint(&plan.joint, sheet.units))
}

/// Wrap, hole and ordinates.
pub(super) fn panels(plan: &SaddlePlan, sheet: &SheetOptions, said: &Said) -> Vec<Panel> {
    let (joint, units, end) = (&plan.joint, sheet.units, &plan.end);
    let title = &said.title;
    let mut notes = wrap_notes(joint, &end.marks, end.girth_mm(), units);
    if let Some(weld) = &end.weld {
        notes[0] += &format!(" {}", weld_sentence(weld, sheet));
        notes.extend(tight_sentence(weld, sheet));
    }
    let wrap = of_end(end, format!("BRANCH END: {title}"), notes, sheet.stations);
    let mut panels = vec![wrap.panel_in_shapes()];
    if sheet.has(LeftOut::Tables) {
        panels.extend(ordinates_panels(&ordinates_beside_wrap("Branch end", end, units)));
    }
    if sheet.has(LeftOut::Holes) {
        panels.push(hole_pattern(plan, sheet.paper_thickness_mm, units));
    } else if sheet.has(LeftOut::Tables) {
        panels.push(hole_ordinates_panel(&hole_ordinates_of_joint(plan, units)));
    }
    panels
}

fn wrap_notes(joint: &Saddle, marks: &Marks, girth: f64, units: Units) -> Vec<String> {
    let square = if joint.branch.has_sides() {
        "straight into each side, in the corners towards their middle"
    } else {
        "pointing at the tube's axis"
    };
    let touch = match joint.touch {
        Touch::Wall => format!("Cut square to the wall: blade, disc or torch {square}."),
        Touch::Outside => "For an end bevelled to a knife edge at the outer skin.".to_owned(),
        Touch::Inside => "Handbook convention: the bore touches the header; cut square to the wall.".to_owned(),
    };
    let front = if joint.turned_deg == 0.0 {
        match joint.angle_deg {
            90.0 => "FRONT may be any side: choose one and keep to it.",
            _ => "FRONT is the side of the acute angle.",
        }
        .to_owned()
    } else {
        format!(
            "FRONT is the middle of the tube's own front side, turned {} to the right from the side of the acute angle.",
            show_angle(joint.turned_deg)
        )
    };
    let ends_at = if joint.join == Join::SetIn {
        " The end comes flush with the header's inner skin."
    } else {
        ""
    };
    let mut notes = vec![
        format!(
            "{}.{ends_at} Base line to the header's centre {}, to its skin {}; up to the cut longest {}, shortest {}. Printed girth {}.",
            describe_joint(joint, units),
            units.show(marks.base_t),
            units.show(base_to_skin(joint, marks.base_t)),
            units.show(marks.longest_mm),
            units.show(marks.shortest_mm),
            units.show(girth)
        ),
        format!("{touch} {front}"),
    ];
    notes.extend(root_gap_note(joint, units));
    notes.extend(side_notes(&joint.branch, units));
    notes
}

fn hole_pattern(plan: &SaddlePlan, paper_thickness_mm: f64, units: Units) -> Panel {
    let joint = &plan.joint;
    let to_cross = -plan.site().to_vec2();
    let outline = Affine::translate(to_cross) * plan.hole.path.clone();
    let header = joint.header.describe(units);
    let fit = match joint.join {
        Join::SetOn if joint.branch.wall_mm > 0.0 => "Set-on, to the branch's bore.".to_owned(),
        Join::SetOn if joint.branch.has_sides() => {
            "No wall given: drawn to the branch's outside. Cut well inside the line.".to_owned()
        }
        Join::SetOn => "No wall given: drawn to the branch's OD. Cut well inside the line.".to_owned(),
        Join::SetIn => format!(
            "Set-in: the branch passes through; clearance {} all round. Cut square to the wall.",
            units.show_given(joint.clearance_mm)
        ),
    };
    let mut notes = vec![format!(
        "In {header}. {fit} Line A runs along {}. {}",
        line_a(plan.site().x, units),
        line_b(outline.bounding_box(), units)
    )];
    let is_turned = joint.turned_deg != 0.0;
    if is_turned {
        notes.push(format!(
            "The top goes to the acute side; the tube's own front side is turned {} to the right from it.",
            show_angle(joint.turned_deg)
        ));
    }
    let pattern = HolePattern {
        name: "hole",
        title: "HOLE: cut inside the line",
        clash: None,
        notes: &notes,
        outline: &outline,
        girth_scale: 1.0 + paper_thickness_mm / joint.header.od_mm,
        top: is_turned.then_some("ACUTE SIDE"),
        front: plan.front().map(|front| front + to_cross),
    };
    // Round a small header the paper must not meet itself.
    const MOST_OF_GIRTH: f64 = 0.8;
    pattern.panel_in_shapes(MOST_OF_GIRTH * PI * joint.header.od_mm)
}

/// Where the line round the header is, and how far the hole reaches from it: both can be measured along the header.
fn line_b(hole: Rect, units: Units) -> String {
    format!(
        "Line B goes round where the branch's centre line comes through. The hole reaches {} in front of line B, {} behind it.",
        units.show(hole.y1),
        units.show(-hole.y0)
    )
}
