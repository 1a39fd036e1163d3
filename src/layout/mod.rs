//! Solved curves, unrolled and arranged on sheets, as drawings in millimetres. Computes no geometry of
//! joints and knows no file format.

mod chart;
mod clip;
mod cutter;
mod drawing;
mod filling;
mod frame;
mod hatch;
mod hole;
mod label;
pub mod pack;
mod packing;
mod page;
mod panel;
mod picture;
mod polyline;
mod ruler;
mod sheet;
mod table;
mod text;
mod tile;
mod wrap;

pub use cutter::cutter_drawing;
pub use drawing::{Align, Drawing, Item, Layer, Move, Pen, Text};
pub use page::Sheet;
pub use panel::{Panel, Role};
pub use ruler::ruler_sheets;
pub use sheet::{Laid, Sheets, lay_out, lay_out_each};
