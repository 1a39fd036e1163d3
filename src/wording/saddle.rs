//! What is said of a branch on a header.

use super::Said;
use super::facets::joint_title;
use super::tight_hole::tight_hole;
use super::tube::place_name;
use crate::job::Saddle;
use crate::measure::{Units, show_angle};
use crate::plan::{CROWN_LINES, Plan, SaddlePlan, base_to_skin};

/// Below this angle between the skins a weld needs a mock-up in structural work (AWS D1.1, from memory).
const TIGHT_DEG: f64 = 30.0;

/// Title, notes and summary.
pub(super) fn said(plan: &Plan, of: &SaddlePlan) -> Said {
    let (joint, units) = (&of.joint, plan.sheet.units);
    let (marks, curve, girth, dihedral) = (&of.end.marks, &of.end.curve, of.end.girth_mm(), of.end.dihedral_deg);
    let mut notes = plan.warnings.clone();
    notes.extend(tight_weld(&dihedral));
    notes.extend(tight_hole(&of.hole, joint.clearance_mm, units));
    let title = joint_title(joint, units);
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
    Said { title, notes, summary }
}

/// `set-on, 45°, offset 6.00 mm to the right, touch wall`.
pub(crate) fn describe_joint(joint: &Saddle, units: Units) -> String {
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
