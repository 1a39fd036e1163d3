//! How a stack is parted: the sum, and the next best ways.

use super::table::{facts_panel, rows_panel};
use crate::job::{Parted, Stack};
use crate::layout::Panel;
use crate::measure::Units;

/// Ways that are listed, the one that is built among them.
const LISTED: usize = 8;

/// The sum of a stack, and the ways that come next.
pub(super) fn panels(stack: &Stack, units: Units) -> impl Iterator<Item = Panel> {
    let both = [sum_panel(stack, units), ways_panel(stack, units)];
    both.into_iter().chain(misses_panel(stack, units))
}

/// `parted at 585.00 mm, bottom stays`, or `whole`.
fn kept_words(way: &Parted, part: usize, units: Units) -> String {
    let kept = way.kept[part];
    if kept.is_parted {
        let stays = kept.stays.word();
        format!("{}, its {stays} stays", units.show(kept.height_mm))
    } else {
        format!("{}, whole", units.show(kept.height_mm))
    }
}

fn sum_panel(stack: &Stack, units: Units) -> Panel {
    let way = stack.way();
    let mut rows = Vec::new();
    for (index, part) in stack.parts.iter().enumerate() {
        rows.push([part.name.clone(), kept_words(way, index, units)]);
        if part.nests_mm > 0.0 {
            let below = &stack.parts[index - 1].name;
            rows.push([
                format!("{} nests in {below}", part.name),
                format!("- {}", units.show(part.nests_mm)),
            ]);
        }
    }
    rows.extend(
        stack
            .on_top
            .iter()
            .map(|(what, adds)| [what.clone(), format!("+ {}", units.show(*adds))]),
    );
    rows.push(["total height".to_owned(), units.show(way.total_mm)]);
    rows.push(["height available".to_owned(), units.show(stack.room_mm)]);
    rows.push(["left over".to_owned(), units.show(stack.room_mm - way.total_mm)]);
    facts_panel(&format!("Stack {}: the sum", stack.name), &rows, "From the bottom up.")
}

fn ways_panel(stack: &Stack, units: Units) -> Panel {
    let heads = ["", "parts, from the bottom up", "total height", "left over"].map(str::to_owned);
    let rows: Vec<[String; 4]> = stack
        .ways
        .iter()
        .enumerate()
        .filter(|(index, _)| *index < LISTED || *index == stack.taken)
        .map(|(index, way)| {
            let built = if index == stack.taken { ", built" } else { "" };
            [
                format!("{}{built}", index + 1),
                parts_words(stack, way, units),
                units.show(way.total_mm),
                units.show(stack.room_mm - way.total_mm),
            ]
        })
        .collect();
    let under = match stack.ways.len() {
        1 => "1 way fits.".to_owned(),
        count => format!("{count} ways fit, the closest first; \"take\" builds another one of them."),
    };
    rows_panel(&format!("Stack {}: ways to part it", stack.name), &heads, &rows, &under)
}

/// The ways that go over by the least.
fn misses_panel(stack: &Stack, units: Units) -> Option<Panel> {
    let heads = ["parts, from the bottom up", "total height", "over by"].map(str::to_owned);
    let rows: Vec<[String; 3]> = stack
        .near_misses
        .iter()
        .map(|way| {
            [
                parts_words(stack, way, units),
                units.show(way.total_mm),
                units.show(way.total_mm - stack.room_mm),
            ]
        })
        .collect();
    let title = format!("Stack {}: too high", stack.name);
    (!rows.is_empty()).then(|| rows_panel(&title, &heads, &rows, "These don't fit under the height available."))
}

/// What is kept of every part.
fn parts_words(stack: &Stack, way: &Parted, units: Units) -> String {
    let parts = stack.parts.iter().enumerate();
    let parts = parts.map(|(part, of)| format!("{} {}", of.name, kept_words(way, part, units)));
    parts.collect::<Vec<_>>().join("; ")
}
