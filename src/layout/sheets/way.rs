//! The ways in which panels are put on sheets.

use super::stray::{PlacedEnd, is_stray};
use crate::layout::panel::{Panel, Role};

/// How far back among the sheets of the group before it a panel may go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Order {
    /// To its last sheet.
    Strict,
    /// To its first sheet: into gaps, but before nothing of an earlier group.
    Loose,
}

/// Which of its shapes a panel takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shaping {
    /// The one in which it is given.
    AsGiven,
    /// Another one rather than a new sheet.
    WhereNeeded,
    /// Of a pattern one of the others, so that what comes after it finds room; of a table the same as where needed.
    OthersFirst,
}

impl Shaping {
    /// A panel's shapes, the best one first.
    pub(super) fn shapes_of(self, panel: &Panel) -> Vec<&Panel> {
        let given = std::iter::once(panel);
        match (self, panel.role) {
            (Self::AsGiven, _) => given.collect(),
            (Self::OthersFirst, Role::Pattern) => panel.shapes.iter().chain(given).collect(),
            (Self::WhereNeeded | Self::OthersFirst, _) => given.chain(&panel.shapes).collect(),
        }
    }
}

/// What a panel of an end is put in its place with regard to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Care {
    /// A table where it can't be taken for another end's, and all in their order.
    Full,
    /// The same order, on the sheet of its own wrap.
    OwnSheet,
    /// What is of the start before what is of the end.
    Order,
    /// Where there is room.
    Nothing,
}

impl Care {
    pub(super) fn suits(self, placed: &[PlacedEnd], new: &PlacedEnd) -> bool {
        let is_in_order = |is_strict: bool| !placed.iter().any(|other| new.is_out_of_order_with(other, is_strict));
        match self {
            Self::Full => is_in_order(false) && !(new.is_table && is_stray(placed, new)),
            Self::OwnSheet => is_in_order(true) && placed.iter().any(|other| new.is_on_sheet_of(other)),
            Self::Order => is_in_order(true),
            Self::Nothing => true,
        }
    }
}

/// How the ends of pieces are kept apart and in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Apart {
    /// Rather in another shape or on a new sheet than before what comes first.
    Always,
    /// Where an open sheet has room for that.
    WhereRoom,
    /// Not at all.
    Never,
}

impl Apart {
    /// With how much care a panel of an end is put on the open sheets, the most first.
    pub(super) fn cares(self) -> &'static [Care] {
        match self {
            Self::Always => &[Care::Full, Care::OwnSheet, Care::Order],
            Self::WhereRoom => &[Care::Full, Care::OwnSheet, Care::Order, Care::Nothing],
            Self::Never => &[Care::Nothing],
        }
    }
}

/// How panels are put on sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Way {
    /// How far back they may go.
    pub(super) order: Order,
    /// Whether patterns are tried turned before upright.
    pub(super) turns_first: bool,
    /// Which of their shapes they take.
    pub(super) shaping: Shaping,
    /// How the ends of pieces are kept apart.
    pub(super) apart: Apart,
}

impl Way {
    /// In which things are found most easily: in order, as they are.
    pub(super) const PLAIN: Self = Self {
        order: Order::Strict,
        turns_first: false,
        shaping: Shaping::AsGiven,
        apart: Apart::WhereRoom,
    };
}
