//! The ordinates of a hole, for marking it by tape.

use kurbo::Point;

use super::hole::lines_words;
use super::ordinates::by_hand;
use crate::job::Assembly;
use crate::measure::Units;
use crate::plan::{Across, HoleKind, hole_marks};

/// A table of a hole's ordinates, measured on the skin from its lines A and B.
pub(crate) struct HoleOrdinates {
    /// Whose they are.
    pub(crate) title: String,
    /// Of the columns: along line A, left of it, right of it.
    pub(crate) heads: [String; 3],
    /// From the pattern's top down.
    pub(crate) rows: Vec<[String; 3]>,
    /// How to use them.
    pub(crate) under: &'static str,
    /// Where lines A and B of each such hole are, where the body is known.
    pub(crate) places: Vec<String>,
}

/// Those of the hole called `name`, with its solved places about the place where its lines cross.
pub(crate) fn hole_ordinates(name: &str, outline: &[Point], units: Units) -> HoleOrdinates {
    let unit = units.name();
    HoleOrdinates {
        title: by_hand(name),
        heads: [
            format!("line B, {unit}"),
            format!("left of A, {unit}"),
            format!("right of A, {unit}"),
        ],
        rows: hole_marks(outline).iter().map(|across| row(across, units)).collect(),
        under: "Up or down from line B along line A, then square to it on the skin, as on the pattern. A minus: on A's other side.",
        places: Vec::new(),
    }
}

/// Those of a kind of hole of a job, and where each of them goes.
pub(crate) fn hole_ordinates_of_kind(kind: &HoleKind<'_>, assembly: &Assembly, units: Units) -> HoleOrdinates {
    let places = kind.all.iter().map(|hole| lines_words(hole, assembly, units));
    HoleOrdinates {
        places: places.collect(),
        ..hole_ordinates(&kind.first.pattern(assembly), &kind.first.places(), units)
    }
}

fn row(across: &Across, units: Units) -> [String; 3] {
    let up = match across.up_mm {
        0.0 => "on B".to_owned(),
        up if up > 0.0 => format!("up {}", units.show_bare(up)),
        down => format!("down {}", units.show_bare(-down)),
    };
    [up, units.show_bare(across.left_mm), units.show_bare(across.right_mm)]
}
