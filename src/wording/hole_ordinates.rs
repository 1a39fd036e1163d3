//! The ordinates of a hole, for marking it by tape.

use kurbo::Point;

use super::hole::{line_a, lines_words, up_words};
use super::ordinates::by_hand;
use crate::job::Assembly;
use crate::measure::{MM_PER_INCH, Units};
use crate::plan::{HoleKind, HoleMark, HoleMarks, SaddlePlan};

/// A table of more rows than this tells a large hole less closely instead: it has to fit on a sheet.
const MOST_ROWS: usize = 36;

/// A table of a hole's ordinates, measured on the skin from its lines A and B.
pub(crate) struct HoleOrdinates {
    /// Whose they are.
    pub(crate) title: String,
    /// Of the columns: along line A and left of it, along line A and right of it.
    pub(crate) heads: [String; 4],
    /// Down both sides of the outline.
    pub(crate) rows: Vec<[String; 4]>,
    /// How to use them.
    pub(crate) under: String,
    /// Where lines A and B of each such hole are, and which way is up.
    pub(crate) places: Vec<String>,
    /// Which way is up on all of them: `up is towards the far end`.
    pub(crate) up: String,
}

/// Those of the hole called `name`, with its solved places about the place where its lines cross.
fn hole_ordinates(name: &str, outline: &[Point], units: Units) -> HoleOrdinates {
    let unit = units.name();
    let (HoleMarks { left, right }, within_mm) = marks_and_within(outline, units);
    let from_b = format!("from B, {unit}");
    let is_past_a = left.iter().chain(&right).any(|mark| mark.aside_mm < 0.0);
    let past_a = if is_past_a { " A minus: on A's other side." } else { "" };
    let rows = (0..left.len().max(right.len())).map(|index| {
        let [up_left, left] = cells(left.get(index), units);
        let [up_right, right] = cells(right.get(index), units);
        [up_left, left, up_right, right]
    });
    HoleOrdinates {
        title: by_hand(name),
        heads: [
            from_b.clone(),
            format!("left of A, {unit}"),
            from_b,
            format!("right of A, {unit}"),
        ],
        rows: rows.collect(),
        under: format!(
            "Up or down from line B along line A, then square to it on the skin, seen from outside.{past_a} Straight lines from \
             mark to mark, down the left side and down the right, are within {} of the hole's edge.",
            units.show(within_mm)
        ),
        places: Vec::new(),
        up: String::new(),
    }
}

/// The marks, and how far straight lines between them as they are printed may be off the outline, in millimetres.
fn marks_and_within(outline: &[Point], units: Units) -> (HoleMarks, f64) {
    // A mark is as near as its last printed place, both ways.
    let (mut within_mm, printed_to) = match units {
        Units::Millimetres => (0.5, 0.01),
        Units::Inches(to) => {
            let fraction = MM_PER_INCH / f64::from(to.in_an_inch());
            (fraction, fraction)
        }
    };
    loop {
        let marks = HoleMarks::new(outline, within_mm - 0.5_f64.sqrt() * printed_to);
        if marks.left.len().max(marks.right.len()) <= MOST_ROWS {
            return (marks, within_mm);
        }
        within_mm *= 2.0;
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

/// A mark nearer to a line than this is on it, in millimetres: it would be told as 0.
const ON_A_LINE: f64 = 0.005;

fn cells(mark: Option<&HoleMark>, units: Units) -> [String; 2] {
    let Some(&HoleMark { up_mm, aside_mm }) = mark else {
        return ["-".to_owned(), "-".to_owned()];
    };
    let up = match up_mm {
        on if on.abs() < ON_A_LINE => "on B".to_owned(),
        up if up > 0.0 => format!("up {}", units.show_bare(up)),
        down => format!("down {}", units.show_bare(-down)),
    };
    let aside = match aside_mm {
        on if on.abs() < ON_A_LINE => "on A".to_owned(),
        aside => units.show_bare(aside),
    };
    [up, aside]
}
