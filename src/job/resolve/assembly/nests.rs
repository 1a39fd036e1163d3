//! Parts of a stack that are said to nest: whether the one goes into the other as they are.

use std::f64::consts::TAU;

use super::super::Reader;
use crate::job::{BodyInSpace, Stack, TurnedOn, raw};
use crate::phrase::Phrase;

/// Round a part where it nests, in millimetres: outside, and inside where its wall is known.
struct Girths {
    outside: f64,
    inside: Option<f64>,
}

/// Says of which neighbours neither goes into the other: a rim has to be slit, crimped or flared for that.
pub(super) fn warn_of_tight(
    reader: &mut Reader,
    raw: &[raw::Named<raw::Body>],
    stacks: &[Stack],
    bodies: &[BodyInSpace],
) {
    for stack in stacks {
        let girths = |part: &str| Girths::of(&bodies[body_of(raw, stack, part, bodies)?]);
        for pair in stack.parts.windows(2).filter(|pair| pair[1].nests_mm > 0.0) {
            let [lower, upper] = [&pair[0], &pair[1]];
            let (Some(below), Some(above)) = (girths(&lower.name), girths(&upper.name)) else {
                continue;
            };
            let (Some(below_inside), Some(above_inside)) = (below.inside, above.inside) else {
                continue;
            };
            if above.outside > below_inside && below.outside <= above_inside {
                let says = format!("{} goes over {} where they nest: round ", upper.name, lower.name);
                let says = Phrase::from(says)
                    .words(format!("{} ", upper.name))
                    .length(above_inside)
                    .words(format!(" inside, round {} ", lower.name))
                    .length(below.outside);
                reader.warn(says.words(" outside"));
            }
            if above.outside > below_inside && below.outside > above_inside {
                let says = format!(
                    "{} nests in {}, and neither goes into the other as it is: round ",
                    upper.name, lower.name
                );
                let says = Phrase::from(says)
                    .words(format!("{} ", upper.name))
                    .length(above.outside);
                let says = says
                    .words(format!(" outside, round {} ", lower.name))
                    .length(below_inside)
                    .words(" inside");
                reader.warn(says.words("; slit, crimp or flare one edge, or measure both again"));
            }
        }
    }
}

/// The body that is a part of a stack, by its place in the list.
fn body_of(raw: &[raw::Named<raw::Body>], stack: &Stack, part: &str, bodies: &[BodyInSpace]) -> Option<usize> {
    let is_it = |word: &Option<raw::Word>, name: &str| word.as_ref().is_some_and(|word| word.text == name);
    let is_of = |body: &&raw::Named<raw::Body>| is_it(&body.thing.stack, &stack.name) && is_it(&body.thing.part, part);
    let named = raw.iter().find(is_of)?;
    bodies.iter().position(|body| body.name == named.name.text)
}

/// Tells each body of a stack how it is turned on the one under it.
pub(super) fn tell_turns(raw: &[raw::Named<raw::Body>], stacks: &[Stack], bodies: &mut [BodyInSpace]) {
    for stack in stacks {
        let all: Vec<usize> = stack
            .parts
            .iter()
            .filter_map(|part| body_of(raw, stack, &part.name, bodies))
            .collect();
        for pair in all.windows(2) {
            let [lower, upper] = [&bodies[pair[0]], &bodies[pair[1]]];
            let [from, to] = [lower, upper].map(|body| body.placement.matrix3.z_axis.truncate());
            let turned = from.angle_to(to);
            let turned_on = TurnedOn {
                name: lower.name.clone(),
                turned_deg: turned.to_degrees(),
                arc_mm: turned / TAU * lower.surface.girth(0.0).unwrap_or(0.0),
            };
            bodies[pair[1]].turned_on = Some(turned_on);
        }
    }
}

impl Girths {
    /// None of what has no way round.
    fn of(body: &BodyInSpace) -> Option<Self> {
        let outside = body.surface.girth(0.0)?;
        let wall = body.flat.as_ref()?.inner.as_ref().map(|(_, wall)| *wall);
        Some(Self {
            outside,
            inside: wall.map(|wall| outside - TAU * wall),
        })
    }
}
