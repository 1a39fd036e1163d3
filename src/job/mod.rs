//! What is to be made: as typed, then resolved.
//!
//! [`raw`] holds the words as they were typed, each with its place; [`resolve`] alone turns them into
//! things, and reports every problem that it finds on the way. The rest are those things.

mod assembly;
mod end;
mod frame;
mod front_on;
mod fronts;
mod joint;
mod paper;
mod path_shape;
pub mod raw;
pub mod read;
pub mod resolve;
mod stack;
mod tube;

pub use assembly::{
    Assembly, BodyInSpace, DrainAsk, Ending, Extent, FlatSkins, HoleInBody, IfRound, PartingLine, Piece, SkinFrom,
    StockTube, Surface, TubeEnd, TubeInSpace,
};
pub use end::{Drilling, End, Join, Skin, Touch};
pub use frame::{COMPUTED, Frame, TYPED, across, usual_zero};
pub use front_on::FrontOn;
pub use joint::{Facets, Miter, Saddle};
pub use paper::{MARGIN_MM, Paper, SheetOptions};
pub use path_shape::{CentreLine, PathShape};
pub use stack::{Kept, Parted, Stack, StackPart, Stays, ways_to_part};
pub use tube::{Header, Tube};
