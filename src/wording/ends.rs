//! What the ends of a job's pieces are, in words: the same on their wraps and on the terminal.

use super::front::{front_words, twist_words};
use super::saw::saw_angle;
use crate::job::{Assembly, Piece, SheetOptions};
use crate::measure::Units;
use crate::plan::{JobPlan, Kind, Like, PlannedEnd, SIDES, TellingSide, piece_ends};

/// Of more pieces than these the ends are told on their sheets alone.
const MOST_TOLD: usize = 20;

/// What an end is, with its saw setting where it is cut flat, and how its FRONT lies.
pub(crate) fn end_words(assembly: &Assembly, kind: &Kind, end: usize, units: Units) -> String {
    let saw = kind.piece.flat_cuts_deg[end].filter(|_| !kind.is_square(end));
    let laid = turned_on_saw(&kind.piece, end).map_or_else(String::new, |turn| {
        format!(" with a side turned {} out of the table", saw_angle(turn))
    });
    let saw = saw.map_or_else(String::new, |angle| {
        format!(", saw {} off square{laid}", saw_angle(angle))
    });
    format!("{}{saw}{}", kind.ends(units)[end], front(assembly, kind, end))
}

/// How the piece's front lies on what an end lands on; where equal pieces' lie otherwise, each with their names.
fn front(assembly: &Assembly, kind: &Kind, end: usize) -> String {
    let words_of = |like: &Like| match like.fronts {
        Some(index) => kind.fronts[index][end].as_ref().map(front_words),
        None => Some("FRONT as its hole's pattern has it".to_owned()),
    };
    let mut told: Vec<(Option<String>, Vec<&Like>)> = Vec::new();
    for like in &kind.all {
        let words = words_of(like);
        match told.iter_mut().find(|(known, _)| *known == words) {
            Some((_, alike)) => alike.push(like),
            None => told.push((words, vec![like])),
        }
    }
    if let [(words, _)] = told.as_slice() {
        return words.as_ref().map_or_else(String::new, |words| format!(", {words}"));
    }
    let each = told.into_iter().filter_map(|(words, alike)| {
        let names = Kind::names(assembly, alike.into_iter());
        Some(format!("{names}: {}", words?))
    });
    format!(", {}", each.collect::<Vec<_>>().join("; "))
}

/// `the other's: 241.75 mm`, `the square end: 704.00 mm`: from an end's base line to what it is measured to.
pub(crate) fn base_words(kind: &Kind, ends: &[PlannedEnd; 2], end: usize, units: Units) -> String {
    let (length, base_t, other) = (kind.piece.length_mm, ends[end].marks.base_t, 1 - end);
    let tip = length - base_t - kind.curve(other).lowest.0;
    let (to, apart) = if kind.is_square(other) {
        ("the square end", tip)
    } else if kind.is_marked(other) {
        match length - base_t - ends[other].marks.base_t {
            // On a short piece the two lines have passed each other.
            past if past < 0.0 => ("the other's, towards this cut", -past),
            apart => ("the other's", apart),
        }
    } else {
        ("the tip of the end that is cut already", tip)
    };
    format!("{to}: {}", units.show(apart))
}

/// Nearer than this to a side, round the tube, FRONT is on it, in millimetres.
const ON_IT_MM: f64 = 0.05;

/// How the ends of a piece are turned from each other; of one that is cut already where FRONT is found on it. None where there is
/// nothing to say.
pub(crate) fn clocking_words(kind: &Kind, units: Units) -> Option<String> {
    let is_there = |end: &usize| kind.piece.ends[*end].is_made && !kind.is_square(*end) && kind.is_marked(1 - end);
    match (0..2).find(is_there) {
        Some(end) => Some(front_of_made(&SIDES[end].to_uppercase(), kind.telling_side(end), units)),
        None => kind.told_twist_deg().map(twist_words),
    }
}

/// `END is cut already: FRONT is 66.32 mm round to the left of its longest side, that end up.`
pub(crate) fn front_of_made(which: &str, telling: Option<TellingSide>, units: Units) -> String {
    let Some(telling) = telling else {
        return format!("{which} is cut already: hold it where it goes to find FRONT on it.");
    };
    let (right_mm, side) = (
        telling.right_mm,
        if telling.is_longest { "longest" } else { "shortest" },
    );
    if right_mm.abs() < ON_IT_MM {
        return format!("{which} is cut already: FRONT is on its {side} side.");
    }
    let way = if right_mm > 0.0 { "left" } else { "right" };
    let round = units.show(right_mm.abs());
    format!("{which} is cut already: FRONT is {round} round to the {way} of its {side} side, that end up.")
}

/// What the ends of each piece are, for the terminal: as on its wraps.
pub(super) fn ends_of_pieces(job: &JobPlan, sheet: &SheetOptions) -> Vec<String> {
    let with_patterns = job.kinds.iter().filter(|kind| (0..2).any(|end| kind.is_marked(end)));
    let mut lines: Vec<String> = with_patterns
        .clone()
        .take(MOST_TOLD)
        .map(|kind| {
            let names = Kind::names(&job.assembly, kind.all.iter());
            let ends = ends_of_piece(&job.assembly, kind, sheet);
            format!("piece {}, {names}: {ends}", kind.number)
        })
        .collect();
    match with_patterns.count().saturating_sub(MOST_TOLD) {
        0 => {}
        more => lines.push(format!("the ends of {more} more pieces are told on their wraps")),
    }
    lines
}

/// `start set-on lower, FRONT to the far end; end ..; base line to the other's: 241.75 mm`.
pub(crate) fn ends_of_piece(assembly: &Assembly, kind: &Kind, sheet: &SheetOptions) -> String {
    let [start, end] = [0, 1].map(|end| end_words(assembly, kind, end, sheet.units));
    let from = match [0, 1].map(|end| kind.is_marked(end)) {
        [false, false] => None,
        [true, true] if kind.is_on_one_wrap() => None,
        [true, true] => Some((0, "base line")),
        [true, false] => Some((0, "start's base line")),
        [false, true] => Some((1, "end's base line")),
    };
    let base = match from {
        Some((end, from)) => {
            let to = base_words(kind, &piece_ends(kind, sheet), end, sheet.units);
            format!("; {from} to {to}")
        }
        None if kind.is_marked(0) && kind.is_marked(1) => "; one base line for both ends".to_owned(),
        None => String::new(),
    };
    let length = format!("; {} from tip to tip", sheet.units.show(kind.solved.tip_to_tip_mm));
    let clocking = clocking_words(kind, sheet.units).map_or_else(String::new, |words| format!(". {words}"));
    format!(
        "start {start}; end {end}{base}{length}{}",
        clocking.trim_end_matches('.')
    )
}

/// How far from lying on one of its sides a tube with sides must be turned for a flat cut, in degrees: the cut leans
/// towards its long side, and the saw's table is square to that or lies along it.
fn turned_on_saw(piece: &Piece, end: usize) -> Option<f64> {
    let frame = piece.near.frame;
    let long_side = piece.fronts[end].filter(|_| piece.near.tube.has_sides())?;
    let turn = long_side
        .dot(frame.right)
        .atan2(long_side.dot(frame.front))
        .to_degrees();
    let off = (turn - (turn / 90.0).round() * 90.0).abs();
    (off > 0.05).then_some(off)
}
