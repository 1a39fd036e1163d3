//! Ends that reach over the seam of a vessel.

use super::Reader;
use crate::job::{Assembly, Ending, TubeInSpace, raw};
use crate::problem::Problem;

/// A tube that reaches over the seam between a drum, on which it lands, and its head lands on the head, whose skin goes on as the drum's.
pub(super) fn over_seams(
    reader: &mut Reader,
    raw: &raw::Tube,
    copy: TubeInSpace,
    assembly: &Assembly,
) -> Option<TubeInSpace> {
    // A drain has yet to find its place.
    if copy.drain.is_some() {
        return Some(copy);
    }
    let mut landed = copy.clone();
    let points = [&raw.path[0], &raw.path[raw.path.len() - 1]];
    for ((end, point), ending) in copy.ends().iter().zip(points).zip([&mut landed.start, &mut landed.end]) {
        let reached = assembly.heads_reached(&copy, end);
        match (reached.as_slice(), ending) {
            ([head], Ending::Lands { body, .. }) => *body = *head,
            ([_, _, ..], Ending::Lands { body, .. }) => {
                let name = &assembly.bodies[*body].name;
                let problem = Problem::new(format!("this tube reaches over both seams of \"{name}\""))
                    .help("let it land on one of the heads, or take a smaller tube or a longer body");
                return reader.refused(&point.here, problem);
            }
            _ => {}
        }
    }
    Some(landed)
}
