//! Corners at which a tube turns back on itself.

use std::collections::BTreeSet;

use crate::job::Assembly;

/// Tubes that turn by more double back, in degrees.
const DOUBLES_BACK_DEG: f64 = 120.0;

/// Legs that turn by less go straight on, in degrees.
const STRAIGHT_DEG: f64 = 1e-3;

/// A corner of a tube.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Turn {
    /// The name that its copies share.
    pub(crate) tube: String,
    /// Which of its corners, from 1.
    pub(crate) corner: usize,
    /// By how much the centre line turns there, in degrees.
    pub(crate) degrees: f64,
}

/// Where tubes double back; copies are told once.
pub(super) fn doubled_back(assembly: &Assembly) -> Vec<Turn> {
    let mut known = BTreeSet::new();
    let mut found = Vec::new();
    for tube in &assembly.tubes {
        if !known.insert(tube.shared_name.as_str()) {
            continue;
        }
        let turns = tube.nodes.windows(3).map(|three| {
            let turn = (three[1] - three[0]).angle_between(three[2] - three[1]);
            turn.to_degrees()
        });
        // A coupling is no corner.
        let corners = turns.filter(|degrees| *degrees > STRAIGHT_DEG).enumerate();
        let back = corners.filter(|(_, degrees)| *degrees > DOUBLES_BACK_DEG);
        found.extend(back.map(|(index, degrees)| Turn {
            tube: tube.shared_name.clone(),
            corner: index + 1,
            degrees,
        }));
    }
    found
}
