//! Distances that were asked for and are kept: how much there is.

use super::apart::Obstacle;
use super::clash::{Clash, Cut};
use super::in_the_way::{InTheWay, Over};
use super::leg::legs;
use crate::job::Assembly;

/// A distance that was asked for and is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptClear {
    /// The tube, of copies the nearest, by its place in the assembly's list.
    pub tube: usize,
    /// What it is to keep from, by its place in the list of bodies.
    pub body: usize,
    /// What was asked for, in millimetres.
    pub asked_mm: f64,
    /// What there is, in millimetres.
    pub left_mm: f64,
    /// Whether it may be more, though not less: it was given up before it was certain.
    pub is_bound: bool,
    /// Whether a leg of it lands there, and is left out.
    pub lands_there: bool,
}

/// All of them. What is not kept is among the clashes; a tube that lands on what it is to keep from keeps nothing.
pub(super) fn kept_clear(assembly: &Assembly, clashes: &[Clash]) -> Vec<KeptClear> {
    if assembly.keep_clear.is_empty() {
        return Vec::new();
    }
    let (legs, pieces) = legs(assembly);
    let cut = Cut::new(assembly, &legs, &pieces);
    let is_broken = |name: &str, body: usize| {
        clashes.iter().any(|clash| match clash.way {
            InTheWay::TubeAndBody { tube, body: of } => of == body && assembly.tubes[tube].shared_name == name,
            // Told with its landing.
            InTheWay::Landing {
                tube,
                body: on,
                over: Over::KeptOff(index),
                ..
            } => assembly.kept_off(on, index) == Some(body) && assembly.tubes[tube].shared_name == name,
            _ => false,
        })
    };
    let asked = assembly.keep_clear.iter();
    let asked = asked.filter(|(name, body, _)| !is_broken(name, *body));
    asked
        .filter_map(|(name, body, asked_mm)| cut.kept(name, *body, *asked_mm))
        .collect()
}

impl Cut<'_> {
    /// How far the nearest of the tubes of this name is from a body.
    fn kept(&self, name: &str, body: usize, asked_mm: f64) -> Option<KeptClear> {
        let Self { assembly, legs, .. } = *self;
        let of = &assembly.bodies[body];
        let obstacle = Obstacle::new(of);
        let is_meant = |leg: usize| assembly.tubes[legs[leg].tube].shared_name == name;
        let lands_there = (0..legs.len()).any(|leg| is_meant(leg) && legs[leg].lands(assembly, body));
        let may_clash = |leg: &usize| of.of_tube != Some(legs[*leg].tube) && !legs[*leg].lands(assembly, body);
        let mut found: Option<KeptClear> = None;
        for leg in (0..legs.len()).filter(|leg| is_meant(*leg)).filter(may_clash) {
            // Only what is nearer than what was found.
            let nearest = found.as_ref().map_or(f64::INFINITY, |found| found.left_mm);
            let Some(apart) = self.leg_and_body(leg, (body, &obstacle), nearest) else {
                continue;
            };
            if apart.mm < nearest {
                found = Some(KeptClear {
                    tube: legs[leg].tube,
                    body,
                    asked_mm,
                    left_mm: apart.mm,
                    is_bound: apart.is_bound,
                    lands_there,
                });
            }
        }
        found
    }
}
