//! A hole's two measures as they are read at the vessel, from where one stands with the tape.

use crate::body::Development;
use crate::job::{BodyInSpace, TurnedOn, ZeroLine};
use crate::measure::{Units, show_angle};
use crate::plan::{CompassHole, PlacedHole};

/// Less than this off a line is on it, in millimetres.
const ON_THE_LINE: f64 = 5e-3;

/// What a tape is to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct TapeMeasure {
    /// `110.00 mm`, `4-5/16 in`.
    pub(crate) figure: String,
    /// The same otherwise: `4.331`, `18°`; often empty.
    pub(crate) beside: String,
    /// From where, and which way.
    pub(crate) words: String,
}

impl TapeMeasure {
    fn new(mm: f64, beside: &str, words: String, units: Units) -> Self {
        let shown = units.show(mm.abs());
        let (figure, decimal) = shown.split_once(" (").unwrap_or((&shown, ""));
        let beside = [decimal.trim_end_matches(')'), beside]
            .into_iter()
            .filter(|words| !words.is_empty());
        Self {
            figure: figure.to_owned(),
            beside: beside.collect::<Vec<_>>().join(", "),
            words,
        }
    }
}

/// From where the places in a table are measured on a body that is not flat, `to` what.
pub(crate) fn measured_from(body: &BodyInSpace, to: &str) -> String {
    let [near, far] = body.full_end_names();
    format!("Along: from the {near}. Right and left: from the zero line{to}, seen from outside with the {far} up.")
}

/// How a part of a stack is turned on the one under it.
pub(crate) fn turned_on_words(on: &TurnedOn, units: Units) -> String {
    /// No tape tells less, in degrees.
    const IN_LINE: f64 = 0.05;
    let TurnedOn {
        name,
        turned_deg,
        arc_mm,
    } = on;
    if turned_deg.abs() < IN_LINE {
        return format!("Its zero line is in line with that of {name}.");
    }
    let side = if *turned_deg < 0.0 { "left" } else { "right" };
    format!(
        "As the stack stands, its zero line is {} round {name} ({}) to the {side} of that one's, seen from outside.",
        units.show(arc_mm.abs()),
        show_angle(turned_deg.abs())
    )
}

/// Along the body first, then round it or across it.
pub(crate) fn tape_measures(hole: &PlacedHole, units: Units) -> [TapeMeasure; 2] {
    let datum = hole.datum.map(|datum| (hole.up_mm - datum.along_mm, datum.name()));
    let up_mm = datum.map_or(hole.up_mm, |(past, _)| past);
    let along = match hole.shape {
        _ if let Some((past, name)) = datum => {
            format!(
                "along, from {name} towards its {}",
                if past < 0.0 { "START" } else { "END" }
            )
        }
        Development::Plane => from_cross(hole.up_mm, ["up from the cross", "down from the cross"]),
        Development::Strip { .. } => format!("along, from the {}", hole.ends[0].to_lowercase()),
        Development::Sector { .. } => format!("along, the tape on the skin, from the {}", hole.ends[0].to_lowercase()),
    };
    let round = match hole.girth {
        None => from_cross(hole.round_mm, ["to the right of the cross", "to the left of the cross"]),
        Some(_) => from_zero_line(hole.round_mm, "round, on the skin", hole.zero_line),
    };
    let degrees = hole
        .girth
        .map_or_else(String::new, |_| show_angle(hole.round_deg().abs()));
    [
        TapeMeasure::new(up_mm, "", along, units),
        TapeMeasure::new(hole.round_mm, &degrees, round, units),
    ]
}

/// From the apex or pole over the skin, then round the rim.
pub(crate) fn compass_measures(hole: &CompassHole, units: Units) -> [TapeMeasure; 2] {
    let over = format!("over the skin, from the {}", hole.apex);
    let rim = if hole.apex == "apex" {
        "round, on the rim"
    } else {
        "round, on the widest place"
    };
    let degrees = show_angle(hole.round_deg.abs());
    [
        TapeMeasure::new(hole.along_mm, "", over, units),
        TapeMeasure::new(hole.rim_mm, &degrees, from_zero(hole.rim_mm, rim), units),
    ]
}

fn from_zero(mm: f64, how: &str) -> String {
    from_zero_line(mm, how, ZeroLine::OfBody)
}

fn from_zero_line(mm: f64, how: &str, zero: ZeroLine) -> String {
    let (line, side) = (zero.name(), zero.sides()[usize::from(mm < 0.0)]);
    match zero {
        _ if mm.abs() < ON_THE_LINE => format!("on {line}"),
        ZeroLine::OfBody => format!("{how}, to the {} of {line}", side.to_lowercase()),
        ZeroLine::Front => format!("{how}, from {line} towards its {side}"),
    }
}

fn from_cross(mm: f64, [more, less]: [&str; 2]) -> String {
    match mm {
        mm if mm.abs() < ON_THE_LINE => "on the cross".to_owned(),
        mm => (if mm < 0.0 { less } else { more }).to_owned(),
    }
}
