//! Orders in which panels are placed.

use super::way::Apart;
use crate::layout::panel::{Panel, Role};

/// Panels in another order.
pub(super) type Sort = fn(&[Panel]) -> Vec<&Panel>;

/// Orders in which all panels are placed, as they are given first, and how ends are kept apart.
pub(super) const OF_ALL: [(Sort, Apart); 8] = [
    (as_given, Apart::WhereRoom),
    (as_given, Apart::Always),
    (wraps_first, Apart::WhereRoom),
    (tables_last, Apart::WhereRoom),
    (as_given, Apart::Never),
    (wraps_first, Apart::Never),
    (tables_last, Apart::Never),
    (largest_first, Apart::Never),
];

/// Orders of which every group takes its own.
pub(super) const OF_A_GROUP: [(Sort, Apart); 9] = [
    (as_given, Apart::WhereRoom),
    (as_given, Apart::Always),
    (ends_tables_first, Apart::Always),
    (wraps_first, Apart::WhereRoom),
    (ends_tables_first, Apart::WhereRoom),
    (ends_first, Apart::WhereRoom),
    (tables_last, Apart::WhereRoom),
    (largest_first, Apart::WhereRoom),
    (largest_first, Apart::Never),
];

/// Those of them that differ for these panels: ends that aren't there need not be kept apart.
pub(super) fn distinct<'p>(orders: &[(Sort, Apart)], panels: &'p [Panel]) -> Vec<(Vec<&'p Panel>, Apart)> {
    let has_ends = panels.iter().any(|panel| panel.of_end.is_some());
    let mut found: Vec<(Vec<&Panel>, Apart)> = Vec::with_capacity(orders.len());
    for (sort, apart) in orders {
        let (order, apart) = (sort(panels), if has_ends { *apart } else { Apart::Never });
        let is_same = |other: &[&Panel]| order.iter().zip(other).all(|(a, b)| std::ptr::eq(*a, *b));
        if !found.iter().any(|(other, of)| *of == apart && is_same(other)) {
            found.push((order, apart));
        }
    }
    found
}

/// Every table beside its pattern, if there is room: what is looked for together is together.
pub(super) fn as_given(panels: &[Panel]) -> Vec<&Panel> {
    panels.iter().collect()
}

/// Of every group both ends' wraps, then their tables, then the rest.
fn wraps_first(panels: &[Panel]) -> Vec<&Panel> {
    let mut order = as_given(panels);
    order.sort_by_key(|panel| (panel.group, turn_of_wraps(panel)));
    order
}

/// Where a panel comes in its group: its wraps, then their tables, then the rest.
fn turn_of_wraps(panel: &Panel) -> (bool, bool) {
    (panel.of_end.is_none(), panel.role != Role::Pattern)
}

/// Sorted by this an end comes first, and what is of the start goes into a gap before it.
fn is_of_start(panel: &Panel) -> bool {
    panel.of_end.as_ref().is_some_and(|of| of.side == 0)
}

/// Of every group both ends' wraps, then the end's table, then the start's, then the rest.
fn ends_tables_first(panels: &[Panel]) -> Vec<&Panel> {
    let mut order = as_given(panels);
    order.sort_by_key(|panel| {
        let is_late = panel.role == Role::Table && is_of_start(panel);
        (panel.group, turn_of_wraps(panel), is_late)
    });
    order
}

/// Of every group the end's wrap, then the start's, their tables in the same order, then the rest.
fn ends_first(panels: &[Panel]) -> Vec<&Panel> {
    let mut order = as_given(panels);
    order.sort_by_key(|panel| (panel.group, turn_of_wraps(panel), is_of_start(panel)));
    order
}

/// Of every group the patterns, then the tables.
fn tables_last(panels: &[Panel]) -> Vec<&Panel> {
    let mut order = as_given(panels);
    order.sort_by_key(|panel| (panel.group, panel.role != Role::Pattern));
    order
}

/// The same from the largest to the smallest, which leaves the smaller gaps.
fn largest_first(panels: &[Panel]) -> Vec<&Panel> {
    let mut order = as_given(panels);
    order.sort_by(|a, b| (b.width * b.height).total_cmp(&(a.width * a.height)));
    order.sort_by_key(|panel| (panel.group, panel.role != Role::Pattern));
    order
}
