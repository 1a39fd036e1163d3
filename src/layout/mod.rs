//! Drawings in millimetres of what a plan holds: panels, and their arrangement on sheets. Computes no geometry of joints
//! and knows no file format.

mod base_line;
mod clip;
mod drawing;
mod end_from_above;
mod hatch;
mod label;
mod page;
mod panel;
pub mod panels;
mod picture;
mod polyline;
mod scenes;
mod sheets;
mod skin_map;
mod text;

pub use drawing::{Align, Drawing, Item, Layer, Move, Pen, Text};
pub use end_from_above::end_from_above;
pub use page::Sheet;
pub use panel::{Panel, Role};
pub use picture::{Eye, Look, Part, Seen, Sights};
pub use scenes::picture;
pub use sheets::{Laid, Sheets, cutter_drawings, lay_out, lay_out_each, ruler_sheets};
pub use skin_map::{SkinMap, SkinPart, skin_map};
