//! One end of a tube, and the hole that it needs.

use std::fmt;
use std::sync::Arc;

use super::{Frame, Tube};
use crate::body::{Body, Unroll};
use crate::section::Section;

/// Which end of a piece of tube.
///
/// The azimuths of a piece are those of its near end, and grow to the right with that cut end up. With the far end's up, in its
/// own frame, they run the other way round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhichEnd {
    /// Where the piece begins.
    Near,
    /// Where it ends.
    Far,
}

impl WhichEnd {
    /// Both, in the order of the ends of a piece.
    pub const BOTH: [Self; 2] = [Self::Near, Self::Far];

    /// An azimuth of the piece in this end's own frame, or one of that frame as the piece counts it; in either unit, of any turn.
    #[must_use]
    pub fn turned(self, azimuth: f64) -> f64 {
        match self {
            Self::Near => azimuth,
            Self::Far => -azimuth,
        }
    }
}

/// Which part of the wall the mark on the outer skin stands for (DEVELOPERS.md, "Geometry").
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touch {
    /// The first part of the wall to reach the body just touches.
    Wall,
    /// The outer skin: for an end bevelled to a knife edge there, for foil, and for flat saw cuts,
    /// which go straight through the wall.
    Outside,
    /// The bore, as in handbooks.
    Inside,
}

impl Touch {
    /// The word for it on the command line and in the report.
    pub fn word(self) -> &'static str {
        match self {
            Self::Wall => "wall",
            Self::Outside => "outside",
            Self::Inside => "inside",
        }
    }
}

/// How a branch joins its header.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Join {
    /// It sits on the outer skin; the hole matches the bore.
    SetOn,
    /// It passes through the hole and ends at the inner skin.
    SetIn,
}

impl Join {
    /// The word for it on the command line and in the report.
    pub fn word(self) -> &'static str {
        match self {
            Self::SetOn => "set-on",
            Self::SetIn => "set-in",
        }
    }
}

/// No clearance is wider, on the radius, in millimetres.
pub(crate) const MOST_CLEARANCE_MM: f64 = 25.0;

/// A tube's end and what it lands on, both in one space.
#[derive(Clone)]
pub struct End {
    /// The tube.
    pub tube: Tube,
    /// Where the tube lies.
    pub frame: Frame,
    /// What the cut must fit.
    pub landing: Arc<dyn Body + Send + Sync>,
    /// The skin across the weld; the same as `landing` but for a set-in end.
    pub weld_skin: Arc<dyn Body + Send + Sync>,
    /// Whether the tube's mirror image stands beyond `weld_skin`, as at a miter.
    pub is_mirrored: bool,
    /// Which part of the wall decides.
    pub touch: Touch,
    /// How far `landing` lies outside the body's skin, in millimetres: the root gap, 0 where none was asked for.
    pub root_gap_mm: f64,
}

impl fmt::Debug for End {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_struct("End")
            .field("tube", &self.tube)
            .field("frame", &self.frame)
            .field("touch", &self.touch)
            .finish_non_exhaustive()
    }
}

/// A skin that a line can meet and that can be laid flat.
pub trait Skin: Body + Unroll + Send + Sync {}
impl<T: Body + Unroll + Send + Sync> Skin for T {}

/// A hole along a tube's axis through a body's wall.
#[derive(Clone)]
pub struct Drilling {
    /// Where the tube lies.
    pub frame: Frame,
    /// What has to pass.
    pub section: Section,
    /// The body's outer skin, on which the outline is drawn.
    pub outer: Arc<dyn Skin>,
    /// For a set-in tube: the inner skin, and how far it lies below the outer one, in millimetres.
    pub inner: Option<(Arc<dyn Skin>, f64)>,
    /// What else the tube's end is cut to: where the tube meets one of these first, nothing is cut out.
    pub others: Vec<Arc<dyn Body + Send + Sync>>,
}
