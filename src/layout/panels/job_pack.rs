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
use crate::plan::{CompassHole, HoleKind, JobPlan, kinds_of, shared_gores};
use crate::wording::{ClashesOfTubes, by_hand, gores_title};

/// The stacks, the mark-out of every body, every kind of piece with the holes that it goes into: a group each, drawn in its
/// turn. A hole that serves several kinds comes with the first of them.
pub(super) fn panels<'a>(job: &'a JobPlan, sheet: &'a SheetOptions) -> impl Iterator<Item = Panel> + 'a {
    let JobPlan { assembly, kinds, .. } = job;
    let clashes = Rc::new(ClashesOfTubes::new(job, sheet.units));
    // With the cover.
    let stacks = once(()).map(move |()| stack_panels(job, sheet));
    let of_bodies = Rc::clone(&clashes);
    let (of_heads, of_compass) = (Rc::clone(&clashes), Rc::clone(&clashes));
    let bodies = 0..assembly.bodies.len();
    let bodies = bodies.map(move |index| body_mark_out(job, index, &of_bodies, sheet.units));
    let heads = assembly
        .bodies
        .iter()
        .map(move |body| head_view::panels(job, body, &of_heads, sheet.units));
    let by_compass = once(()).flat_map(move |()| compass_panels(job, |_| true, &of_compass, sheet));
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

/// What holes are marked by that can't be laid flat, of the bodies that are asked for: strips that serve several come with the
/// first of them.
fn compass_panels<'a>(
    job: &'a JobPlan,
    is_asked_for: impl Fn(&str) -> bool,
    clashes: &Rc<ClashesOfTubes<'a>>,
    sheet: &'a SheetOptions,
) -> Box<dyn Iterator<Item = Vec<Panel>> + 'a> {
    let mut holes = by_compass(job, sheet);
    holes.retain(|hole| is_asked_for(&hole.body[0]));
    let shared = shared_gores(&holes);
    let clashes = Rc::clone(clashes);
    Box::new((0..holes.len()).map(move |index| {
        let hole = holes[index];
        let clash = clashes.of_named(once(hole.tube.as_str()), &hole.body[0]);
        let mut panels = compass::panels(hole, clash, sheet.units);
        if sheet.has(LeftOut::Gores) && shared[index].0 == index {
            let all = holes.iter().zip(&shared).filter(|(_, (first, _))| *first == index);
            let all: Vec<&CompassHole> = all.map(|(hole, _)| *hole).collect();
            panels.extend(gores::panels(hole, &all, sheet.paper_thickness_mm, sheet.units));
        }
        panels
    }))
}

/// The holes that are marked by compass.
fn by_compass<'a>(job: &'a JobPlan, sheet: &SheetOptions) -> Vec<&'a CompassHole> {
    let holes = job.compass_holes.iter();
    holes
        .filter(|hole| sheet.has(LeftOut::Holes) && !hole.is_made)
        .collect()
}

fn stack_panels(job: &JobPlan, sheet: &SheetOptions) -> Vec<Panel> {
    let stacks = job.assembly.stacks.iter();
    stacks.flat_map(|stack| stack::panels(stack, sheet.units)).collect()
}

/// The kinds of holes that there are patterns of, by the number of the piece that the first of them is for.
fn hole_kinds<'a>(job: &'a JobPlan, sheet: &SheetOptions) -> BTreeMap<Option<usize>, Vec<HoleKind<'a>>> {
    let mut by_piece: BTreeMap<Option<usize>, Vec<HoleKind<'a>>> = BTreeMap::new();
    if HoleKind::has_panel(sheet) {
        for kind in kinds_of(&job.holes) {
            by_piece.entry(kind.first.piece).or_default().push(kind);
        }
    }
    by_piece
}

/// For each kind of piece, as the cut list has them, the names of all panels that are needed to make it: its wraps and tables, and
/// those of the holes that it goes into.
pub(super) fn needed_for_pieces(job: &JobPlan, sheet: &SheetOptions) -> Vec<Vec<String>> {
    let mut of_holes: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    if HoleKind::has_panel(sheet) {
        for kind in kinds_of(&job.holes) {
            let name = kind.panel_name(&job.assembly, sheet);
            let mut pieces: Vec<usize> = kind.all.iter().filter_map(|hole| hole.piece).collect();
            pieces.dedup();
            pieces
                .into_iter()
                .for_each(|piece| of_holes.entry(piece).or_default().push(name.clone()));
        }
    }
    let mut by_compass: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let marked = self::by_compass(job, sheet);
    for (hole, (first, serves)) in marked.iter().zip(shared_gores(&marked)) {
        let names = by_compass.entry(&hole.tube).or_default();
        names.extend(compass::names(hole, sheet.units));
        if sheet.has(LeftOut::Gores) {
            names.push(gores_title(marked[first], serves));
        }
    }
    let needed = job.kinds.iter().zip(&job.cut_list.rows).map(|(kind, row)| {
        let mut names = row.patterns.clone();
        let marked = (0..2).filter(|end| sheet.has(LeftOut::Tables) && kind.is_marked(*end));
        names.extend(marked.map(|end| by_hand(&kind.end_name(end))));
        names.extend(of_holes.remove(&kind.number).unwrap_or_default());
        let tubes = kind
            .all
            .iter()
            .map(|like| job.assembly.tubes[like.of_tube].name.as_str());
        names.extend(tubes.filter_map(|tube| by_compass.get(tube)).flatten().cloned());
        names
    });
    needed.collect()
}

/// The mark-out of one body, and the patterns of the holes in it.
pub(super) fn of_body(job: &JobPlan, name: &str, sheet: &SheetOptions) -> Vec<Panel> {
    let assembly = &job.assembly;
    let Some(index) = assembly.bodies.iter().position(|body| body.name == name) else {
        return Vec::new();
    };
    let clashes = Rc::new(ClashesOfTubes::new(job, sheet.units));
    let mut panels = body_mark_out(job, index, &clashes, sheet.units);
    panels.extend(head_view::panels(job, &assembly.bodies[index], &clashes, sheet.units));
    if HoleKind::has_panel(sheet) {
        let kinds = kinds_of(&job.holes);
        let here = kinds.iter().filter(|kind| kind.first.hole.body == index);
        panels.extend(here.map(|kind| kind.panel(assembly, &clashes, sheet)));
    }
    panels.extend(compass_panels(job, |body| body == name, &clashes, sheet).flatten());
    panels
}
