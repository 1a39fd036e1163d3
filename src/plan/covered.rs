//! Holes that what else a tube is cut to covers, and what is made before what.

use crate::job::{Assembly, HoleInBody};

/// A hole of which a part, or all, is covered by what else the tube's end is cut to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Covered {
    /// The tube's name.
    pub tube: String,
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
            body: assembly.bodies[hole.body].name.clone(),
            by: hole.covered_by.clone(),
            is_whole,
        }
    }
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
pub fn made_after(assembly: &Assembly) -> Vec<MadeAfter> {
    let mut found: Vec<MadeAfter> = Vec::new();
    for tube in &assembly.tubes {
        let ends = tube.ends();
        if ends.iter().all(|end| end.also().is_empty()) || found.iter().any(|known| known.tube == tube.shared_name) {
            continue;
        }
        let mut others: Vec<String> = Vec::new();
        let bodies = ends
            .iter()
            .flat_map(|end| end.body().into_iter().chain(end.also().iter().copied()));
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
