//! A kind of piece of a job: its wraps, and the tables to mark it by hand.

use kurbo::{Affine, BezPath};

use super::table::ordinates_panels;
use super::wrap::of_end;
use super::wrap::{CutEdge, Wrap};
use crate::job::{Assembly, LeftOut, Piece, SheetOptions};
use crate::layout::Panel;
use crate::measure::Units;
use crate::plan::{JobPlan, Kind, Like, PlannedEnd, SIDES, SolvedPiece, piece_ends, printed_girth};
use crate::wording::{
    ClashesOfTubes, front_words, girth_note, order_words, ordinates, saw_angle, short_weld, side_notes, tight_sentence,
    twist_words,
};

/// A kind of piece as it is told on its sheets.
struct Told<'a> {
    kind: &'a Kind,
    assembly: &'a Assembly,
    /// What it can't be built for.
    clash: Option<String>,
}

/// The wraps of a piece and the tables to mark it by hand.
pub(super) fn piece_panels(
    job: &JobPlan,
    kind: &Kind,
    clashes: &ClashesOfTubes<'_>,
    sheet: &SheetOptions,
) -> Vec<Panel> {
    let told = Told {
        kind,
        assembly: &job.assembly,
        clash: clashes.worst(kind.all.iter().map(|like| like.of_tube)),
    };
    let (ends, mut panels) = (piece_ends(kind, sheet), Vec::new());
    let with_patterns = (0..2).filter(|end| kind.is_marked(*end));
    if kind.is_on_one_wrap() {
        panels.push(told.whole_wrap(&ends[0], sheet));
    } else {
        panels.extend(with_patterns.clone().map(|end| told.end_wrap(&ends, end, sheet)));
    }
    for end in with_patterns.filter(|_| sheet.has(LeftOut::Tables)) {
        let PlannedEnd { name, marks, .. } = &ends[end];
        panels.extend(ordinates_panels(&ordinates(name, marks, sheet.units)));
    }
    panels
}

impl Told<'_> {
    /// Both cuts on one wrap, its base line half way.
    fn whole_wrap(&self, near: &PlannedEnd, sheet: &SheetOptions) -> Panel {
        let kind = self.kind;
        let Kind { piece, solved, .. } = kind;
        let base = piece.length_mm / 2.0;
        let ends = format!(
            "Top, the start: {}. Bottom, the end: {}.",
            self.end_words(0, sheet.units),
            self.end_words(1, sheet.units)
        );
        let title = format!("PIECE {}, make {}", self.label(), kind.quantity);
        let whole = Wrap {
            upper: CutEdge::above(&solved.near, base),
            lower: Some(far_edge(solved, piece.length_mm, base)),
            up: Some("START"),
            other_end: Some("END"),
            clash: self.clash.clone(),
            ..of_end(near, title, notes(kind, ends, &[0, 1], sheet), sheet.stations)
        };
        whole.panel()
    }

    /// The wrap of one end of a piece that is too long for one wrap.
    fn end_wrap(&self, ends: &[PlannedEnd; 2], end: usize, sheet: &SheetOptions) -> Panel {
        let kind = self.kind;
        let (length, base_t, other) = (kind.piece.length_mm, ends[end].marks.base_t, 1 - end);
        let tip = length - base_t - kind.curve(other).lowest.0;
        let (to, apart) = if kind.is_square(other) {
            ("the square end", tip)
        } else if kind.is_marked(other) {
            ("the other's", length - base_t - ends[other].marks.base_t)
        } else {
            ("the tip of the end that is cut already", tip)
        };
        let words = format!(
            "This end: {}. Base line to {to}: {}.",
            self.end_words(end, sheet.units),
            sheet.units.show(apart)
        );
        let title = format!(
            "PIECE {}, {}, make {}",
            self.label(),
            SIDES[end].to_uppercase(),
            kind.quantity
        );
        let wrap = Wrap {
            clash: self.clash.clone(),
            ..of_end(&ends[end], title, notes(kind, words, &[end], sheet), sheet.stations)
        };
        wrap.panel()
    }

    /// Its number, and the names of all its like.
    fn label(&self) -> String {
        format!(
            "{} {}",
            self.kind.number,
            Kind::names(self.assembly, self.kind.all.iter())
        )
    }

    /// What an end is, with its saw setting where it is cut flat.
    fn end_words(&self, end: usize, units: Units) -> String {
        let kind = self.kind;
        let saw = kind.piece.flat_cuts_deg[end].filter(|_| !kind.is_square(end));
        let laid = turned_on_saw(&kind.piece, end).map_or_else(String::new, |turn| {
            format!(" with a side turned {} out of the table", saw_angle(turn))
        });
        let saw = saw.map_or_else(String::new, |angle| {
            format!(", saw {} off square{laid}", saw_angle(angle))
        });
        format!("{}{saw}{}", kind.ends(units)[end], self.front(end))
    }

    /// How the piece's front lies on what an end lands on; where equal pieces' lie otherwise, each with their names.
    fn front(&self, end: usize) -> String {
        let words_of = |like: &Like| match like.fronts {
            Some(index) => self.kind.fronts[index][end].as_ref().map(front_words),
            None => Some("FRONT as its hole's pattern has it".to_owned()),
        };
        let mut told: Vec<(Option<String>, Vec<&Like>)> = Vec::new();
        for like in &self.kind.all {
            let words = words_of(like);
            match told.iter_mut().find(|(known, _)| *known == words) {
                Some((_, alike)) => alike.push(like),
                None => told.push((words, vec![like])),
            }
        }
        if let [(words, _)] = told.as_slice() {
            return words.as_ref().map_or_else(String::new, |words| format!(", {words}"));
        }
        let each = told.into_iter().filter_map(|(words, alike)| {
            let names = Kind::names(self.assembly, alike.into_iter());
            Some(format!("{names}: {}", words?))
        });
        format!(", {}", each.collect::<Vec<_>>().join("; "))
    }
}

/// How far from lying on one of its sides a tube with sides must be turned for a flat cut, in degrees: the cut leans
/// towards its long side, and the saw's table is square to that or lies along it.
fn turned_on_saw(piece: &Piece, end: usize) -> Option<f64> {
    let frame = piece.near.frame;
    let long_side = piece.fronts[end].filter(|_| piece.near.tube.has_sides())?;
    let turn = long_side
        .dot(frame.right)
        .atan2(long_side.dot(frame.front))
        .to_degrees();
    let off = (turn - (turn / 90.0).round() * 90.0).abs();
    (off > 0.05).then_some(off)
}

/// What every wrap of a piece says, with `ends` second; `sides` are on it.
fn notes(kind: &Kind, ends: String, sides: &[usize], sheet: &SheetOptions) -> Vec<String> {
    let (tube, units) = (&kind.piece.near.tube, sheet.units);
    let length = units.show(kind.solved.tip_to_tip_mm);
    let mut notes = vec![format!(
        "{}. Cut length, tip to tip: {length}. {}",
        tube.describe(units),
        girth_note(printed_girth(tube, sheet.paper_thickness_mm), units)
    )];
    let twist = kind.solved.twist_deg.filter(|twist| twist.abs() > 0.05);
    notes.push(match twist {
        Some(twist) => format!("{ends} {}", twist_words(twist)),
        None => ends,
    });
    notes[1] += &weld_words(kind, sides, sheet);
    for order in sides.iter().filter_map(|side| order_words(kind, *side)) {
        notes[1] += &format!(" {order}");
    }
    notes.extend(side_notes(tube, units));
    notes
}

/// What the wrap says of the welds at these ends: how long each is, and where skins are too close.
fn weld_words(kind: &Kind, sides: &[usize], sheet: &SheetOptions) -> String {
    let welds = sides
        .iter()
        .filter_map(|side| Some((SIDES[*side], kind.welds[*side].as_ref()?)));
    let words = welds.map(|(side, weld)| {
        let which = if sides.len() > 1 {
            format!(" The {side}:")
        } else {
            String::new()
        };
        let tight = tight_sentence(weld, sheet).map_or_else(String::new, |words| format!(" {words}"));
        format!("{which} {}{tight}", short_weld(weld, sheet))
    });
    words.collect()
}

/// The far cut on the wrap of the whole piece, `base` mm from the near work point being its base line.
fn far_edge(solved: &SolvedPiece, length_mm: f64, base: f64) -> CutEdge {
    let flip = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, base]);
    let path: BezPath = flip * solved.far_on_near_wrap(length_mm);
    CutEdge {
        low: base - (length_mm - solved.far.lowest.0),
        high: base - (length_mm - solved.far.highest.0),
        path,
    }
}
