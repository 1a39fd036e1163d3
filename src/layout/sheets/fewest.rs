//! The order of placing panels that takes the fewest sheets.

use super::filling::Filling;
use super::orders::{OF_A_GROUP, OF_ALL, as_given};
use super::way::{Apart, Order, Shaping, Way};
use crate::layout::page::Sheet;
use crate::layout::panel::{Panel, Role};

/// The ways that are tried, the one in which things are found most easily first.
fn ways(shaping: Shaping) -> impl Iterator<Item = Way> {
    let turns = [false, true].into_iter();
    let both = turns.flat_map(|turns_first| [Order::Strict, Order::Loose].map(|order| (order, turns_first)));
    both.map(move |(order, turns_first)| Way {
        order,
        turns_first,
        shaping,
        apart: Apart::WhereRoom,
    })
}

/// Goes on with the order that takes the fewest sheets; of several the one in which things are found most easily: as all is
/// given; with what comes before the first pattern as it is given, and the rest in other orders; with all in other orders.
pub(super) fn fewest(front: &Filling, rest: &[Panel], give: &mut impl FnMut(Sheet)) -> Filling {
    let before = rest.iter().take_while(|panel| panel.role != Role::Pattern).count();
    let (first, others) = rest.split_at(before);
    let begun = filled((front, &[]), Way::PLAIN, &as_given(first));
    let best_of = |shaping: Shaping| {
        let from_pattern = tried((&begun.0, &begun.1), others, shaping).into_iter();
        let from_start = tried((front, &[]), rest, shaping);
        from_pattern.chain(from_start).min_by_key(|(filling, _)| worth(filling))
    };
    let mut best = best_of(Shaping::AsGiven);
    let has_shapes = |role| rest.iter().any(|panel| panel.role == role && !panel.shapes.is_empty());
    let of_patterns = has_shapes(Role::Pattern);
    let more = [
        (Shaping::WhereNeeded, of_patterns || has_shapes(Role::Table)),
        (Shaping::OthersFirst, of_patterns),
    ];
    for (shaping, is_shaped) in more {
        let may_be_fewer = best.as_ref().is_some_and(|(filling, _)| filling.count() > 1);
        if may_be_fewer && is_shaped {
            let both = best.into_iter().chain(best_of(shaping));
            best = both.min_by_key(|(filling, _)| worth(filling));
        }
    }
    let (filling, given) = best.unwrap_or(begun);
    given.into_iter().for_each(give);
    filling
}

/// Less is better: sheets of a group that follow each other, then few sheets, then little of a piece's end before its start, then
/// little else that is out of its place.
fn worth(filling: &Filling) -> (bool, usize, usize, usize) {
    let faults = filling.faults();
    (
        filling.is_torn(),
        filling.count(),
        faults.ends_first,
        faults.strays + faults.out_of_order,
    )
}

/// Some more panels on the sheets so far, in every way with every order.
fn tried(so_far: (&Filling, &[Sheet]), panels: &[Panel], shaping: Shaping) -> Vec<(Filling, Vec<Sheet>)> {
    let in_order = |way: Way| {
        let all = OF_ALL.into_iter();
        all.map(move |(sort, apart)| filled(so_far, Way { apart, ..way }, &sort(panels)))
    };
    let mut tried: Vec<(Filling, Vec<Sheet>)> = ways(shaping).flat_map(in_order).collect();
    tried.extend(ways(shaping).map(|way| each_group_its_own(so_far, way, panels)));
    tried
}

/// The same, every group in the order that is best for it after those before it.
fn each_group_its_own((so_far, given): (&Filling, &[Sheet]), way: Way, panels: &[Panel]) -> (Filling, Vec<Sheet>) {
    let mut best = (so_far.going_on(way), given.to_vec());
    for group in panels.chunk_by(|a, b| a.group == b.group) {
        let orders = OF_A_GROUP.into_iter();
        let tried = orders.map(|(sort, apart)| filled((&best.0, &best.1), Way { apart, ..way }, &sort(group)));
        if let Some(next) = tried.min_by_key(|(filling, _)| worth(filling)) {
            best = next;
        }
    }
    best
}

/// The sheets so far and some more panels on them; what is given away by then stays in front.
fn filled((so_far, given): (&Filling, &[Sheet]), way: Way, panels: &[&Panel]) -> (Filling, Vec<Sheet>) {
    let (mut filling, mut given) = (so_far.going_on(way), given.to_vec());
    for panel in panels {
        filling.add(panel, &mut |sheet| given.push(sheet));
    }
    (filling, given)
}
