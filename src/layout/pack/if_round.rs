//! How far off it would be to take a body for round that isn't: words, a table, the report.

use super::place_name;
use super::placed_hole::PlacedHole;
use crate::job::{Assembly, BodyInSpace, HoleInBody, TubeInSpace};
use crate::layout::Panel;
use crate::layout::table::rows_panel;
use crate::measure::Units;
use crate::section::Section;
use crate::solver::gap_if_round;

/// Rows of a table.
const ROWS: usize = 40;
/// Landings that a note names.
const NAMED: usize = 6;

/// What a landing would be like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum IfRound {
    /// The largest gap, in millimetres, and where on the tube's girth, in degrees.
    Gap {
        /// In millimetres.
        largest_mm: f64,
        /// On the piece's own girth scale.
        at_deg: f64,
    },
    /// A part of the wall would miss the round body.
    Misses,
}

impl IfRound {
    /// None where the body is round.
    pub(super) fn new(assembly: &Assembly, tube: &TubeInSpace, hole: &HoleInBody) -> Option<Self> {
        let (end, round) = assembly.end_if_round(tube, hole)?;
        // A far end's azimuths run the other way round.
        let runs = if hole.is_at_start { 1.0 } else { -1.0 };
        Some(gap_if_round(&end, round).map_or(Self::Misses, |gap| Self::Gap {
            largest_mm: gap.largest_mm,
            at_deg: (runs * gap.azimuth.to_degrees()).rem_euclid(360.0),
        }))
    }

    fn words(self, section: &Section, units: Units) -> [String; 2] {
        match self {
            Self::Gap { largest_mm, at_deg } => {
                let at = place_name(section, at_deg.to_radians(), units);
                [units.show(largest_mm), at]
            }
            Self::Misses => ["would not reach it".to_owned(), "-".to_owned()],
        }
    }
}

/// For each body that is out of round, what its landings would be like.
pub(super) fn notes(assembly: &Assembly, holes: &[PlacedHole], units: Units) -> Vec<String> {
    let of_body = |(index, body): (usize, &BodyInSpace)| {
        let here: Vec<String> = holes
            .iter()
            .filter(|hole| hole.hole.body == index)
            .filter_map(|hole| {
                let [gap, _] = hole.if_round?.words(&hole.hole.drilling.section, units);
                Some(format!("{} {gap}", hole.hole.tube))
            })
            .collect();
        let more = here.len().saturating_sub(NAMED);
        let more = if more > 0 {
            format!(", and {more} more")
        } else {
            String::new()
        };
        let named = &here[..here.len().min(NAMED)];
        (!here.is_empty()).then(|| {
            format!(
                "{} is {}. Taken for round it would leave gaps of up to: {}{more}",
                body.name,
                body.size,
                named.join(", ")
            )
        })
    };
    assembly.bodies.iter().enumerate().filter_map(of_body).collect()
}

/// The gaps at every landing on a body that is out of round.
pub(super) fn panels(body: &BodyInSpace, holes: &[&PlacedHole], units: Units) -> Vec<Panel> {
    let rows: Vec<[String; 3]> = holes
        .iter()
        .filter_map(|hole| {
            let [gap, at] = hole.if_round?.words(&hole.hole.drilling.section, units);
            Some([hole.hole.tube.clone(), gap, at])
        })
        .collect();
    let heads = ["tube", "largest gap", "at"].map(str::to_owned);
    let under = "Not to be marked: so far off an end would be that was cut for a true cylinder of this girth.";
    rows.chunks(ROWS)
        .map(|rows| rows_panel(&format!("If {} were taken for round", body.name), &heads, rows, under))
        .collect()
}
