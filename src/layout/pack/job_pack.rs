//! A solved job, of which any part can be drawn.

use std::iter::once;

use super::cover::cover;
use super::job_hole::hole_panels;
use super::mark_out::mark_out_panels;
use super::piece::{Kind, piece_ends, piece_panels};
use super::{HolePlace, PackedEnd, PackedHole, stack};
use crate::job::{Assembly, SheetOptions};
use crate::layout::Panel;
use crate::plan::CutList;
use crate::plan::PlacedHole;

/// What the solver made of an assembly.
pub(super) struct Solved {
    pub(super) kinds: Vec<Kind>,
    pub(super) holes: Vec<PlacedHole>,
    /// The number of every piece in the cut list, in the order of the pieces.
    pub(super) numbers: Vec<usize>,
}

/// All that is needed to draw a job.
pub(super) struct JobPack {
    pub(super) assembly: Assembly,
    pub(super) solved: Solved,
    pub(super) sheet: SheetOptions,
}

impl JobPack {
    /// The cover, the stacks, the mark-out of every body, every kind of piece, every kind of hole: each drawn in its turn.
    pub(super) fn panels<'a>(
        &'a self,
        cut_list: &'a CutList,
        warnings: &'a [String],
    ) -> impl Iterator<Item = Panel> + 'a {
        let Self {
            assembly,
            solved: Solved { kinds, holes, numbers },
            sheet,
        } = self;
        let stacks = assembly.stacks.iter();
        once(())
            .flat_map(move |()| cover(assembly, sheet, cut_list, warnings, numbers))
            .chain(stacks.flat_map(|stack| stack::panels(stack, sheet.units)))
            .chain(mark_out_panels(assembly, holes, sheet.units))
            .chain(kinds.iter().flat_map(|kind| piece_panels(kind, sheet)))
            .chain(once(()).flat_map(|()| hole_panels(assembly, holes, sheet)))
    }

    /// Each kind of piece: what it is called on its sheets, and its panels.
    pub(super) fn kinds(&self) -> impl Iterator<Item = (String, Vec<Panel>)> {
        let kinds = self.solved.kinds.iter();
        kinds.map(|kind| (kind.label(), piece_panels(kind, &self.sheet)))
    }

    /// Both ends of every kind of piece.
    pub(super) fn ends(&self) -> impl Iterator<Item = PackedEnd> {
        let kinds = self.solved.kinds.iter();
        kinds.flat_map(|kind| piece_ends(kind, &self.sheet))
    }

    pub(super) fn holes(&self) -> impl Iterator<Item = PackedHole> {
        let holes = self.solved.holes.iter();
        holes.map(|hole| packed_hole(&self.assembly, hole))
    }
}

fn packed_hole(assembly: &Assembly, hole: &PlacedHole) -> PackedHole {
    PackedHole {
        body: assembly.bodies[hole.hole.body].name.clone(),
        join: hole.hole.join,
        clearance_mm: hole.hole.clearance_mm,
        outline: hole.outline.points.clone(),
        place: Some(HolePlace {
            tube: hole.hole.tube.clone(),
            along_mm: hole.hole.along_mm,
            round_mm: hole.round_mm,
            round_deg: hole.round_deg(),
            ligament: hole.next.clone(),
            if_round: hole.if_round,
        }),
    }
}
