//! The lip of a tube's bore, at the end as it is cut.

use glam::DVec3;

use super::extrema::highest;
use super::tube_end::cut_at;
use crate::job::End;

/// The lowest place of the bore's lip, measured from `from` along the unit vector `upwards`, in millimetres. `None` where a
/// part of the wall misses the body.
pub fn lowest_of_lip(end: &End, from: DVec3, upwards: DVec3) -> Option<f64> {
    let depth = |azimuth: f64| {
        let wall = end.tube.wall_line(azimuth);
        let across = end.frame.across(wall.origin) + wall.inner * end.frame.outward(wall.facing);
        let place = end.frame.origin + across + cut_at(end, azimuth)?.t * end.frame.axis;
        Some((from - place).dot(upwards))
    };
    highest(depth).map(|(deepest, _)| -deepest)
}
