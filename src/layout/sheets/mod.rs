//! Panels on paper: arranged, clipped into tiles, framed and numbered; or without paper, for a cutter.

mod cutter;
mod fewest;
mod filling;
mod frame;
mod laid;
mod orders;
mod packing;
mod ruler;
mod stray;
mod tile;
mod way;

pub use cutter::cutter_drawings;
pub(super) use frame::rooms;
pub use laid::{Laid, Sheets, lay_out, lay_out_each};
pub use ruler::ruler_sheets;
