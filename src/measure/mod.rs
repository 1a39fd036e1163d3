//! Numbers as a tape or a drawing says them, read and printed, and a pipe's name to its diameter.

mod angle;
mod length;
mod number;
mod rounded;
mod size;
mod tables;
mod tolerance;
mod tube_size;

pub use angle::{parse_angle, show_angle};
pub use length::{MM_PER_INCH, Units, parse_length, parse_share_of_od, show_sixty_fourths};
pub use rounded::{decimals, nearest_whole};
pub use size::{Size, parse_size};
pub use tables::{SizeRow, paper_size, paper_words, size_rows};
pub use tolerance::Tolerance;
pub use tube_size::{TubeSize, parse_tube_size};
