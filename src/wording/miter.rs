//! What is said of a mitered turn.

use super::Said;
use crate::job::Miter;
use crate::measure::{Units, decimals, show_angle};
use crate::plan::{MiterPlan, Plan};

/// Title, notes and summary.
pub(super) fn said(plan: &Plan, of: &MiterPlan) -> Said {
    let (joint, units) = (&of.joint, plan.sheet.units);
    let title = format!(
        "{} turned by {} in {} pieces",
        joint.tube.describe(units),
        show_angle(joint.turn_deg),
        joint.pieces
    );
    Said {
        summary: summary(joint, &title, of.end.girth_mm(), units),
        notes: plan.warnings.clone(),
        title,
    }
}

/// `22.5° off square, 67.5° from the tube's side`: saws are marked either way.
pub(crate) fn setting(off_square_deg: f64) -> String {
    format!(
        "{}° off square ({}° from the tube's side)",
        decimals(off_square_deg, 2),
        decimals(90.0 - off_square_deg, 2)
    )
}

fn summary(joint: &Miter, title: &str, girth: f64, units: Units) -> Vec<String> {
    let mut lines = vec![
        title.to_owned(),
        format!("saw            {}", setting(joint.cut_off_square_deg())),
    ];
    lines.extend(joint.end_piece_mm().map(|length| {
        format!(
            "end pieces     2, {} from the start of the turn to the cut",
            units.show(length)
        )
    }));
    lines.extend(joint.middle_piece_mm().filter(|_| joint.pieces > 2).map(|length| {
        format!(
            "middle pieces  {}, {} from cut to cut along the centre line",
            joint.pieces - 2,
            units.show(length)
        )
    }));
    lines.push(format!("printed girth  {}", units.show(girth)));
    lines
}
