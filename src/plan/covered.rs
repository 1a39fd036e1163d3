//! Holes that what else a tube is cut to covers, and what is made before what.

use std::collections::HashSet;

use super::JobPlan;
use crate::job::{Assembly, HoleInBody};

/// A hole of which a part, or all, is covered by what else the tube's end is cut to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Covered {
    /// The tube's name.
    pub tube: String,
    /// Whether it is for the tube's start.
    pub is_at_start: bool,
    /// The body that it is on.
    pub body: String,
    /// What covers it.
    pub by: Vec<String>,
    /// Whether no hole is left.
    pub is_whole: bool,
}

impl Covered {
    pub(super) fn new(assembly: &Assembly, hole: &HoleInBody, is_whole: bool) -> Self {
        Self {
            tube: hole.tube.clone(),
            is_at_start: hole.is_at_start,
            body: assembly.bodies[hole.body].name.clone(),
            by: hole.covered_by.clone(),
            is_whole,
        }
    }
}

/// What else ends were to be cut to and are not: the tube, which end, and which of those that it names.
fn unmet(job: &JobPlan) -> HashSet<(usize, usize, usize)> {
    let mut found = HashSet::new();
    for (kind, side) in job.kinds.iter().flat_map(|kind| [0, 1].map(|side| (kind, side))) {
        let unmet = kind.unmet(side);
        for like in kind.all.iter().filter(|_| !unmet.is_empty()) {
            found.extend(unmet.iter().map(|other| (like.of_tube, side, *other)));
        }
    }
    found
}

/// A tube that is cut to others: those are made, and stand, before it is offered up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MadeAfter {
    /// Its name without number.
    pub tube: String,
    /// What its ends are cut to, of each first what it is on.
    pub others: Vec<String>,
}

/// The tubes that are cut to several bodies, each once, in the order of the file.
pub fn made_after(job: &JobPlan) -> Vec<MadeAfter> {
    let assembly = &job.assembly;
    let unmet = unmet(job);
    let mut found: Vec<MadeAfter> = Vec::new();
    for (index, tube) in assembly.tubes.iter().enumerate() {
        let ends = tube.ends();
        let also: Vec<usize> = (0..2)
            .flat_map(|side| {
                ends[side]
                    .also()
                    .iter()
                    .enumerate()
                    .map(move |(other, body)| (side, other, *body))
            })
            .filter(|(side, other, _)| !unmet.contains(&(index, *side, *other)))
            .map(|(.., body)| body)
            .collect();
        if also.is_empty() || found.iter().any(|known| known.tube == tube.shared_name) {
            continue;
        }
        let mut others: Vec<String> = Vec::new();
        let bodies = ends.iter().filter_map(|end| end.body()).chain(also);
        for body in bodies.map(|body| &assembly.bodies[body].name) {
            if !others.contains(body) {
                others.push(body.clone());
            }
        }
        found.push(MadeAfter {
            tube: tube.shared_name.clone(),
            others,
        });
    }
    found
}
