//! A kind of piece of a job: its wraps, and the tables to mark it by hand.

use kurbo::{Affine, BezPath};

use super::table::ordinates_panels;
use super::wrap::of_end;
use super::wrap::{CutEdge, Wrap};
use crate::job::{Assembly, LeftOut, SheetOptions};
use crate::layout::Panel;
use crate::plan::{JobPlan, Kind, PlannedEnd, SIDES, SolvedPiece, piece_ends, printed_girth};
use crate::wording::{
    ClashesOfTubes, base_words, clocking_words, end_words, girth_note, order_words, ordinates_beside_wrap, short_weld,
    side_notes, tight_sentence,
};

/// A kind of piece as it is told on its sheets.
struct Told<'a> {
    kind: &'a Kind,
    assembly: &'a Assembly,
    clashes: &'a ClashesOfTubes<'a>,
}

/// The wraps of a piece and the tables to mark it by hand, each end's table after its own wrap.
pub(super) fn piece_panels(
    job: &JobPlan,
    kind: &Kind,
    clashes: &ClashesOfTubes<'_>,
    sheet: &SheetOptions,
) -> Vec<Panel> {
    let told = Told {
        kind,
        assembly: &job.assembly,
        clashes,
    };
    let (ends, mut panels) = (piece_ends(kind, sheet), Vec::new());
    if kind.is_on_one_wrap() {
        panels.push(told.whole_wrap(&ends, sheet).of_end(&ends[0].pattern, 0));
    }
    for end in (0..2).filter(|end| kind.is_marked(*end)) {
        let PlannedEnd { name, pattern, .. } = &ends[end];
        if !kind.is_on_one_wrap() {
            panels.push(told.end_wrap(&ends, end, sheet).of_end(pattern, end));
        }
        if sheet.has(LeftOut::Tables) {
            let tables = ordinates_panels(&ordinates_beside_wrap(name, &ends[end], sheet.units));
            panels.extend(tables.into_iter().map(|table| table.of_end(pattern, end)));
        }
    }
    panels
}

impl Told<'_> {
    /// Both cuts on one wrap, its base line half way.
    fn whole_wrap(&self, both: &[PlannedEnd; 2], sheet: &SheetOptions) -> Panel {
        let kind = self.kind;
        let Kind { piece, solved, .. } = kind;
        let base = piece.length_mm / 2.0;
        let mut ends = format!(
            "Top, the start: {}. Bottom, the end: {}.",
            end_words(self.assembly, kind, 0, sheet.units),
            end_words(self.assembly, kind, 1, sheet.units)
        );
        // Who marks it by hand has nothing else to find the line by where the other end is square.
        if let Some(end) = (0..2).find(|end| !kind.is_marked(1 - end)) {
            ends += &format!(" Base line to {}.", base_words(kind, both, end, sheet.units));
        }
        let title = format!("PIECE {}, make {}", self.label(), kind.quantity);
        let whole = Wrap {
            upper: CutEdge::above(&solved.near, base),
            lower: Some(far_edge(solved, piece.length_mm, base)),
            up: Some("START"),
            other_end: Some("END"),
            clash: self.clash(&[0, 1]),
            ..of_end(&both[0], title, notes(kind, ends, &[0, 1], sheet), sheet.stations)
        };
        whole.panel()
    }

    /// The wrap of one end of a piece that is too long for one wrap.
    fn end_wrap(&self, ends: &[PlannedEnd; 2], end: usize, sheet: &SheetOptions) -> Panel {
        let kind = self.kind;
        let words = format!(
            "This end: {}. Base line to {}.",
            end_words(self.assembly, kind, end, sheet.units),
            base_words(kind, ends, end, sheet.units)
        );
        let title = format!(
            "PIECE {}, {}, make {}",
            self.label(),
            SIDES[end].to_uppercase(),
            kind.quantity
        );
        let wrap = Wrap {
            clash: self.clash(&[end]),
            ..of_end(&ends[end], title, notes(kind, words, &[end], sheet), sheet.stations)
        };
        wrap.panel()
    }

    /// What it can't be built for, that of these ends first.
    fn clash(&self, ends: &[usize]) -> Option<String> {
        let tubes = self.kind.all.iter().map(|like| like.of_tube);
        self.clashes.worst(tubes, |body| {
            let name = &self.assembly.bodies[body].name;
            ends.iter().any(|end| self.kind.bodies[*end].contains(name))
        })
    }

    /// Its number, and the names of all its like.
    fn label(&self) -> String {
        format!(
            "{} {}",
            self.kind.number,
            Kind::names(self.assembly, self.kind.all.iter())
        )
    }
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
    notes.push(match clocking_words(kind, units) {
        Some(clocking) => format!("{ends} {clocking}"),
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
        let which = (sides.len() > 1).then_some(side);
        let tight = tight_sentence(weld, sheet).map_or_else(String::new, |words| format!(" {words}"));
        format!(" {}{tight}", short_weld(which, weld, sheet))
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
