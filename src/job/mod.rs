//! What is to be made: as typed, then resolved.
//!
//! [`raw`] holds the words as they were typed, each with its place; [`resolve`] alone turns them into
//! things, and reports every problem that it finds on the way. The rest are those things.

mod assembly;
mod body;
pub mod edit;
mod end;
mod end_of_job;
mod found;
mod frame;
mod front_on;
mod fronts;
mod joint;
mod keep_off;
mod limits;
mod opening;
mod paper;
mod path_shape;
mod pieces;
pub mod raw;
pub mod read;
pub mod resolve;
mod round_hole;
pub mod schema;
mod seam;
mod stack;
pub mod starters;
mod trial;
mod tube;
mod weld;
mod zero_line;

pub use assembly::{Assembly, DrainRequest, Ending, MadeAlready, StockTube, TubeEnd, TubeInSpace};
pub use body::{
    BodyInSpace, FlatSkins, Grown, GrownPart, Lap, PartingLine, Seam, SkinFrom, SolidThing, Surface, TakenForRound,
    TurnedOn,
};
pub(crate) use end::MOST_CLEARANCE_MM;
pub use end::{Drilling, End, Join, Skin, Touch, WhichEnd};
pub use end_of_job::{EndOfJob, EndRequest};
pub use found::FoundHole;
pub use frame::{COMPUTED, Frame, TYPED, across, usual_zero};
pub use front_on::FrontOn;
pub(crate) use front_on::front_on_skin;
pub use joint::{Facets, FlatCuts, Miter, Saddle, SawCut};
pub use keep_off::{KeepOff, Strip};
pub use paper::{LeftOut, MARGIN_MM, Paper, SheetOptions};
pub use path_shape::{CentreLine, PathShape};
pub use pieces::{EndWords, HoleInBody, Piece};
pub use round_hole::RoundHole;
pub(crate) use seam::HEADS;
pub use stack::{Kept, NEAR_MISSES, Parted, Stack, StackPart, Stays, ways_to_part};
pub use trial::{Misfit, OfferedUp, Reading, Regrown, Thing, Trial, TrialOf};
pub use tube::{Header, Tube};
pub use weld::WeldSize;
pub use zero_line::ZeroLine;
