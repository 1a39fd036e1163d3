//! What an earlier plan knows already of nearly the same job: a tube that is as it was, on bodies that are as they were, isn't
//! solved again.

use std::collections::HashMap;
use std::sync::Arc;

use super::compass::CompassHole;
use super::drain::Drain;
use super::hole::PlacedHole;
use super::weld::EndWeld;
use super::{JobPlan, Plan};
use crate::job::resolve::Resolved;
use crate::job::{Assembly, Ending, TubeInSpace};
use crate::solver::SolvedPiece;

/// A piece that is solved, for the next plan.
pub(super) struct KnownPiece {
    pub(super) solved: Arc<SolvedPiece>,
    /// By which like ones are known.
    pub(super) figures: Arc<[f64]>,
    /// The number of its kind, from 1.
    pub(super) kind: usize,
}

/// What is known of a hole.
pub(super) struct KnownHole<'a> {
    /// As it was placed, and where it is in the earlier plan's list; none of one that is covered wholly.
    pub(super) placed: Option<(usize, &'a PlacedHole)>,
    /// Whether all of it is covered, where a part is.
    pub(super) covered_whole: Option<bool>,
}

/// The earlier plan, and what of the job is as it was.
#[derive(Default)]
pub(super) struct Earlier<'a> {
    job: Option<&'a JobPlan>,
    /// Whether another plan is expected after this one.
    is_kept: bool,
    /// Of each tube where it was in the earlier plan's list, if it is cut as it was.
    tubes: Vec<Option<usize>>,
}

impl<'a> Earlier<'a> {
    /// What of a job is as it was in an earlier plan that was kept.
    pub(super) fn new(plan: Option<&'a Plan>, job: &Resolved<Assembly>) -> Self {
        let known = plan.filter(|plan| plan.sheet == job.sheet).and_then(Plan::job);
        let Some(earlier) = known.filter(|known| !known.known.is_empty()) else {
            return Self {
                is_kept: true,
                ..Self::default()
            };
        };
        Self {
            job: Some(earlier),
            is_kept: true,
            tubes: same_tubes(&job.joint, &earlier.assembly),
        }
    }

    /// Whether what the next plan needs is to be kept.
    pub(super) fn is_kept(&self) -> bool {
        self.is_kept
    }

    /// The earlier plan, and where a tube was in its list.
    fn of(&self, tube: usize) -> Option<(&'a JobPlan, usize)> {
        self.job.zip(self.tubes.get(tube).copied().flatten())
    }

    /// A drain as it was solved: its nodes and gaps are where it must be.
    pub(super) fn drain(&self, index: usize, tube: &TubeInSpace) -> Option<(TubeInSpace, Drain)> {
        let (job, was) = self.of(index)?;
        let drain = job.drains.iter().find(|drain| drain.tube == tube.name)?;
        let TubeInSpace { nodes, gaps, .. } = job.assembly.tubes[was].clone();
        let solved = TubeInSpace {
            nodes,
            gaps,
            ..tube.clone()
        };
        Some((solved, drain.clone()))
    }

    /// The pieces of a tube, from its near end to its far one; none where they aren't known.
    pub(super) fn pieces(&self, tube: usize) -> &'a [KnownPiece] {
        self.of(tube).map_or(&[], |(job, was)| &job.known[was])
    }

    /// The welds of a piece of a tube, where it was the first of its kind: all else of the kind was looked at, too.
    pub(super) fn welds(&self, tube: usize, number: usize) -> Option<&'a [Option<EndWeld>; 2]> {
        let (job, was) = self.of(tube)?;
        let pieces = &job.known[was];
        let of_kind = pieces.get(number)?.kind;
        let kind = &job.kinds[of_kind - 1];
        let is_first_of_tube = pieces[..number].iter().all(|piece| piece.kind != of_kind);
        (kind.all.first()?.of_tube == was && is_first_of_tube).then_some(&kind.welds)
    }

    /// The hole at an end of a tube, where it is known.
    pub(super) fn hole(&self, tube: usize, is_at_start: bool) -> Option<KnownHole<'a>> {
        let (job, was) = self.of(tube)?;
        let from = job.holes.partition_point(|hole| hole.of_tube < was);
        let of_tube = job.holes.iter().enumerate().skip(from);
        let placed = of_tube
            .take_while(|(_, hole)| hole.of_tube == was)
            .find(|(_, hole)| hole.hole.is_at_start == is_at_start);
        let name = &job.assembly.tubes[was].name;
        let covered = job
            .covered
            .iter()
            .find(|covered| covered.tube == *name && covered.is_at_start == is_at_start);
        let known = KnownHole {
            placed,
            covered_whole: covered.map(|covered| covered.is_whole),
        };
        (known.placed.is_some() || known.covered_whole.is_some()).then_some(known)
    }

    /// The hole at an end of a tube that is marked with a compass, where it is known.
    pub(super) fn compass_hole(&self, tube: usize, is_at_start: bool) -> Option<&'a CompassHole> {
        let (job, was) = self.of(tube)?;
        let name = &job.assembly.tubes[was].name;
        let holes = job.compass_holes.iter();
        holes
            .filter(|hole| hole.hole.is_at_start == is_at_start)
            .find(|hole| hole.tube == *name)
    }

    /// The holes of the earlier plan.
    pub(super) fn holes(&self) -> &'a [PlacedHole] {
        self.job.map_or(&[], |job| &job.holes)
    }
}

/// Of each tube where one that is cut as it is stands in the earlier list.
fn same_tubes(assembly: &Assembly, earlier: &Assembly) -> Vec<Option<usize>> {
    let bodies: HashMap<&str, usize> = places(earlier.bodies.iter().map(|body| body.name.as_str()));
    let tubes: HashMap<&str, usize> = places(earlier.tubes.iter().map(|tube| tube.name.as_str()));
    let body_was = |body: &crate::job::BodyInSpace| {
        let was = *bodies.get(body.name.as_str())?;
        body.is_cut_to_as(&earlier.bodies[was]).then_some(was)
    };
    let bodies_were: Vec<Option<usize>> = assembly.bodies.iter().map(body_was).collect();
    let tube_was = |tube: &TubeInSpace| {
        let was = *tubes.get(tube.name.as_str())?;
        let then = &earlier.tubes[was];
        let is_same_stock = assembly.stock[tube.stock].tube == earlier.stock[then.stock].tube;
        let ending = |ending: &Ending| as_it_was(ending, &bodies_were);
        let (nodes, gaps) = match tube.drain {
            // Where it lands is solved.
            Some(_) => (then.nodes.clone(), then.gaps.clone()),
            None => (tube.nodes.clone(), tube.gaps.clone()),
        };
        let told = TubeInSpace {
            stock: then.stock,
            start: ending(&tube.start)?,
            end: ending(&tube.end)?,
            nodes,
            gaps,
            ..tube.clone()
        };
        (is_same_stock && told == *then).then_some(was)
    };
    assembly.tubes.iter().map(tube_was).collect()
}

fn places<'a>(names: impl Iterator<Item = &'a str>) -> HashMap<&'a str, usize> {
    names.enumerate().map(|(place, name)| (name, place)).collect()
}

/// An ending with bodies told by where they were in the earlier list; none where one isn't as it was.
fn as_it_was(ending: &Ending, bodies_were: &[Option<usize>]) -> Option<Ending> {
    let mut was = ending.clone();
    if let Ending::Lands { body, also, .. } = &mut was {
        for index in std::iter::once(body).chain(also) {
            *index = bodies_were[*index]?;
        }
    }
    Some(was)
}
