//! What is said of a branch on a header.

use super::facets::joint_title;
use super::tight_hole::tight_hole;
use super::tube::place_name;
use super::weld::{tight_weld, weld_words};
use super::{Said, lines};
use crate::job::{Saddle, Touch};
use crate::measure::{Units, show_angle};
use crate::plan::{Plan, SaddlePlan, base_to_skin};

/// Title, notes and summary.
pub(super) fn said(plan: &Plan, of: &SaddlePlan) -> Said {
    let (joint, units) = (&of.joint, plan.sheet.units);
    let (marks, curve, girth, dihedral) = (&of.end.marks, &of.end.curve, of.end.girth_mm(), of.end.dihedral_deg);
    let mut notes = plan.warnings.clone();
    notes.extend(of.end.weld.as_ref().and_then(|weld| tight_weld(weld, &plan.sheet)));
    notes.extend(tight_hole(of.hole.stands_in_mm, joint.clearance_mm, units));
    let title = joint_title(joint, units);
    let longest = place_name(&joint.branch.section, curve.lowest.1, units);
    let mut facts = vec![
        (
            "base line",
            format!(
                "{} from the header's centre, {} from its skin, along the branch",
                units.show(marks.base_t),
                units.show(base_to_skin(joint, marks.base_t))
            ),
        ),
        (
            "up to the cut",
            format!(
                "{} where the tube is longest ({longest}), {} where it is shortest",
                units.show(marks.longest_mm),
                units.show(marks.shortest_mm)
            ),
        ),
        (
            "weld angles",
            format!(
                "front {}, right {}, back {}, left {}",
                weld(dihedral[0]),
                weld(dihedral[1]),
                weld(dihedral[2]),
                weld(dihedral[3])
            ),
        ),
        ("printed girth", units.show(girth)),
    ];
    facts.extend(of.end.weld.as_ref().map(|seam| ("weld", weld_words(seam, &plan.sheet))));
    let mut summary = vec![format!("{title}, {}", describe_joint(joint, units))];
    summary.extend(lines(&facts));
    Said {
        title,
        clashes: Vec::new(),
        questions: plan.questions.clone(),
        notes,
        facts,
        summary,
        ends: Vec::new(),
    }
}

/// `set-on, 45°, offset 6.00 mm to the right, cut where the wall first touches`.
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
    let root_gap = match joint.root_gap_mm {
        0.0 => String::new(),
        gap => format!(", root gap {}", units.show(gap)),
    };
    format!(
        "{}, {}{turned}{offset}{root_gap}, cut where the {}",
        joint.join.word(),
        show_angle(joint.angle_deg),
        touches(joint.touch)
    )
}

/// What part of the wall decides the cut, behind "cut where the".
fn touches(touch: Touch) -> &'static str {
    match touch {
        Touch::Wall => "wall first touches",
        Touch::Outside => "outer skin touches",
        Touch::Inside => "bore touches",
    }
}

/// An angle across the weld; a dash where the outer skin passes beside the body.
fn weld(angle: Option<f64>) -> String {
    angle.map_or_else(|| "-".to_owned(), show_angle)
}
