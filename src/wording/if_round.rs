//! What is said of landings on a body that is out of round, were it taken for round.

use super::tube::place_name;
use crate::job::{Assembly, BodyInSpace};
use crate::measure::Units;
use crate::plan::{IfRound, PlacedHole};
use crate::section::Section;

/// Landings that a note names.
const NAMED: usize = 6;

/// How large the gap would be, and where.
pub(crate) fn words(if_round: IfRound, section: &Section, units: Units) -> [String; 2] {
    match if_round {
        IfRound::Gap { largest_mm, at_deg } => {
            let at = place_name(section, at_deg.to_radians(), units);
            [units.show(largest_mm), at]
        }
        IfRound::Misses => ["would not reach it".to_owned(), "-".to_owned()],
    }
}

/// For each body that is out of round, what its landings would be like.
pub(crate) fn notes(assembly: &Assembly, holes: &[PlacedHole], units: Units) -> Vec<String> {
    let of_body = |(index, body): (usize, &BodyInSpace)| {
        let here: Vec<String> = holes
            .iter()
            .filter(|hole| hole.hole.body == index)
            .filter_map(|hole| {
                let [gap, _] = words(hole.if_round?, &hole.hole.drilling.section, units);
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
                "{} is {}. If it were taken for round, the gaps would be up to: {}{more}",
                body.name,
                body.size,
                named.join(", ")
            )
        })
    };
    assembly.bodies.iter().enumerate().filter_map(of_body).collect()
}
