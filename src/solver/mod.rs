//! Where a tube's wall meets what it lands on, as curves.
//!
//! A tube end is a bundle of straight lines along its wall. Each is asked where it first meets the
//! body; saddles, angled branches and miters are the same code with another body.

mod among;
mod best;
mod bowl;
mod compass;
mod cover;
mod covered;
mod crease;
mod cut;
mod ease;
mod extrema;
mod facet;
mod fit;
mod follow;
mod hole;
mod if_round;
mod line;
mod lip;
mod low;
mod offered;
mod piece;
mod polynomial;
mod recipe;
mod search;
mod seat;
mod table;
mod takeover;
mod touch;
mod trace;
mod tube_end;
mod weld;

pub use best::{best_recipe, best_single};
pub use compass::{Direction, compass_openings, compass_outline};
pub use cover::best_cuts;
pub use covered::{Opening, opening, opening_places};
pub use cut::{Corner, Cut, EndCurve};
pub use facet::{FacetedEnd, FlatCut, Gap, Round, Side, TakeOff, gap, round_off};
pub use fit::{Fitted, fit};
pub use hole::{HoleOutline, hole_outline, hole_places};
pub use if_round::{RoundGap, gap_if_round};
pub use lip::lowest_of_lip;
pub use offered::{Offered, OfferedGap};
pub use piece::{SolvedPiece, solve_piece};
pub use recipe::{Recipe, true_depth};
pub use trace::Part;
pub use tube_end::{cut_at, deciding_bodies, dihedral_deg, solve_end};
pub use weld::{Tight, Weld, weld};
