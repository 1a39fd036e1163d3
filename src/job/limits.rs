//! How much of anything a job may hold.

/// Letters of a name.
pub(crate) const LONGEST_NAME: usize = 60;
/// Letters of a job's title.
pub(crate) const LONGEST_TITLE: usize = 120;
/// Letters of a note that are printed.
pub(crate) const LONGEST_NOTE: usize = 400;
/// Letters of a line of one's own on the sheets.
pub(crate) const LONGEST_LABEL: usize = 60;
/// Tubes, all copies counted.
pub(crate) const MOST_TUBES: usize = 20_000;
/// Pieces, all corners and copies counted.
pub(crate) const MOST_PIECES: usize = 50_000;
/// Points of a path.
pub(crate) const MOST_POINTS: usize = 64;
/// Bodies.
pub(crate) const MOST_BODIES: usize = 500;
/// Strips to be kept off, or holes as found, of one body.
pub(crate) const MOST_ON_A_SKIN: usize = 48;
/// Bodies that one end is cut to, besides the one that it is on.
pub(crate) const MOST_ALSO: usize = 8;
/// Places at which a section is measured.
pub(crate) const MOST_PLACES: usize = 48;
/// Parts of a stack.
pub(crate) const MOST_PARTS: usize = 12;
