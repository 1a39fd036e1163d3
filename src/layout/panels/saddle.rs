//! What is drawn of a branch on a header: wrap, hole, tables and picture.

use glam::DVec3;

use super::hole::{HolePattern, SetBy};
use super::table::ordinates_panels;
use super::wrap::of_end;
use crate::job::{Frame, Join, Saddle, SheetOptions, Touch};
use crate::layout::label::heading_panel;
use crate::layout::picture::{Picture, TubePiece, square_edge};
use crate::layout::{Drawing, Panel};
use crate::measure::{Units, show_angle};
use crate::plan::{Marks, SaddlePlan, base_to_skin};
use crate::section::Section;
use crate::solver::{HoleOutline, cut_at};
use crate::wording::{Said, describe_joint, girth_note, side_notes};

/// Heading, wrap, hole and ordinates.
pub(super) fn panels(plan: &SaddlePlan, sheet: &SheetOptions, said: &Said) -> Vec<Panel> {
    let (joint, units, end) = (&plan.joint, sheet.units, &plan.end);
    let title = &said.title;
    let notes = wrap_notes(joint, &end.marks, end.girth_mm(), units);
    let wrap = of_end(end, format!("BRANCH END: {title}"), notes, sheet.stations);
    let mut panels = vec![heading_panel(
        &format!("{title}, {}", describe_joint(joint, units)),
        &said.notes,
        &picture(joint),
        sheet,
    )];
    panels.push(wrap.panel());
    panels.push(hole_pattern(joint, &plan.hole, sheet.paper_thickness_mm, units));
    panels.extend(ordinates_panels("Branch end", &end.marks, units));
    panels
}

fn wrap_notes(joint: &Saddle, marks: &Marks, girth: f64, units: Units) -> Vec<String> {
    let square = if joint.branch.has_sides() {
        "straight into each side, in the corners towards their middle"
    } else {
        "pointing at the tube's axis"
    };
    let touch = match joint.touch {
        Touch::Wall => format!(
            "Cut square to the wall (blade, disc or torch {square}): the first part of the wall to reach the header just touches."
        ),
        Touch::Outside => "For an end bevelled to a knife edge at the outer skin.".to_owned(),
        Touch::Inside => "Handbook convention: the bore touches the header; cut square to the wall.".to_owned(),
    };
    let front = if joint.turned_deg == 0.0 {
        "Front is the side of the acute angle; on a square joint, choose one and keep to it. Printed side out."
            .to_owned()
    } else {
        format!(
            "FRONT is the middle of the tube's own front side, turned {} to the right from the side of the acute angle. Printed side out.",
            show_angle(joint.turned_deg)
        )
    };
    let ends_at = if joint.join == Join::SetIn {
        " The end comes flush with the header's inner skin."
    } else {
        ""
    };
    let mut notes = vec![
        format!("{}.{ends_at}", describe_joint(joint, units)),
        format!(
            "Base line to the header's centre, along the branch: {}; to its skin {}. Up to the cut: longest {}, shortest {}.",
            units.show(marks.base_t),
            units.show(base_to_skin(joint, marks.base_t)),
            units.show(marks.longest_mm),
            units.show(marks.shortest_mm)
        ),
        girth_note(&joint.branch, girth, units),
        touch,
        front,
    ];
    notes.extend(side_notes(&joint.branch, units));
    notes
}

fn hole_pattern(joint: &Saddle, hole: &HoleOutline, paper_thickness_mm: f64, units: Units) -> Panel {
    let header = joint.header.describe(units);
    let fit = match joint.join {
        Join::SetOn if joint.branch.wall_mm > 0.0 => "Set-on: the hole matches the branch's bore.".to_owned(),
        Join::SetOn if joint.branch.has_sides() => {
            "No wall given: drawn to the branch's outside. Cut well inside the line.".to_owned()
        }
        Join::SetOn => "No wall given: drawn to the branch's OD. Cut well inside the line.".to_owned(),
        Join::SetIn => format!(
            "Set-in: the branch passes through; clearance {} all round. Cut square to the wall.",
            units.show(joint.clearance_mm)
        ),
    };
    let mut notes = vec![
        format!("In {header}. {fit}"),
        "Tape it on the header, printed side out, front towards the acute side, line A along the header.".to_owned(),
    ];
    if joint.turned_deg != 0.0 {
        notes.push(format!(
            "FRONT here is the side of the acute angle; the tube's own front side is turned {} to the right from it.",
            show_angle(joint.turned_deg)
        ));
    }
    let pattern = HolePattern {
        name: "hole",
        title: "HOLE: cut inside the line",
        notes: &notes,
        outline: hole,
        girth_scale: 1.0 + paper_thickness_mm / joint.header.od_mm,
        units,
        set_by: SetBy::Joint,
        front: None,
    };
    pattern.panel()
}

/// The two tubes as they are joined, from the front and above.
fn picture(joint: &Saddle) -> Drawing {
    let (width, height) = (58.0, 46.0);
    let end = joint.end();
    let skin = Saddle {
        touch: Touch::Outside,
        join: Join::SetOn,
        ..joint.clone()
    }
    .end();
    let (radius, header) = (joint.branch.radius(), joint.header.radius());
    let sin = joint.angle_deg.to_radians().sin();
    let near: Vec<f64> = (0..360)
        .map(|degree| cut_at(&skin, f64::from(degree).to_radians()).map_or(0.0, |cut| cut.t))
        .collect();
    let (low, high) = near
        .iter()
        .fold((f64::MAX, f64::MIN), |(low, high), t| (low.min(*t), high.max(*t)));
    let far = high + 2.2 * radius;
    // A tube on a drum shows a part of the drum only.
    let depth = header.min(1.6 * radius);
    let shown = (3.6 * depth).max(2.4 * radius / sin + 2.0 * radius) + 3.4 * radius;
    let middle = end.frame.origin + 0.5 * (far + (low - 1.2 * depth).max(0.0)) * end.frame.axis;
    let half = 0.48 * shown;
    let along = Frame::new(DVec3::new(0.0, middle.y - half, 0.0), DVec3::Y, DVec3::Z);
    let header_piece = TubePiece {
        frame: along,
        section: Section::round(2.0 * header),
        bore: joint.header.wall_mm.map(|wall| Section::round(2.0 * (header - wall))),
        near: square_edge(0.0),
        far: square_edge(2.0 * half),
        front_label: None,
    };
    let branch_piece = TubePiece {
        frame: end.frame,
        section: joint.branch.section,
        bore: Some(joint.branch.bore()).filter(|_| joint.branch.wall_mm > 0.0),
        near,
        far: square_edge(far),
        front_label: Some("front"),
    };
    let picture = Picture {
        solids: vec![Box::new(header_piece), Box::new(branch_piece)],
        eye: DVec3::new(0.78, 0.45, 0.42),
        middle,
        shown,
        numbers: Vec::new(),
        caption: format!("{}, seen from the right", show_angle(joint.angle_deg)),
    };
    picture.draw(width, height)
}
