//! Numbers as a tape or a drawing says them, read and printed, and a pipe's name to its diameter.

mod angle;
mod doubted;
mod fall;
mod forms;
mod gauge;
mod length;
mod limits;
mod number;
mod rounded;
mod size;
mod tables;
mod told;
mod tolerance;
mod tube_size;
mod units;

pub use angle::{parse_angle, show_angle, show_angle_within};
pub use doubted::{doubted_length, doubted_unit};
pub use fall::parse_fall;
pub use length::{LONGEST, parse_length, parse_share_of_od};
pub use rounded::{decimals, nearest_whole, telling};
pub use size::{Size, parse_size};
pub use tables::{SizeRow, paper_size, paper_words, size_rows};
pub use told::without_noughts;
pub use tolerance::{SAME_MM, Tolerance};
pub use tube_size::{TubeSize, parse_tube_size};
pub use units::{Fractions, MM_PER_INCH, Units};
