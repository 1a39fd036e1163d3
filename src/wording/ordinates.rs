//! The ordinates of an end, for marking it by hand.

use crate::job::WhichEnd;
use crate::measure::{Units, decimals, show_angle};
use crate::plan::{CROWN_LINES, Marks, MiterPlan, PlannedEnd, Station};
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
        all.push(ordinates("Middle pieces, both ends", &marks, Some(end), units));
    }
    all
}

/// What the table of an end or a hole of this name is called.
pub(crate) fn by_hand(name: &str) -> String {
    format!("{name}: by hand")
}

/// Those of an end.
pub(crate) fn ordinates_of_end(name: &str, end: &PlannedEnd, units: Units) -> Ordinates {
    ordinates(name, &end.marks, Some(end), units)
}

/// Those of some marks; how they are joined is told where they are of the curve `of` an end.
pub(crate) fn ordinates(name: &str, marks: &Marks, of: Option<&PlannedEnd>, units: Units) -> Ordinates {
    let has_sides = !marks.folds.is_empty();
    let share = 360.0 / marks.stations.len() as f64;
    let at_station = |station: &Station| {
        let crown = CROWN_LINES
            .iter()
            .find(|(_, azimuth)| (azimuth - station.azimuth_deg).abs() < 1e-9);
        let place = match crown {
            Some((crown, _)) => (*crown).to_owned(),
            None if marks.folds.iter().any(|fold| is_at(fold, station)) => "fold".to_owned(),
            // Round a tube with sides degrees are not angles.
            None if has_sides => String::new(),
            None => show_angle(share * station.number as f64),
        };
        (station.right_mm, row(station, place, station.number.to_string(), units))
    };
    let at_fold = |fold: &Station| (fold.right_mm, row(fold, "fold".to_owned(), "-".to_owned(), units));
    let mut places: Vec<(f64, [String; 5])> = marks.stations.iter().map(at_station).collect();
    let between = |fold: &&Station| !marks.stations.iter().any(|station| is_at(fold, station));
    places.extend(marks.folds.iter().filter(between).map(at_fold));
    let at_corner = |corner: &Station| (corner.right_mm, row(corner, "corner".to_owned(), "-".to_owned(), units));
    places.extend(marks.corners.iter().map(at_corner));
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
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
        rows: places.into_iter().map(|(_, row)| row).collect(),
        under: under(marks, of, has_reflex, units),
    }
}

/// How the table is used. The tube's lines have the same names at both ends, so LEFT comes first to the right of FRONT at a far one.
fn under(marks: &Marks, of: Option<&PlannedEnd>, has_reflex: bool, units: Units) -> String {
    /// Nobody marks more closely, in millimetres.
    const AS_MARKED: f64 = 0.1;
    let from_front = if is_far(marks) {
        "right from FRONT, to LEFT"
    } else {
        "right from FRONT"
    };
    let joined = of.map_or_else(String::new, |end| {
        match marks.straight_off_mm(end.end.tube.section.girth(), &end.curve) {
            off if off < AS_MARKED => " Join them by straight lines.".to_owned(),
            off => format!(
                " Join them smoothly: straight lines are up to {} off.",
                units.show_enough(off)
            ),
        }
    });
    let reflex = if has_reflex {
        "; over 180°: outside of a corner"
    } else {
        ""
    };
    format!("Cut end up. Round: {from_front}. Up: base line to cut.{joined} Weld: between outer skins{reflex}.")
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
