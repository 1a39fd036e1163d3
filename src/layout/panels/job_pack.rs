//! All that is drawn of a whole job, a part after the other.

use std::collections::BTreeMap;
use std::iter::once;

use rayon::prelude::*;

use super::compass;
use super::gores;
use super::head_view;
use super::mark_out::body_mark_out;
use super::piece::piece_panels;
use super::stack;
use crate::job::{LeftOut, SheetOptions};
use crate::layout::Panel;
use crate::plan::{CompassHole, HoleKind, JobPlan, PlacedHole, kinds_of, shared_gores};
use crate::wording::{ClashesOfTubes, by_hand, gores_title};

/// So many groups are drawn at once, on every core.
const AT_ONCE: usize = 24;
/// Of more kinds of pieces one group is drawn after another: the streams of their sheets keep every core busy, and what is drawn on
/// many threads leaves gaps in the memory of each.
pub(super) const MOST_AT_ONCE: usize = 2000;

/// The stacks, the mark-out of every body, every kind of piece with the holes that it goes into: a group each. A few are drawn
/// at once when they are asked for.
pub(super) fn panels<'a>(job: &'a JobPlan, sheet: &'a SheetOptions) -> impl Iterator<Item = Panel> + 'a {
    let pack = Pack::new(job, sheet);
    let groups: Vec<(usize, Group)> = pack.groups().into_iter().enumerate().collect();
    let at_once = if job.kinds.len() > MOST_AT_ONCE { 1 } else { AT_ONCE };
    let lots = (0..groups.len()).step_by(at_once).map(move |from| {
        let drawn = |(number, group): &(usize, Group)| -> Vec<Panel> {
            let panels = pack.panels(*group).into_iter();
            panels.map(|panel| panel.in_group(*number)).collect()
        };
        match &groups[from..groups.len().min(from + at_once)] {
            [only] => vec![drawn(only)],
            lot => lot.par_iter().map(drawn).collect(),
        }
    });
    lots.flatten().flatten()
}

/// Panels that stand on sheets which follow each other; numbers are places in lists.
#[derive(Debug, Clone, Copy)]
enum Group {
    /// With the cover.
    Stacks,
    MarkOut(usize),
    Heads(usize),
    ByCompass(usize),
    Kind(usize),
}

/// What all groups are drawn of.
struct Pack<'a> {
    job: &'a JobPlan,
    sheet: &'a SheetOptions,
    clashes: ClashesOfTubes<'a>,
    compass: ByCompass<'a>,
    /// In each body.
    marked: Vec<Vec<&'a PlacedHole>>,
    /// By the number of the piece that they are for.
    patterns: BTreeMap<Option<usize>, Vec<HoleKind<'a>>>,
}

impl<'a> Pack<'a> {
    fn new(job: &'a JobPlan, sheet: &'a SheetOptions) -> Self {
        Self {
            job,
            sheet,
            clashes: ClashesOfTubes::new(job, sheet.units),
            compass: ByCompass::new(by_compass(job, sheet)),
            marked: in_each_body(job),
            patterns: hole_kinds(job, sheet),
        }
    }

    /// In their order.
    fn groups(&self) -> Vec<Group> {
        let bodies = 0..self.job.assembly.bodies.len();
        once(Group::Stacks)
            .chain(bodies.clone().map(Group::MarkOut))
            .chain(bodies.map(Group::Heads))
            .chain((0..self.compass.holes.len()).map(Group::ByCompass))
            .chain((0..self.job.kinds.len()).map(Group::Kind))
            .collect()
    }

    fn panels(&self, group: Group) -> Vec<Panel> {
        let Self {
            job, sheet, clashes, ..
        } = self;
        match group {
            Group::Stacks => stack_panels(job, sheet),
            Group::MarkOut(index) => body_mark_out(job, index, &self.marked[index], clashes, sheet.units),
            Group::Heads(index) => head_view::panels(job, &job.assembly.bodies[index], clashes, sheet.units),
            Group::ByCompass(index) => self.compass.panels(index, clashes, sheet),
            Group::Kind(index) => {
                let kind = &job.kinds[index];
                let holes = self.patterns.get(&Some(kind.number)).into_iter().flatten();
                let mut panels = piece_panels(job, kind, clashes, sheet);
                // A hole that serves several kinds comes with the first of them.
                panels.extend(holes.map(|hole| hole.panel(&job.assembly, clashes, sheet)));
                panels
            }
        }
    }
}

/// Holes that can't be laid flat.
struct ByCompass<'a> {
    holes: Vec<&'a CompassHole>,
    /// For each the first hole that its strips serve, and how many they serve.
    shared: Vec<(usize, usize)>,
}

impl<'a> ByCompass<'a> {
    fn new(holes: Vec<&'a CompassHole>) -> Self {
        let shared = shared_gores(&holes);
        Self { holes, shared }
    }

    /// What one of them is marked by: strips that serve several come with the first of them.
    fn panels(&self, index: usize, clashes: &ClashesOfTubes<'_>, sheet: &SheetOptions) -> Vec<Panel> {
        let hole = self.holes[index];
        let clash = clashes.of_named(once(hole.tube.as_str()), &hole.body[0]);
        let mut panels = compass::panels(hole, clash, sheet.units);
        if has_gores(sheet) && self.shared[index].0 == index {
            let all = self.holes.iter().zip(&self.shared);
            let all = all.filter(|(_, (first, _))| *first == index).map(|(hole, _)| *hole);
            let all: Vec<&CompassHole> = all.collect();
            panels.extend(gores::panels(hole, &all, sheet.paper_thickness_mm, sheet.units));
        }
        panels
    }
}

fn in_each_body(job: &JobPlan) -> Vec<Vec<&PlacedHole>> {
    let mut of_bodies = vec![Vec::new(); job.assembly.bodies.len()];
    job.holes.iter().for_each(|hole| of_bodies[hole.hole.body].push(hole));
    of_bodies
}

/// Strips are patterns of holes.
fn has_gores(sheet: &SheetOptions) -> bool {
    sheet.has(LeftOut::Holes) && sheet.has(LeftOut::Gores)
}

/// The holes that are marked by compass, which takes no pattern.
fn by_compass<'a>(job: &'a JobPlan, sheet: &SheetOptions) -> Vec<&'a CompassHole> {
    let holes = job.compass_holes.iter();
    holes
        .filter(|hole| HoleKind::has_panel(sheet) && !hole.is_made)
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
        if has_gores(sheet) {
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
    let clashes = ClashesOfTubes::new(job, sheet.units);
    let here = &in_each_body(job)[index];
    let mut panels = body_mark_out(job, index, here, &clashes, sheet.units);
    panels.extend(head_view::panels(job, &assembly.bodies[index], &clashes, sheet.units));
    if HoleKind::has_panel(sheet) {
        let kinds = kinds_of(&job.holes);
        let here = kinds.iter().filter(|kind| kind.first.hole.body == index);
        panels.extend(here.map(|kind| kind.panel(assembly, &clashes, sheet)));
    }
    let mut compass = by_compass(job, sheet);
    compass.retain(|hole| hole.body[0] == name);
    let compass = ByCompass::new(compass);
    panels.extend((0..compass.holes.len()).flat_map(|index| compass.panels(index, &clashes, sheet)));
    panels
}
