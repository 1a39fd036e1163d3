//! What is said of holes that are marked by compass.

use std::collections::HashMap;

use super::copies::of_copies;
use super::node::listed;
use crate::job::{Seam, TubeInSpace};
use crate::measure::{Units, show_angle};
use crate::plan::{CompassHole, Direction, JobPlan};

/// A hole's table of compass openings.
pub(crate) struct CompassTable {
    /// Which hole.
    pub(crate) title: String,
    /// Of the columns: number, from the zero line, from the line to the apex, opening.
    pub(crate) heads: [String; 4],
    /// In order to the right.
    pub(crate) rows: Vec<[String; 4]>,
    /// How to use them.
    pub(crate) under: String,
}

/// That some holes have no pattern.
pub(super) fn notes(job: &JobPlan) -> Option<String> {
    let tubes = job.assembly.tubes.iter().map(|tube| (tube.name.as_str(), tube));
    let tubes: HashMap<&str, &TubeInSpace> = tubes.collect();
    let of_tubes = job.compass_holes.iter().filter(|hole| !hole.is_made);
    let of_tubes = of_tubes.filter_map(|hole| Some((*tubes.get(hole.tube.as_str())?, &hole.body[0])));
    let holes = of_copies(of_tubes.clone(), |name, _, body| vec![format!("{name} in {body}")]);
    let marked = match of_tubes.count() {
        0 => return None,
        1 => "hole for {} is marked with a compass, from its table",
        _ => "holes for {} are marked with a compass, from their tables",
    };
    Some(format!(
        "no paper lies flat on a ball or a dished head: the {}",
        marked.replace("{}", &listed(&holes))
    ))
}

/// The heading of a hole.
pub(crate) fn compass_title(hole: &CompassHole) -> String {
    format!("HOLE in {} for {} ({}): by compass", hole.body[0], hole.tube, hole.end)
}

/// Where its middle is, how it joins.
pub(crate) fn compass_place(hole: &CompassHole, units: Units) -> Vec<String> {
    let CompassHole { apex, .. } = hole;
    let clearance = if hole.clearance_mm > 0.0 {
        format!(", clearance {}", units.show_given(hole.clearance_mm))
    } else {
        String::new()
    };
    let rim = if *apex == "apex" { "the rim" } else { "the widest place" };
    let middle = if hole.along_mm.abs() < 0.005 {
        format!("MIDDLE: the {apex} itself.")
    } else {
        let round = match rim_words(hole, units) {
            None => format!("on the zero line at {rim}"),
            Some(words) => format!("on {rim} {words} of the zero line as seen from outside with the {apex} up"),
        };
        format!(
            "MIDDLE: lay a tape over the skin from the {apex} to a mark {round}; the middle is on it, {} from the {apex}. A compass reads {} from the {apex} to it.",
            units.show(hole.along_mm),
            units.show(hole.apex_opening_mm)
        )
    };
    let size = format!("{}; {}{clearance}.", hole.body[1], hole.join.word());
    let seam = hole.over_seam.as_ref();
    let seam = seam.map(|seam| {
        format!(
            "It reaches over the seam: {} Mark it when both are joined.",
            seam_words(seam, units)
        )
    });
    [Some(size), Some(middle), front(hole), seam]
        .into_iter()
        .flatten()
        .collect()
}

/// Where a head ends and its vessel goes on.
pub(crate) fn seam_words(seam: &Seam, units: Units) -> String {
    format!(
        "SEAM to {}: {} over the skin from the apex.",
        seam.name,
        units.show(seam.along_mm)
    )
}

/// That tubes reach over seams.
pub(super) fn seam_note(job: &JobPlan) -> Option<String> {
    let tubes = job.assembly.tubes.iter().map(|tube| (tube.name.as_str(), tube));
    let tubes: HashMap<&str, &TubeInSpace> = tubes.collect();
    let over = job.compass_holes.iter().filter(|hole| !hole.is_made);
    let over = over.filter_map(|hole| Some((*tubes.get(hole.tube.as_str())?, hole.over_seam.as_ref()?, &hole.body[0])));
    let over = over.map(|(tube, seam, head)| (tube, format!("from {} over the seam to {}", head, seam.name)));
    let over = of_copies(over, |name, _, seam| vec![format!("{name} {seam}")]);
    (!over.is_empty()).then(|| {
        format!(
            "these reach over a seam: {}; join drum and head first, each hole is marked on both from the head's apex",
            listed(&over)
        )
    })
}

/// Which way the tube's FRONT line stands, from the line that is drawn first.
fn front(hole: &CompassHole) -> Option<String> {
    let front = hole.front_deg?;
    let (from, line) = match hole.apex_deg {
        Some(apex) => (apex, format!("the line to the {}", hole.apex)),
        None => (0.0, "the line to the zero line's mark".to_owned()),
    };
    Some(match turned(front - from) {
        (turn, _) if turn < 0.05 => format!("FRONT of the tube: on {line}."),
        (turn, _) if turn > 179.95 => format!("FRONT of the tube: straight away from {line}."),
        (turn, side) => format!("FRONT of the tube: {} to the {side} of {line}.", show_angle(turn)),
    })
}

/// How far something is turned either way, 0 to 180 degrees, and to which side.
fn turned(degrees: f64) -> (f64, &'static str) {
    match degrees.rem_euclid(360.0) {
        right if right <= 180.0 => (right, "right"),
        right => (360.0 - right, "left"),
    }
}

/// A direction as it is shown: what rounds to a whole turn is none.
fn shown(degrees: f64) -> String {
    let whole = show_angle(360.0);
    match show_angle(degrees.rem_euclid(360.0)) {
        turn if turn == whole => show_angle(0.0),
        turn => turn,
    }
}

/// Where the directions are counted from, in the skin.
fn zero(hole: &CompassHole) -> String {
    let Some(apex) = hole.apex_deg else {
        let rim = if hole.apex == "apex" {
            "the rim"
        } else {
            "the widest place"
        };
        return format!("Zero is the line to the zero line's mark on {rim}.");
    };
    let zero = match turned(-apex) {
        (turn, _) if turn < 0.05 => "is the same line".to_owned(),
        (turn, _) if turn > 179.95 => "is straight away from it".to_owned(),
        (turn, side) => format!("is {} to the {side} of it", show_angle(turn)),
    };
    format!("Draw the line to the {} first; zero {zero}.", hole.apex)
}

/// `85.00 mm (16.2°) to the right`, from the zero line round the rim; none where it is on that line.
pub(crate) fn rim_words(hole: &CompassHole, units: Units) -> Option<String> {
    let side = if hole.rim_mm < 0.0 { "left" } else { "right" };
    (hole.rim_mm.abs() >= 0.005).then(|| {
        format!(
            "{} ({}) to the {side}",
            units.show(hole.rim_mm.abs()),
            show_angle(hole.round_deg.abs())
        )
    })
}

/// Its openings at the stations.
pub(crate) fn compass_table(hole: &CompassHole, units: Units) -> CompassTable {
    let row = |(number, direction): (usize, &Direction)| {
        let degrees = direction.angle.to_degrees();
        let from_apex = hole.apex_deg.map(|apex| degrees - apex);
        [
            number.to_string(),
            shown(degrees),
            from_apex.map_or_else(|| "-".to_owned(), shown),
            if direction.is_covered {
                "covered".to_owned()
            } else {
                units.show_bare(direction.opening_mm)
            },
        ]
    };
    let covered = if hole.rows.iter().any(|direction| direction.is_covered) {
        format!(
            " Covered: there {} comes first; mark round its foot.",
            listed(&hole.covered_by)
        )
    } else {
        String::new()
    };
    CompassTable {
        title: format!("{}: compass", hole.tube),
        heads: [
            "no.".to_owned(),
            "from zero".to_owned(),
            format!("from {}", hole.apex),
            format!("opening, {}", units.name()),
        ],
        rows: hole.rows.iter().enumerate().map(row).collect(),
        under: format!(
            "Compass point in the middle. Angles lie in the skin there and grow to the right as seen from outside. {} Opening: straight from point to point.{covered}",
            zero(hole)
        ),
    }
}
