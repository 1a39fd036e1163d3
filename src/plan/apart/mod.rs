//! How far tubes are from each other and from bodies, all taken as they are: tubes as they are cut, bodies solid.

mod between;
mod convex;
mod cut_tube;
mod obstacle;
mod overlap;

pub(super) use between::{Between, MEETING, Other, between};
pub(super) use cut_tube::{CutTube, stretches};
pub(super) use obstacle::Obstacle;
pub(super) use overlap::deepest;
