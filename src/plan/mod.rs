//! Everything that is known of a joint or of a whole job, as facts: figures without units or words. Solves nothing that
//! `solver` can be asked for, and draws nothing.

mod apart;
mod clash;
mod cut_list;
mod drain;
mod facets;
mod flat_skin;
mod hole;
mod if_round;
mod ligaments;
mod marks;
mod outline;
mod sticks;

pub use clash::{Clash, clashes};
pub use cut_list::{CutList, CutRow, StickRow};
pub use drain::{Drain, solve_drains};
pub use facets::{FacetStudy, Outcome};
pub use if_round::IfRound;
pub use marks::{CROWN_LINES, Marks, Station};
pub use sticks::{Stick, StickPlan, plan_sticks};

pub(crate) use flat_skin::FlatSkin;
pub(crate) use hole::{LIKE_MM, PlacedHole};
pub(crate) use ligaments::with_ligaments;
pub(crate) use outline::polyline;
