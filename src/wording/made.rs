//! What is said of ends and holes that are there already.

use super::node::listed;
use crate::plan::JobPlan;

/// No more are told by name.
const MOST_TOLD: usize = 8;

/// `the hole for riser in drum`, `riser, its start`: whatever is cut already.
pub(crate) fn made_already(job: &JobPlan) -> Vec<String> {
    let tubes = &job.assembly.tubes;
    let ends = tubes.iter().flat_map(|tube| {
        let sides = tube.made.iter().zip(["start", "end"]);
        sides
            .filter(|(made, _)| made.end)
            .map(|(_, side)| format!("{}, its {side}", tube.name))
    });
    let holes = job.holes.iter().filter(|hole| hole.hole.is_made).map(|hole| {
        let body = &job.assembly.bodies[hole.hole.body].name;
        format!("the hole for {} in {body}", hole.hole.tube)
    });
    let compass = job.compass_holes.iter().filter(|hole| hole.is_made);
    let compass = compass.map(|hole| format!("the hole for {} in {}", hole.tube, hole.body[0]));
    ends.chain(holes).chain(compass).collect()
}

/// That nothing is printed for them.
pub(super) fn notes(job: &JobPlan) -> Option<String> {
    let mut all = made_already(job);
    if all.is_empty() {
        return None;
    }
    if all.len() > MOST_TOLD {
        let more = all.len() - MOST_TOLD + 1;
        all.truncate(MOST_TOLD - 1);
        all.push(format!("{more} more"));
    }
    Some(format!("made already, so that no pattern is printed: {}", listed(&all)))
}
