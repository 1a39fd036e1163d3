//! What is said of a mitered turn.

use super::saw::saw_both_ways;
use super::steep::steep_cut;
use super::weld::tight_weld;
use super::{Fact, Said, lines};
use crate::measure::{Units, show_angle};
use crate::plan::{EndWeld, MiterPlan, Plan};

/// Title, notes and summary.
pub(super) fn said(plan: &Plan, of: &MiterPlan) -> Said {
    let (joint, units) = (&of.joint, plan.sheet.units);
    let title = format!(
        "{} turned by {} in {} pieces",
        joint.tube.describe(units),
        show_angle(joint.turn_deg),
        joint.pieces
    );
    let facts = facts(of, units);
    let mut summary = vec![title.clone()];
    summary.extend(lines(&facts));
    Said {
        title,
        clashes: Vec::new(),
        questions: plan.questions.clone(),
        notes: plan
            .warnings
            .iter()
            .cloned()
            .chain(of.end.weld.as_ref().and_then(|weld| tight_weld(weld, &plan.sheet)))
            .chain(steep_cut("the cut is", joint.cut_off_square_deg()))
            .collect(),
        facts,
        summary,
        ends: Vec::new(),
    }
}

fn facts(of: &MiterPlan, units: Units) -> Vec<Fact> {
    let joint = &of.joint;
    let mut facts = vec![("saw", saw_both_ways(joint.cut_off_square_deg()))];
    facts.extend(joint.end_piece_mm().map(|length| {
        (
            "end pieces",
            format!("2, {} from the start of the turn to the cut", units.show(length)),
        )
    }));
    facts.extend(joint.middle_piece_mm().filter(|_| joint.pieces > 2).map(|length| {
        (
            "middle pieces",
            format!(
                "{}, {} from cut to cut along the centre line",
                joint.pieces - 2,
                units.show(length)
            ),
        )
    }));
    facts.push(("printed girth", units.show(of.end.girth_mm())));
    facts.extend(
        of.end
            .weld
            .as_ref()
            .map(|weld| ("weld", seams(weld, joint.pieces - 1, units))),
    );
    facts
}

/// How long the seams are, of which there are one fewer than pieces.
fn seams(weld: &EndWeld, count: usize, units: Units) -> String {
    let each = units.show(weld.length_mm);
    if count == 1 {
        return format!("{each} along the outer skin, one seam");
    }
    let all = units.show(count as f64 * weld.length_mm);
    format!("{each} along the outer skin of each of {count} seams, {all} in all")
}
