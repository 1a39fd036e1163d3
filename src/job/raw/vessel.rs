//! What a job file says of vessels: sections that are not round, stacks, and places on them.

use super::Word;

/// A place in space.
#[derive(Debug, Clone, PartialEq, Eq)]
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

/// A place on a stack, or over it, or beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnStack {
    /// The object as a whole.
    pub here: Word,
    /// The stack's name.
    pub stack: Option<Word>,
    /// The name of one of its parts; none for the whole.
    pub part: Option<Word>,
    /// `bottom`, `top` or `parting`.
    pub place: Option<Word>,
    /// Over it: a length.
    pub above: Option<Word>,
    /// Sideways from the stack's middle: two lengths.
    pub aside: Option<[Word; 2]>,
}

/// What was measured of a section that is not round.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// The object as a whole.
    pub here: Word,
    /// Two diameters square to each other.
    pub oval: Option<[Word; 2]>,
    /// Where the first of them is, round from the zero line: a length, or degrees.
    pub at: Option<Word>,
    /// Diameters at places round the girth.
    pub diameters: Option<Vec<Measured>>,
    /// How far places round the girth stand out of a true circle.
    pub offsets: Option<Vec<Measured>>,
}

/// Something measured at a place round the girth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measured {
    /// Round from the zero line: a length, or degrees.
    pub at: Option<Word>,
    /// A length.
    pub value: Option<Word>,
}

/// A vessel stacked from parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stack {
    /// The object as a whole.
    pub here: Word,
    /// The height that there is: a length.
    pub height: Option<Word>,
    /// The middle of its foot: three lengths.
    pub at: Option<[Word; 3]>,
    /// From the bottom up.
    pub parts: Vec<StackPart>,
    /// From the bottom up.
    pub on_top: Vec<OnTop>,
    /// Which of the ways to part it is built, 1 the closest.
    pub take: Option<Word>,
}

/// A part of a stack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StackPart {
    /// The object as a whole.
    pub here: Word,
    /// Within the stack.
    pub name: Option<Word>,
    /// Before anything is cut: a length.
    pub height: Option<Word>,
    /// Where it may be parted, over its bottom: lengths.
    pub part_at: Vec<Word>,
    /// `true` or `false`: whether it must be parted.
    pub must_part: Option<Word>,
    /// `bottom` or `top`.
    pub stays: Option<Word>,
    /// Into the part below: a length.
    pub nests: Option<Word>,
}

/// What goes on top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnTop {
    /// A lid, a ring.
    pub what: Option<Word>,
    /// What it adds: a length.
    pub height: Option<Word>,
}
