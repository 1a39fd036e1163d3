//! The pack of a branch on a header: wrap, hole, tables and picture.

use glam::DVec3;

use super::{Pack, PackOf, PackedEnd, PackedHole, PackedPiece, girth_note, place_name, side_notes};
use crate::job::resolve::Resolved;
use crate::job::{Frame, Join, Saddle, Touch};
use crate::layout::hole::{HolePattern, SetBy};
use crate::layout::label::heading_panel;
use crate::layout::picture::{Picture, TubePiece, square_edge};
use crate::layout::table::ordinates_panels;
use crate::layout::{Drawing, Panel};
use crate::measure::{Units, show_angle};
use crate::plan::{CROWN_LINES, Marks};
use crate::problem::{Place, Problem};
use crate::section::Section;
use crate::solver::{HoleOutline, cut_at, hole_outline};

/// Below this angle between the skins a weld needs a mock-up in structural work (AWS D1.1, from memory).
const TIGHT_DEG: f64 = 30.0;

/// The seam's azimuth unless another is asked for: at the back.
const SEAM_DEG: f64 = 180.0;

/// The name of the branch's end on sheets and in the report.
const NAME: &str = "branch end";

/// Solves the joint and draws all that it needs.
///
/// # Errors
/// Where a part of the tube misses the header.
pub fn saddle(job: &Resolved<Saddle>) -> Result<Pack, Problem> {
    let (joint, sheet) = (&job.joint, &job.sheet);
    let units = sheet.units;
    let packed = PackedEnd::solve(NAME, joint.end(), sheet, SEAM_DEG, false)?;
    let (marks, curve, girth) = (&packed.marks, &packed.curve, packed.girth_mm());
    let dihedral = packed.dihedral_deg;
    let hole = hole_outline(&joint.drilling()).map_err(|problem| problem.at(Place::found("the hole", None)))?;
    let mut warnings = job.warnings.clone();
    warnings.extend(tight_weld(&dihedral));
    warnings.extend(tight_hole(joint, &hole, units));

    let title = format!("{} on {}", joint.branch.describe(units), joint.header.describe(units));
    let notes = wrap_notes(joint, marks, girth, units);
    let wrap = packed.wrap(format!("BRANCH END: {title}"), notes, sheet.stations);
    let mut panels = vec![heading_panel(
        &format!("{title}, {}", describe_joint(joint, units)),
        &warnings,
        &picture(joint),
        sheet,
    )];
    panels.push(wrap.panel());
    panels.push(hole_pattern(joint, &hole, sheet.paper_thickness_mm, units));
    panels.extend(ordinates_panels("Branch end", marks, units));

    let longest = place_name(&joint.branch.section, curve.lowest.1, units);
    let summary = vec![
        format!("{title}, {}", describe_joint(joint, units)),
        format!(
            "base line      {} from the header's centre, {} from its skin, along the branch",
            units.show(marks.base_t),
            units.show(base_to_skin(joint, marks.base_t))
        ),
        format!(
            "up to the cut  {} where the tube is longest ({longest}), {} where it is shortest",
            units.show(marks.longest_mm),
            units.show(marks.shortest_mm)
        ),
        format!(
            "weld angles    front {}, right {}, back {}, left {}",
            show_angle(dihedral[0]),
            show_angle(dihedral[1]),
            show_angle(dihedral[2]),
            show_angle(dihedral[3])
        ),
        format!("printed girth  {}", units.show(girth)),
    ];
    Ok(Pack {
        title,
        of: PackOf::Joint {
            panels,
            ends: vec![packed],
            holes: vec![PackedHole {
                body: "header".to_owned(),
                join: joint.join,
                clearance_mm: joint.clearance_mm,
                outline: hole.points,
                place: None,
            }],
        },
        facets: None,
        cut_list: None,
        stacks: Vec::new(),
        pieces: vec![PackedPiece {
            name: "branch".to_owned(),
            quantity: 1,
            centre_line_mm: None,
            tip_to_tip_mm: None,
            cut_off_square_deg: Vec::new(),
            twist_deg: None,
        }],
        warnings,
        summary,
    })
}

/// `set-on, 45°, offset 6.00 mm to the right, touch wall`.
fn describe_joint(joint: &Saddle, units: Units) -> String {
    let offset = match joint.offset_mm {
        0.0 => String::new(),
        offset => format!(
            ", offset {} to the {}",
            units.show(offset.abs()),
            if offset > 0.0 { "right" } else { "left" }
        ),
    };
    let turned = if joint.turned_deg == 0.0 {
        String::new()
    } else {
        format!(", turned {}", show_angle(joint.turned_deg))
    };
    format!(
        "{}, {}{turned}{offset}, touch {}",
        joint.join.word(),
        show_angle(joint.angle_deg),
        joint.touch.word()
    )
}

/// From the base line to where the branch's axis meets the header's outer skin, along the branch, in millimetres.
fn base_to_skin(joint: &Saddle, base_t: f64) -> f64 {
    let (radius, sin) = (joint.header.radius(), joint.angle_deg.to_radians().sin());
    base_t - (radius * radius - joint.offset_mm * joint.offset_mm).max(0.0).sqrt() / sin
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
    };
    pattern.panel()
}

fn tight_weld(dihedral: &[f64; 4]) -> Option<String> {
    let (crown, angle) = CROWN_LINES
        .iter()
        .zip(dihedral)
        .map(|((name, _), angle)| (*name, *angle))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    (angle < TIGHT_DEG).then(|| {
        format!(
            "at the {crown} the skins enclose only {}: it is hard to get a weld in; try it on scrap first",
            show_angle(angle)
        )
    })
}

/// Between the skins the wall of a slanting hole stands in at its two corners.
fn tight_hole(joint: &Saddle, hole: &HoleOutline, units: Units) -> Option<String> {
    (hole.stands_in_mm > joint.clearance_mm + 0.05).then(|| {
        format!("at the hole's two corners the wall stands in by {} more than the clearance: file it there until the tube passes", units.show(hole.stands_in_mm - joint.clearance_mm))
    })
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
