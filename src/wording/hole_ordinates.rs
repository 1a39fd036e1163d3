//! The ordinates of a hole, for marking it by tape.

use kurbo::Point;

use super::hole::{line_a, lines_words, up_words};
use super::ordinates::by_hand;
use crate::job::Assembly;
use crate::measure::Units;
use crate::plan::{Across, HoleKind, SaddlePlan, hole_marks};

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
    /// Where lines A and B of each such hole are, and which way is up.
    pub(crate) places: Vec<String>,
    /// Which way is up on all of them: `up is towards the far end`.
    pub(crate) up: String,
}

/// Those of the hole called `name`, with its solved places about the place where its lines cross.
fn hole_ordinates(name: &str, outline: &[Point], units: Units) -> HoleOrdinates {
    let unit = units.name();
    HoleOrdinates {
        title: by_hand(name),
        heads: [
            format!("line B, {unit}"),
            format!("left of A, {unit}"),
            format!("right of A, {unit}"),
        ],
        rows: hole_marks(outline).iter().map(|across| row(across, units)).collect(),
        under: "Up or down from line B along line A, then square to it on the skin, seen from outside. A minus: on A's other side.",
        places: Vec::new(),
        up: String::new(),
    }
}

/// Those of a joint's hole, and where its lines are on the header.
pub(crate) fn hole_ordinates_of_joint(of: &SaddlePlan, units: Units) -> HoleOrdinates {
    // A tube with sides may be turned, its own front away from the acute angle.
    let top = match of.joint.turned_deg {
        0.0 => "the branch's FRONT",
        _ => "the side of the acute angle",
    };
    let up = format!("up is towards {top}");
    HoleOrdinates {
        places: vec![format!(
            "Line A runs along {}; line B goes round where the branch's centre line comes through; {up}.",
            line_a(of.site().x, units)
        )],
        up,
        ..hole_ordinates("Hole", &of.outline(), units)
    }
}

/// Those of a kind of hole of a job, and where each of them goes.
pub(crate) fn hole_ordinates_of_kind(kind: &HoleKind<'_>, assembly: &Assembly, units: Units) -> HoleOrdinates {
    let places = kind.all.iter().map(|hole| lines_words(hole, assembly, units));
    HoleOrdinates {
        places: places.collect(),
        up: up_words(kind.first, assembly),
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
