//! Sizes to choose from while one types: those of the size tables.

use std::sync::LazyLock;

use maud::{Markup, html};

use super::gap::Kind;
use crate::measure::{SizeRow, size_rows};

static TUBES: LazyLock<Vec<String>> = LazyLock::new(|| size_rows().iter().flat_map(with_walls).collect());
static BODIES: LazyLock<Vec<String>> = LazyLock::new(|| size_rows().into_iter().map(|row| row.name).collect());

/// As they are typed: `NPS 2 sch 40`, `fence 1-7/8 x 0.065in`.
fn with_walls(row: &SizeRow) -> Vec<String> {
    if row.name.starts_with("drum") {
        return Vec::new();
    }
    let walls = row.walls.iter().map(|(wall, _)| match wall.strip_prefix("sch") {
        Some(_) => format!("{} {wall}", row.name),
        None => format!("{} x {wall}", row.name),
    });
    walls.collect()
}

/// The lists that gaps point to.
pub(super) fn lists() -> Markup {
    html! {
        @for (id, sizes) in [("tubes", &*TUBES), ("bodies", &*BODIES)] {
            datalist id=(id) {
                @for size in sizes { option value=(size) {} }
            }
        }
    }
}

/// The list for what goes into a gap.
pub(super) fn list_for(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::Tube => Some("tubes"),
        Kind::Body => Some("bodies"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{parse_size, parse_tube_size};

    #[test]
    fn every_size_that_is_suggested_can_be_read() {
        for tube in TUBES.iter() {
            let read = parse_tube_size(tube, None).unwrap_or_else(|problem| panic!("{problem}"));
            assert!(read.wall_mm.is_some(), "{tube}");
        }
        for body in BODIES.iter() {
            parse_size(body, None).unwrap_or_else(|problem| panic!("{problem}"));
        }
        assert!(TUBES.len() > 100 && BODIES.len() > 50);
    }
}
