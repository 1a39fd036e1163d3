//! What is said of a tube's other end.

use crate::measure::Units;
use crate::plan::{OtherEnd, Stands};

/// Less than this nobody sees, in millimetres.
const SEEN_MM: f64 = 0.05;

/// How it moves, and how it then stands; `read_within_mm` is how deep it may reach into what it lands on.
pub(super) fn other_end_words(other: &OtherEnd, read_within_mm: f64, units: Units) -> String {
    let moves = moves(other, units);
    match &other.stands {
        None => moves,
        Some(stands) => format!("{moves}, and {}", stands_words(stands, read_within_mm, units)),
    }
}

/// `25.90 mm (within 1.30 mm)`.
fn told(mm: f64, within_mm: f64, units: Units) -> String {
    let size = units.show(mm);
    if within_mm.is_finite() && within_mm > SEEN_MM {
        format!("{size} (within {})", units.show_within(within_mm))
    } else {
        size
    }
}

fn moves(other: &OtherEnd, units: Units) -> String {
    let way = if other.along_mm < 0.0 { "back" } else { "on" };
    let along = format!(
        "{} {way} along the tube",
        told(other.along_mm.abs(), other.along_within_mm, units)
    );
    let aside = format!("{} aside", told(other.aside_mm, other.aside_within_mm, units));
    match (other.along_mm.abs() > SEEN_MM, other.aside_mm > SEEN_MM) {
        (false, false) => "its other end stays where it is".to_owned(),
        (true, false) => format!("its other end moves {along}"),
        (false, true) => format!("its other end moves {aside}"),
        (true, true) => format!("its other end moves {aside} and {along}"),
    }
}

fn stands_words(stands: &Stands, read_within_mm: f64, units: Units) -> String {
    let Some(gap) = stands.largest_gap_mm else {
        return "a part of it then misses what it lands on".to_owned();
    };
    let gap = told(gap, stands.gap_within_mm, units);
    let may = match (stands.gap_within_mm.is_finite(), stands.is_sure, stands.is_within) {
        (false, ..) => ", but a part of it may miss what it lands on",
        (_, true, _) => "",
        (_, false, true) => ", but it may not fit for all that the readings leave in doubt",
        (_, false, false) => ", but it may fit for all that the readings leave in doubt",
    };
    if stands.overlap_mm > read_within_mm {
        return format!(
            "would reach {} into what it lands on (the widest gap there: {gap}){may}",
            told(stands.overlap_mm, stands.overlap_within_mm, units)
        );
    }
    let can = if stands.is_within {
        "which can be welded"
    } else {
        "too wide"
    };
    format!("the widest gap there is then {gap}, {can}{may}")
}
