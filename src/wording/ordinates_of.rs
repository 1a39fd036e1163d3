//! The ordinates of whatever single joint a plan is of.

use super::ordinates::{Ordinates, of_miter, ordinates_of_end};
use super::trial::ground_table;
use crate::plan::{Plan, Planned};

/// Those of all ends of a single joint, in the order of its sheets.
pub fn ordinates_of(plan: &Plan) -> Vec<Ordinates> {
    let units = plan.sheet.units;
    match &plan.of {
        Planned::Saddle(of) => vec![ordinates_of_end("Branch end", &of.end, units)],
        Planned::Facets(of) => vec![ordinates_of_end("Branch end", &of.end, units)],
        Planned::Miter(of) => of_miter(of, plan.sheet.stations, units),
        Planned::Trial(of) => ground_table(of, units).into_iter().collect(),
        Planned::Job(_) => Vec::new(),
    }
}
