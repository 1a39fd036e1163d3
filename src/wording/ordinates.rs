//! The ordinates of an end, for marking it by hand.

use crate::job::WhichEnd;
use crate::measure::{Units, decimals, show_angle};
use crate::plan::{CROWN_LINES, MarkedBy, Marks, MiterPlan, PlannedEnd, Station};
use crate::section::Profile;

/// A table of ordinates. Every end is marked alike: cut end up, from the front to the right.
#[derive(Debug, serde::Serialize)]
pub struct Ordinates {
    /// Whose they are.
    pub title: String,
    /// Of the columns: number, name of the line, how far round to the right, up, weld.
    pub heads: [String; 5],
    /// In order to the right.
    pub rows: Vec<[String; 5]>,
    /// How to use them.
    pub under: String,
}

/// Those of the end pieces and, where there are some, of the middle pieces.
pub(crate) fn of_miter(of: &MiterPlan, stations: usize, units: Units) -> Vec<Ordinates> {
    let (joint, end) = (&of.joint, &of.end);
    let mut all = vec![ordinates_of_end("End pieces", end, units)];
    if let Some(length) = joint.middle_piece_mm().filter(|_| joint.pieces > 2) {
        let marks = Marks::from_base(length / 2.0, &end.end, &end.curve, WhichEnd::Near, stations);
        all.push(ordinates(
            "Middle pieces, both ends",
            &marks,
            Some(end),
            MarkedBy::Bends,
            units,
        ));
    }
    all
}

/// What the table of an end or a hole of this name is called.
pub(crate) fn by_hand(name: &str) -> String {
    format!("{name}: by hand")
}

/// Those of an end.
pub(crate) fn ordinates_of_end(name: &str, end: &PlannedEnd, units: Units) -> Ordinates {
    ordinates(name, &end.marks, Some(end), MarkedBy::Bends, units)
}

/// Those on an end's sheet, beside its wrap: fewer, so that both have room.
pub(crate) fn ordinates_beside_wrap(name: &str, end: &PlannedEnd, units: Units) -> Ordinates {
    ordinates(name, &end.marks, Some(end), MarkedBy::Folds, units)
}

/// The rows of some marks, each with how far it is round to the right, in order.
pub(super) fn placed_rows(marks: &Marks, by: MarkedBy, units: Units) -> Vec<(f64, [String; 5])> {
    let has_sides = !marks.folds.is_empty();
    let share = 360.0 / marks.stations.len() as f64;
    let is_one_of = |sides: &[Station], station: &Station| sides.iter().any(|side| is_at(side, station));
    let at_station = |station: &Station| {
        let crown = CROWN_LINES
            .iter()
            .find(|(_, azimuth)| (azimuth - station.azimuth_deg).abs() < 1e-9);
        let place = match crown {
            Some((crown, _)) => (*crown).to_owned(),
            None if is_one_of(&marks.folds, station) => FOLD.to_owned(),
            None if is_one_of(&marks.bends, station) => BEND.to_owned(),
            // Round a tube with sides degrees are not angles.
            None if has_sides => String::new(),
            None => show_angle(share * station.number as f64),
        };
        (station.right_mm, row(station, place, station.number.to_string(), units))
    };
    let named = |at: &Station, name: &str| (at.right_mm, row(at, name.to_owned(), "-".to_owned(), units));
    let mut places: Vec<(f64, [String; 5])> = marks.stations.iter().map(at_station).collect();
    let sides = marks.sides(by);
    let name = match sides == marks.folds {
        true => FOLD,
        false => BEND,
    };
    let between = sides.iter().filter(|side| !is_one_of(&marks.stations, side));
    places.extend(between.map(|side| named(side, name)));
    places.extend(marks.corners.iter().map(|corner| named(corner, "corner")));
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    places
}

/// The middle of a corner of a tube with sides, and where its round begins and ends.
const FOLD: &str = "fold";
const BEND: &str = "bend";

/// Those of some marks; how they are joined is told where they are of the curve `of` an end.
pub(crate) fn ordinates(name: &str, marks: &Marks, of: Option<&PlannedEnd>, by: MarkedBy, units: Units) -> Ordinates {
    let unit = units.name();
    let all = marks.stations.iter().chain(&marks.folds).chain(&marks.corners);
    let has_reflex = all.filter_map(|station| station.dihedral_deg).any(|weld| weld > 180.0);
    Ordinates {
        title: by_hand(name),
        heads: [
            "no.".to_owned(),
            String::new(),
            format!("round, {unit}"),
            format!("up, {unit}"),
            "weld".to_owned(),
        ],
        rows: placed_rows(marks, by, units).into_iter().map(|(_, row)| row).collect(),
        under: under(marks, of.map(|end| (end, by)), has_reflex, units),
    }
}

/// How the table is used. The tube's lines have the same names at both ends, so LEFT comes first to the right of FRONT at a far one.
fn under(marks: &Marks, of: Option<(&PlannedEnd, MarkedBy)>, has_reflex: bool, units: Units) -> String {
    /// Nobody marks more closely, in millimetres.
    const AS_MARKED: f64 = 0.1;
    /// What is told as 0 is not below it, in millimetres.
    const PAST: f64 = 0.005;
    let from_front = if is_far(marks) {
        "right from FRONT, to LEFT"
    } else {
        "right from FRONT"
    };
    let joined = of.map_or_else(String::new, |(end, by)| {
        let off = marks.straight_off_mm(end.end.tube.section.girth(), &end.curve, by);
        let told = units.show_enough(off);
        match by {
            _ if off < AS_MARKED => " Join them by straight lines.".to_owned(),
            _ if marks.folds.is_empty() => format!(" Join them smoothly: straight lines are up to {told} off."),
            MarkedBy::Bends => format!(" Join them by straight lines, up to {told} off."),
            // A smooth curve is no better round corners.
            MarkedBy::Folds => format!(" Straight lines are up to {told} off: rather use the wrap."),
        }
    });
    let is_past = marks
        .stations
        .iter()
        .chain(&marks.corners)
        .any(|mark| mark.from_base_mm < -PAST);
    let past = if is_past { ", below 0 down from it" } else { "" };
    let reflex = if has_reflex {
        "; over 180°: outside of a corner"
    } else {
        ""
    };
    format!("Cut end up. Round: {from_front}. Up: base line to cut{past}.{joined} Weld: between outer skins{reflex}.")
}

/// Whether a fold is at a station, as near as it is told.
fn is_at(fold: &Station, station: &Station) -> bool {
    const TOLD_MM: f64 = 0.005;
    (fold.right_mm - station.right_mm).abs() < TOLD_MM
}

/// Whether with the cut end up the line LEFT is to the right of the front.
fn is_far(marks: &Marks) -> bool {
    let right_of_front = |azimuth_deg: f64| {
        let mut stations = marks.stations.iter();
        stations.find(|station| (station.azimuth_deg - azimuth_deg).abs() < 1e-9)
    };
    let [right, left] = [90.0, 270.0].map(right_of_front);
    right
        .zip(left)
        .is_some_and(|(right, left)| left.right_mm < right.right_mm)
}

fn row(station: &Station, place: String, number: String, units: Units) -> [String; 5] {
    let weld = station.dihedral_deg;
    [
        number,
        place,
        units.show_bare(station.right_mm),
        units.show_bare(station.from_base_mm),
        weld.map_or_else(|| "-".to_owned(), |angle| format!("{}°", decimals(angle, 0))),
    ]
}
