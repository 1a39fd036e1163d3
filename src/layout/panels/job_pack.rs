//! All that is drawn of a whole job, a part after the other.

use std::collections::BTreeMap;
use std::iter::once;
use std::rc::Rc;

use super::compass;
use super::gores;
use super::head_view;
use super::mark_out::body_mark_out;
use super::piece::piece_panels;
use super::stack;
use crate::job::{LeftOut, SheetOptions};
use crate::layout::Panel;
use crate::plan::{CompassHole, HoleKind, JobPlan, kinds_of};
use crate::wording::ClashesOfTubes;

/// The stacks, the mark-out of every body, every kind of piece with the holes that it goes into: a group each, drawn in its
/// turn. A hole that serves several kinds comes with the first of them.
pub(super) fn panels<'a>(job: &'a JobPlan, sheet: &'a SheetOptions) -> impl Iterator<Item = Panel> + 'a {
    let JobPlan { assembly, kinds, .. } = job;
    let clashes = Rc::new(ClashesOfTubes::new(job, sheet.units));
    // With the cover.
    let stacks = once(()).map(move |()| stack_panels(job, sheet));
    let of_bodies = Rc::clone(&clashes);
    let bodies = 0..assembly.bodies.len();
    let bodies = bodies.map(move |index| body_mark_out(job, index, &of_bodies, sheet.units));
    let heads = assembly
        .bodies
        .iter()
        .map(|body| head_view::panels(job, body, sheet.units));
    let by_compass = job.compass_holes.iter();
    let by_compass = by_compass.filter(|hole| sheet.has(LeftOut::Holes) && !hole.is_made);
    let by_compass = by_compass.map(move |hole| compass_panels(hole, sheet));
    let pieces = once(()).flat_map(move |()| {
        let mut holes = hole_kinds(job, sheet);
        let clashes = Rc::clone(&clashes);
        kinds.iter().map(move |kind| {
            let mut panels = piece_panels(job, kind, &clashes, sheet);
            let of_piece = holes.remove(&Some(kind.number)).unwrap_or_default();
            panels.extend(of_piece.iter().map(|hole| hole.panel(assembly, &clashes, sheet)));
            panels
        })
    });
    let groups = stacks
        .chain(bodies)
        .chain(heads)
        .chain(by_compass)
        .chain(pieces)
        .enumerate();
    groups.flat_map(|(group, panels)| panels.into_iter().map(move |panel| panel.in_group(group)))
}

/// What a hole is marked by that can't be laid flat.
fn compass_panels(hole: &CompassHole, sheet: &SheetOptions) -> Vec<Panel> {
    let mut panels = compass::panels(hole, sheet.units);
    if sheet.has(LeftOut::Gores) {
        panels.extend(gores::panels(hole, sheet.paper_thickness_mm, sheet.units));
    }
    panels
}

fn stack_panels(job: &JobPlan, sheet: &SheetOptions) -> Vec<Panel> {
    let stacks = job.assembly.stacks.iter();
    stacks.flat_map(|stack| stack::panels(stack, sheet.units)).collect()
}

/// The kinds of holes that there are patterns of, by the number of the piece that the first of them is for.
fn hole_kinds<'a>(job: &'a JobPlan, sheet: &SheetOptions) -> BTreeMap<Option<usize>, Vec<HoleKind<'a>>> {
    let mut by_piece: BTreeMap<Option<usize>, Vec<HoleKind<'a>>> = BTreeMap::new();
    if sheet.has(LeftOut::Holes) {
        for kind in kinds_of(&job.holes) {
            by_piece.entry(kind.first.piece).or_default().push(kind);
        }
    }
    by_piece
}

/// The mark-out of one body, and the patterns of the holes in it.
pub(super) fn of_body(job: &JobPlan, name: &str, sheet: &SheetOptions) -> Vec<Panel> {
    let assembly = &job.assembly;
    let Some(index) = assembly.bodies.iter().position(|body| body.name == name) else {
        return Vec::new();
    };
    let clashes = ClashesOfTubes::new(job, sheet.units);
    let mut panels = body_mark_out(job, index, &clashes, sheet.units);
    panels.extend(head_view::panels(job, &assembly.bodies[index], sheet.units));
    if sheet.has(LeftOut::Holes) {
        let kinds = kinds_of(&job.holes);
        let here = kinds.iter().filter(|kind| kind.first.hole.body == index);
        panels.extend(here.map(|kind| kind.panel(assembly, &clashes, sheet)));
        let by_compass = job
            .compass_holes
            .iter()
            .filter(|hole| hole.body[0] == name && !hole.is_made);
        panels.extend(by_compass.flat_map(|hole| compass_panels(hole, sheet)));
    }
    panels
}
