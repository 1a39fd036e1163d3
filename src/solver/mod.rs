//! Where a tube's wall meets what it lands on, as curves.
//!
//! A tube end is a bundle of straight lines along its wall. Each is asked where it first meets the
//! body; saddles, angled branches and miters are the same code with another body.

mod crease;
mod fit;
mod hole;
mod line;
mod touch;
mod trace;
mod tube_end;

pub use fit::fit;
pub use hole::{HoleOutline, hole_outline};
pub use tube_end::{Cut, EndCurve, cut_at, dihedral_deg, solve_end};
