//! Tubes that are told by their fall, and where they land.

use crate::job::{Assembly, ZeroLine};

/// Where a tube lands that falls to its last point.
#[derive(Debug, Clone, PartialEq)]
pub struct Fall {
    /// The tube's name, of copies the first one's.
    pub tube: String,
    /// Down over what it goes along the level; below 0 where it rises.
    pub share: f64,
    /// What it lands on, by name.
    pub body: String,
    /// From the body's end, in millimetres.
    pub along_mm: f64,
    /// From the zero line round the skin, to the right, in millimetres; across a plate.
    pub round_mm: f64,
    /// The same in degrees; none on a plate.
    pub round_deg: Option<f64>,
    /// What the end is called from which it is measured.
    pub end: &'static str,
    /// The line that it is measured round from.
    pub zero_line: ZeroLine,
}

/// Those of a job, copies once.
pub(super) fn falls(assembly: &Assembly) -> Vec<Fall> {
    let mut found: Vec<Fall> = Vec::new();
    let mut last_name = None;
    for tube in assembly.tubes.iter().filter(|tube| tube.falls_to_end) {
        if last_name == Some(&tube.shared_name) {
            continue;
        }
        last_name = Some(&tube.shared_name);
        let [_, end] = tube.ends();
        let Some(body) = end.body().map(|body| &assembly.bodies[body]) else {
            continue;
        };
        let leg = end.at - end.next;
        let (along_mm, round) = body.surface.place_of(end.at);
        let round_mm = body.surface.arc_of(along_mm, round);
        found.push(Fall {
            tube: tube.name.clone(),
            share: -leg.z / leg.truncate().length(),
            body: body.name.clone(),
            along_mm,
            round_mm,
            round_deg: (!body.outside.is_flat()).then(|| round.to_degrees()),
            end: body.end_names()[0],
            zero_line: body.zero_line,
        });
    }
    found
}
