//! Parts of a stack that are said to nest: whether the one goes into the other as they are.

use std::f64::consts::TAU;

use super::super::Reader;
use crate::job::{BodyInSpace, Stack, raw};
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
        let girths = |part: &str| {
            let is_it = |word: &Option<raw::Word>, name: &str| word.as_ref().is_some_and(|word| word.text == name);
            let is_of =
                |body: &&raw::Named<raw::Body>| is_it(&body.thing.stack, &stack.name) && is_it(&body.thing.part, part);
            let named = raw.iter().find(is_of)?;
            Girths::of(bodies.iter().find(|body| body.name == named.name.text)?)
        };
        for pair in stack.parts.windows(2).filter(|pair| pair[1].nests_mm > 0.0) {
            let [lower, upper] = [&pair[0], &pair[1]];
            let (Some(below), Some(above)) = (girths(&lower.name), girths(&upper.name)) else {
                continue;
            };
            let (Some(below_inside), Some(above_inside)) = (below.inside, above.inside) else {
                continue;
            };
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
