//! What is said of tubes that are cut to several bodies.

use crate::plan::{Covered, JobPlan, Kind, SIDES, made_after};

/// What is made before what, and which holes are covered.
pub(super) fn notes(job: &JobPlan) -> Vec<String> {
    let order = made_after(job).into_iter().map(|made| {
        format!(
            "order of making: {} is cut to {}, so those stand before it is offered up",
            made.tube,
            listed(&made.others)
        )
    });
    let ends = job.kinds.iter().flat_map(|kind| [0, 1].map(|side| (kind, side)));
    let unmet = ends.filter_map(|(kind, side)| unmet(job, kind, side));
    order.chain(job.covered.iter().map(covered)).chain(unmet).collect()
}

/// At an end that is cut to several bodies what is made before it, for its own sheet.
pub(crate) fn order_words(kind: &Kind, side: usize) -> Option<String> {
    let also = kind.also(side, true);
    if also.is_empty() {
        return None;
    }
    let also = also.into_iter().map(str::to_owned);
    let before: Vec<String> = kind.bodies[side].iter().cloned().chain(also).collect();
    Some(format!(
        "Order of making: {} stand before its {} is offered up.",
        listed(&before),
        SIDES[side]
    ))
}

/// That what an end was to be cut to as well is not in its way.
fn unmet(job: &JobPlan, kind: &Kind, side: usize) -> Option<String> {
    let others: Vec<String> = kind.also(side, false).into_iter().map(str::to_owned).collect();
    (!others.is_empty()).then(|| {
        format!(
            "{}, its {}: no line of the wall comes to {} first, so it is not cut to that; its \"also\" changes nothing",
            Kind::names(&job.assembly, kind.all.iter()),
            SIDES[side],
            listed(&others)
        )
    })
}

fn covered(hole: &Covered) -> String {
    let Covered { tube, body, by, .. } = hole;
    if hole.is_whole {
        format!(
            "{tube} needs no hole in {body}: {} {} all of its bore",
            listed(by),
            covers(by)
        )
    } else {
        format!(
            "the hole for {tube} in {body} is smaller than its bore: {} {} the rest",
            listed(by),
            covers(by)
        )
    }
}

fn covers(names: &[String]) -> &'static str {
    if names.len() > 1 { "cover" } else { "covers" }
}

/// `header, brace 1 and rib`.
pub(super) fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
