//! What is drawn of a mitered turn: a wrap for the end pieces, one for the middle pieces, saw settings and picture.

use glam::{DVec2, DVec3};

use super::table::{facts_panel, ordinates_panels};
use super::wrap::{CutEdge, Wrap, of_end};
use crate::job::{Frame, Miter, SheetOptions};
use crate::layout::label::heading_panel;
use crate::layout::picture::{Picture, Solid, TubePiece, square_edge};
use crate::layout::{Drawing, Panel};
use crate::measure::{Units, show_angle};
use crate::plan::{Marks, MiterPlan};
use crate::wording::{Said, girth_note, setting, side_notes};

/// What the crown lines are on a turn, by azimuth: of a tube that is turned about its own axis they are others.
fn sides(joint: &Miter) -> Vec<(&'static str, f64)> {
    let at = |azimuth: f64| (azimuth - joint.turned_deg).rem_euclid(360.0);
    vec![("long side", at(0.0)), ("short side", at(180.0))]
}

/// Heading, wraps, saw settings and ordinates.
pub(super) fn panels(plan: &MiterPlan, sheet: &SheetOptions, said: &Said) -> Vec<Panel> {
    let (joint, end, units, title) = (&plan.joint, &plan.end, sheet.units, &said.title);
    let (marks, curve, girth) = (&end.marks, &end.curve, end.girth_mm());
    let wrap = |heading: &str, notes: Vec<String>| Wrap {
        also: sides(joint),
        ..of_end(end, format!("{heading}: {title}"), notes, sheet.stations)
    };
    let mut panels = vec![heading_panel(title, &said.notes, &picture(joint), sheet)];
    panels.push(wrap("END PIECES, make 2", end_notes(joint, marks, girth, units)).panel());
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
        panels.push(middle.panel());
    }
    panels.push(saw_table(joint, units));
    panels.extend(ordinates_panels("End pieces", marks, units));
    if let Some(length) = joint.middle_piece_mm().filter(|_| joint.pieces > 2) {
        let marks = Marks::from_base(length / 2.0, &end.end, curve, 1.0, sheet.stations);
        panels.extend(ordinates_panels("Middle pieces, both ends", &marks, units));
    }
    panels
}

fn end_notes(joint: &Miter, marks: &Marks, girth: f64, units: Units) -> Vec<String> {
    let mut notes = vec![format!(
        "Saw: {}. A flat cut, straight through the wall.",
        setting(joint.cut_off_square_deg())
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
    notes.push("The long side goes to the outside of the turn.".to_owned());
    if joint.turned_deg != 0.0 {
        notes.push(format!(
            "FRONT is turned {} to the right from the long side.",
            show_angle(joint.turned_deg)
        ));
    }
    notes.push(girth_note(&joint.tube, girth, units));
    notes.extend(side_notes(&joint.tube, units));
    notes
}

/// What a middle piece's wrap says: its base line is half way between its cuts.
fn middle_notes(joint: &Miter, upper: &CutEdge, length: f64, girth: f64, units: Units) -> Vec<String> {
    let (long, short) = (2.0 * upper.high, 2.0 * upper.low);
    vec![
        format!("Both cuts {}.", setting(joint.cut_off_square_deg())),
        format!(
            "Length along the centre line {}, on the long side {}, on the short side {}.",
            units.show(length),
            units.show(long),
            units.show(short)
        ),
        "The base line is half way. Cut both ends with the long side on the same side.".to_owned(),
        girth_note(&joint.tube, girth, units),
    ]
    .into_iter()
    .chain(side_notes(&joint.tube, units))
    .collect()
}

fn saw_table(joint: &Miter, units: Units) -> Panel {
    let cut = joint.cut_off_square_deg();
    let mut rows = vec![
        ["cuts".to_owned(), (joint.pieces - 1).to_string()],
        ["off square, as on most chop saws".to_owned(), format!("{cut:.2}°")],
        ["from the tube's side".to_owned(), format!("{:.2}°", 90.0 - cut)],
        [
            "cut-back, each side of the middle".to_owned(),
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
    facts_panel("Saw settings", &rows, under)
}

/// The turn, lying in the plane of x and z, seen from its side.
fn picture(joint: &Miter) -> Drawing {
    let radius = joint.tube.radius();
    let cut = joint.cut_off_square_deg().to_radians();
    let tan = cut.tan();
    let leg = 3.0 * radius + joint.end_piece_mm().unwrap_or(radius * tan);
    let middle = joint.middle_piece_mm().unwrap_or(0.0);
    let turned = joint.turned_deg.to_radians();
    // Towards the long side, seen from the tube's own front.
    let long_side = DVec2::from_angle(-turned);
    let cut_edge = |at: f64, sign: f64| {
        let skin = |degree: u32| {
            let line = joint.tube.wall_line(f64::from(degree).to_radians());
            line.origin + line.outer * DVec2::from_angle(line.facing)
        };
        (0..360)
            .map(|degree| at + sign * tan * skin(degree).dot(long_side))
            .collect::<Vec<f64>>()
    };
    let (mut at, mut solids, mut nodes): (_, Vec<Box<dyn Solid>>, _) = (DVec3::ZERO, Vec::new(), vec![DVec3::ZERO]);
    for piece in 0..joint.pieces {
        let (is_first, is_last) = (piece == 0, piece + 1 == joint.pieces);
        let length = if is_first || is_last { leg } else { middle };
        let heading = 2.0 * cut * piece as f64;
        let axis = DVec3::new(heading.cos(), 0.0, heading.sin());
        solids.push(Box::new(TubePiece {
            frame: Frame::new(at, axis, DVec3::new(heading.sin(), 0.0, -heading.cos())).turned(turned),
            section: joint.tube.section,
            bore: Some(joint.tube.bore()).filter(|_| is_last && joint.tube.wall_mm > 0.0),
            near: if is_first {
                square_edge(0.0)
            } else {
                cut_edge(0.0, -1.0)
            },
            far: if is_last {
                square_edge(length)
            } else {
                cut_edge(length, 1.0)
            },
            front_label: None,
        }));
        at += length * axis;
        nodes.push(at);
    }
    let low = nodes.iter().fold(DVec3::INFINITY, |low, node| low.min(*node));
    let high = nodes.iter().fold(DVec3::NEG_INFINITY, |high, node| high.max(*node));
    let picture = Picture {
        solids,
        eye: DVec3::new(0.25, -0.85, 0.4),
        middle: 0.5 * (low + high),
        shown: (high - low).x.max((high - low).z * 58.0 / 46.0) + 4.0 * radius,
        numbers: Vec::new(),
        caption: format!("turn {}, long sides outside", show_angle(joint.turn_deg)),
    };
    picture.draw(58.0, 46.0)
}
