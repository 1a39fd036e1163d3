//! How a stack is parted: the sum, and the next best ways.

use super::table::{facts_panel, rows_panel};
use crate::job::{Parted, Stack};
use crate::layout::Panel;
use crate::measure::Units;

/// Ways that are listed, the one that is built among them.
const LISTED: usize = 8;

/// The sum of a stack, and the ways that come next.
pub(super) fn panels(stack: &Stack, units: Units) -> [Panel; 2] {
    [sum_panel(stack, units), ways_panel(stack, units)]
}

/// `parted at 585.00 mm, bottom stays`, or `whole`.
fn kept_words(stack: &Stack, way: &Parted, part: usize, units: Units) -> String {
    let kept = way.kept[part];
    if kept.is_parted {
        let stays = stack.parts[part].stays.word();
        format!("{}, its {stays} stays", units.show(kept.height_mm))
    } else {
        format!("{}, whole", units.show(kept.height_mm))
    }
}

fn sum_panel(stack: &Stack, units: Units) -> Panel {
    let way = stack.way();
    let mut rows = Vec::new();
    for (index, part) in stack.parts.iter().enumerate() {
        rows.push([part.name.clone(), kept_words(stack, way, index, units)]);
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
    rows.push(["in all".to_owned(), units.show(way.total_mm)]);
    rows.push(["height there is".to_owned(), units.show(stack.room_mm)]);
    rows.push(["left over".to_owned(), units.show(stack.room_mm - way.total_mm)]);
    facts_panel(&format!("Stack {}: the sum", stack.name), &rows, "From the bottom up.")
}

fn ways_panel(stack: &Stack, units: Units) -> Panel {
    let heads = ["", "parts, from the bottom up", "in all", "left over"].map(str::to_owned);
    let rows: Vec<[String; 4]> = stack
        .ways
        .iter()
        .enumerate()
        .filter(|(index, _)| *index < LISTED || *index == stack.taken)
        .map(|(index, way)| {
            let parts = (0..stack.parts.len())
                .map(|part| format!("{} {}", stack.parts[part].name, kept_words(stack, way, part, units)));
            let built = if index == stack.taken { ", built" } else { "" };
            [
                format!("{}{built}", index + 1),
                parts.collect::<Vec<_>>().join("; "),
                units.show(way.total_mm),
                units.show(stack.room_mm - way.total_mm),
            ]
        })
        .collect();
    let under = format!(
        "{} ways stay under the height, the closest first; \"take\" builds another one of them.",
        stack.ways.len()
    );
    rows_panel(&format!("Stack {}: ways to part it", stack.name), &heads, &rows, &under)
}
