//! What a job file says of vessels: sections that are not round, stacks, and places on them. The descriptions of fields are
//! those of the JSON Schema.

use schemars::JsonSchema;

use super::Word;
use super::said::Name;
use crate::job::limits::{MOST_PARTS, MOST_PLACES};

/// A place in space: three lengths; or a place on a stack.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
#[schemars(untagged)]
pub enum Spot {
    /// Three lengths.
    At(Box<[Word; 3]>),
    /// Over a place on a stack.
    OnStack(Box<OnStack>),
}

impl Spot {
    /// The word to name where the place as a whole is wrong.
    pub fn word(&self) -> &Word {
        match self {
            Self::At(words) => &words[0],
            Self::OnStack(on) => &on.here,
        }
    }
}

/// A place on a stack, or over it, or beside it: the bottom or top of a part or of the whole, or a part's parting, which is
/// its end that doesn't stay.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct OnStack {
    /// The object as a whole.
    #[schemars(skip)]
    pub here: Word,
    /// The stack's name.
    #[schemars(with = "Word")]
    pub stack: Option<Word>,
    /// The name of one of its parts; none for the whole.
    pub part: Option<Word>,
    /// Which of its places.
    #[schemars(with = "Word", extend("enum" = ["bottom", "top", "parting"]))]
    pub place: Option<Word>,
    /// So far over it; below where negative.
    pub above: Option<Word>,
    /// Sideways from the stack's middle: x, y.
    pub aside: Option<[Word; 2]>,
}

/// What was measured of a section that is not round.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Section {
    /// The object as a whole.
    #[schemars(skip)]
    pub here: Word,
    /// An ellipse: its two diameters, square to each other.
    pub oval: Option<[Word; 2]>,
    /// Of an oval: where its first diameter is, round from the zero line: a length along the skin, or degrees about the axis
    /// such as "30deg"; 0 by default.
    pub at: Option<Word>,
    /// 2 or more, through the axis, from each place to the one straight across; between the places the radius is a periodic
    /// cubic spline over the angle about the axis.
    #[schemars(extend("minItems" = 2, "maxItems" = MOST_PLACES))]
    pub diameters: Option<Vec<Diameter>>,
    /// 3 or more: how far the skin stands out of a true circle about the axis, below 0 where it stands in; the circle is as
    /// large as gives the section the girth of "size"; spline as for diameters.
    #[schemars(extend("minItems" = 3, "maxItems" = MOST_PLACES))]
    pub offsets: Option<Vec<Offset>>,
}

/// A diameter at a place round the girth.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Diameter {
    /// Round from the zero line: a length along the skin, or degrees about the axis such as "30deg".
    #[schemars(with = "Word")]
    pub at: Option<Word>,
    /// The diameter there.
    #[schemars(with = "Word")]
    pub across: Option<Word>,
}

/// How far the skin stands out at a place round the girth.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Offset {
    /// Round from the zero line: a length along the skin, or degrees about the axis such as "30deg".
    #[schemars(with = "Word")]
    pub at: Option<Word>,
    /// Out of the circle.
    #[schemars(with = "Word")]
    pub out: Option<Word>,
}

/// A vessel stacked from parts.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct Stack {
    /// The object as a whole.
    #[schemars(skip)]
    pub here: Word,
    /// The height that there is, over the foot.
    #[schemars(with = "Word")]
    pub height: Option<Word>,
    /// The middle of its foot; [0, 0, 0] by default. It stands upright, along z.
    pub at: Option<[Word; 3]>,
    /// From the bottom up, 1 to 12.
    #[schemars(extend("minItems" = 1, "maxItems" = MOST_PARTS))]
    pub parts: Vec<StackPart>,
    /// From the bottom up.
    #[schemars(with = "Option<Vec<OnTop>>")]
    pub on_top: Vec<OnTop>,
    /// Which of the ways to part it is built, 1 by default: the closest that doesn't go over.
    pub take: Option<Word>,
}

/// A part of a stack.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct StackPart {
    /// The object as a whole.
    #[schemars(skip)]
    pub here: Word,
    /// Within the stack.
    #[schemars(with = "Name")]
    pub name: Option<Word>,
    /// Before anything is cut.
    #[schemars(with = "Word")]
    pub height: Option<Word>,
    /// Where it may be parted: heights over its bottom, as it stands.
    #[schemars(with = "Option<Vec<Word>>")]
    pub part_at: Vec<Word>,
    /// Whether it can't be left whole; false by default.
    #[schemars(with = "Option<bool>")]
    pub must_part: Option<Word>,
    /// Which end of it is kept when it is parted; both are tried where nothing is said.
    #[schemars(extend("enum" = ["bottom", "top"]))]
    pub stays: Option<Word>,
    /// How far it goes into the part below; 0 by default, and none for the lowest.
    pub nests: Option<Word>,
}

/// What goes on top.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
pub struct OnTop {
    /// A lid, a ring.
    #[schemars(with = "Name")]
    pub what: Option<Word>,
    /// What it adds.
    #[schemars(with = "Word")]
    pub height: Option<Word>,
}
