//! What is drawn of a mitered turn: a wrap for the end pieces, one for the middle pieces, saw settings and picture.

use super::table::{facts_panel_in_shapes, ordinates_panels};
use super::wrap::{CutEdge, Wrap, of_end};
use crate::job::{LeftOut, Miter, SheetOptions};
use crate::layout::Panel;
use crate::measure::{Units, show_angle};
use crate::plan::{Marks, MiterPlan};
use crate::wording::{
    Said, both_saw_angles, girth_note, of_miter, saw_both_ways, side_notes, tight_sentence, weld_sentence,
};

/// What the crown lines are on a turn, by azimuth: of a tube that is turned about its own axis they are others.
fn sides(joint: &Miter) -> Vec<(&'static str, f64)> {
    let at = |azimuth: f64| (azimuth - joint.turned_deg).rem_euclid(360.0);
    vec![("long side", at(0.0)), ("short side", at(180.0))]
}

/// Wraps, saw settings and ordinates.
pub(super) fn panels(plan: &MiterPlan, sheet: &SheetOptions, said: &Said) -> Vec<Panel> {
    let (joint, end, units, title) = (&plan.joint, &plan.end, sheet.units, &said.title);
    let (marks, curve, girth) = (&end.marks, &end.curve, end.girth_mm());
    let wrap = |heading: &str, notes: Vec<String>| Wrap {
        also: sides(joint),
        ..of_end(end, format!("{heading}: {title}"), notes, sheet.stations)
    };
    let mut notes = end_notes(joint, marks, girth, units);
    if let Some(weld) = &end.weld {
        notes[1] += &format!(" {}", weld_sentence(weld, sheet));
        notes.extend(tight_sentence(weld, sheet));
    }
    let mut panels = vec![wrap("END PIECES, make 2", notes).panel_in_shapes()];
    if let Some(length) = joint.middle_piece_mm().filter(|_| joint.pieces > 2) {
        let upper = CutEdge::above(curve, length / 2.0);
        let notes = middle_notes(joint, &upper, length, girth, units);
        let middle = Wrap {
            name: "middle pieces".to_owned(),
            lower: Some(upper.mirrored_below()),
            upper,
            up: None,
            ..wrap(&format!("MIDDLE PIECES, make {}", joint.pieces - 2), notes)
        };
        panels.push(middle.panel_in_shapes());
    }
    panels.push(saw_table(joint, units));
    if !sheet.has(LeftOut::Tables) {
        return panels;
    }
    let of_ends = of_miter(plan, sheet.stations, units);
    panels.extend(of_ends.iter().flat_map(ordinates_panels));
    panels
}

fn end_notes(joint: &Miter, marks: &Marks, girth: f64, units: Units) -> Vec<String> {
    let mut notes = vec![format!(
        "Saw: {}. A flat cut, straight through the wall. The long side goes to the outside of the turn. {}",
        saw_both_ways(joint.cut_off_square_deg()),
        girth_note(girth, units)
    )];
    notes.push(format!(
        "Base line to where the centre lines meet: {}. Up to the cut: longest {}, shortest {}.",
        units.show(marks.base_t),
        units.show(marks.longest_mm),
        units.show(marks.shortest_mm)
    ));
    notes.extend(joint.end_piece_mm().map(|length| {
        format!(
            "From the start of the turn to the cut, along the centre line: {}.",
            units.show(length)
        )
    }));
    if joint.turned_deg != 0.0 {
        notes.push(format!(
            "FRONT is turned {} to the right from the long side.",
            show_angle(joint.turned_deg)
        ));
    }
    notes.extend(side_notes(&joint.tube, units));
    notes
}

/// What a middle piece's wrap says: its base line is half way between its cuts.
fn middle_notes(joint: &Miter, upper: &CutEdge, length: f64, girth: f64, units: Units) -> Vec<String> {
    let (long, short) = (2.0 * upper.high, 2.0 * upper.low);
    vec![
        format!("Both cuts {}.", saw_both_ways(joint.cut_off_square_deg())),
        format!(
            "Length along the centre line {}, on the long side {}, on the short side {}.",
            units.show(length),
            units.show(long),
            units.show(short)
        ),
        format!(
            "The base line is half way. Cut both ends with the long side on the same side. {}",
            girth_note(girth, units)
        ),
    ]
    .into_iter()
    .chain(side_notes(&joint.tube, units))
    .collect()
}

fn saw_table(joint: &Miter, units: Units) -> Panel {
    let cut = joint.cut_off_square_deg();
    let [off_square, from_side] = both_saw_angles(cut);
    let mut rows = vec![
        ["cuts".to_owned(), (joint.pieces - 1).to_string()],
        ["off square (chop saw)".to_owned(), off_square],
        ["from the tube's side".to_owned(), from_side],
        [
            "cut-back each side".to_owned(),
            units.show(joint.half_depth() * cut.to_radians().tan()),
        ],
    ];
    rows.extend(
        joint
            .radius_mm
            .map(|radius| ["centre-line radius".to_owned(), units.show(radius)]),
    );
    rows.extend(
        joint
            .end_piece_mm()
            .map(|length| ["end piece, tangent to cut".to_owned(), units.show(length)]),
    );
    rows.extend(
        joint
            .middle_piece_mm()
            .filter(|_| joint.pieces > 2)
            .map(|length| ["middle piece, cut to cut".to_owned(), units.show(length)]),
    );
    let under = if joint.pieces > 2 {
        "Turn the tube half round between the two cuts of a middle piece, so that both long sides come on one side."
    } else {
        "One cut through a stick gives both pieces: turn one half round its axis and put the cuts together."
    };
    facts_panel_in_shapes("Saw settings", &rows, under)
}
