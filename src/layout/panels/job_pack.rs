//! All that is drawn of a whole job, a part after the other.

use std::iter::once;

use super::cover::cover;
use super::job_hole::hole_panels;
use super::mark_out::mark_out_panels;
use super::piece::piece_panels;
use super::stack;
use crate::job::SheetOptions;
use crate::layout::Panel;
use crate::plan::JobPlan;

/// The cover, the stacks, the mark-out of every body, every kind of piece, every kind of hole: each drawn in its turn.
pub(super) fn panels<'a>(
    job: &'a JobPlan,
    sheet: &'a SheetOptions,
    notes: &'a [String],
) -> impl Iterator<Item = Panel> + 'a {
    let JobPlan {
        assembly,
        kinds,
        holes,
        numbers,
        cut_list,
        ..
    } = job;
    let stacks = assembly.stacks.iter();
    once(())
        .flat_map(move |()| cover(assembly, sheet, cut_list, notes, numbers))
        .chain(stacks.flat_map(|stack| stack::panels(stack, sheet.units)))
        .chain(mark_out_panels(assembly, holes, sheet.units))
        .chain(kinds.iter().flat_map(|kind| piece_panels(kind, sheet)))
        .chain(once(()).flat_map(|()| hole_panels(assembly, holes, sheet)))
}
