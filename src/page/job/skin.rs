//! A vessel's skin laid flat on a card, and where a tube lands on it.

use super::form::{Form, Part, Skin, ToMarkOut};
use super::land::Landing;
use super::mark_out;
use crate::job::edit::Key;
use crate::layout::skin_map;
use crate::output::skin_svg;

/// That on which a point of a path lands, as far as it can be laid flat.
pub(super) fn of_landing(form: &Form<'_>, at: &[Key]) -> Option<Skin> {
    let landing = Landing::of(form.tree, form.job?, at)?;
    let map = skin_map(landing.job, landing.body, landing.place)?;
    let title = format!("{} laid flat, seen from outside", map.body);
    let [along, round] = landing.is_told;
    Some(Skin {
        at: round.then(|| at.to_vec()),
        svg: skin_svg(&title, &map),
        words: match (along, round) {
            (true, true) => "Its skin laid flat, seen from outside. Point at it, and both measures are filled in.",
            (_, true) => "Its skin laid flat, seen from outside. Point at it, and the place round is filled in.",
            _ => "Its skin laid flat, seen from outside: where it lands follows from its fall.",
        },
    })
}

/// A vessel's own, with its holes, and what leads to its mark-out where it has some.
pub(super) fn of_vessel(form: &mut Form<'_>, at: &[Key]) {
    let (Some(job), [_, Key::Name(name)]) = (form.job, at) else {
        return;
    };
    let body = job.assembly.bodies.iter().position(|body| body.name == *name);
    if let Some(map) = body.and_then(|body| skin_map(job, body, None)) {
        form.parts.push(Part::Skin(Skin {
            at: None,
            svg: skin_svg(&format!("{name} laid flat, seen from outside"), &map),
            words: "Its skin laid flat, seen from outside, with its holes.",
        }));
    }
    let label = match mark_out::count(job, name) {
        0 => return,
        1 => "Mark out its hole, large".to_owned(),
        holes => format!("Mark out its {holes} holes, large"),
    };
    let body = name.clone();
    form.parts.push(Part::MarkOut(ToMarkOut { body, label }));
}
