//! What can be in the way of what, and which way a landing is moved to leave it.

use std::iter;

use crate::job::{Assembly, BodyInSpace};

/// What is in the way of what. Tubes and bodies are told by their places in the assembly's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum InTheWay {
    /// Two tubes.
    Tubes([usize; 2]),
    /// Two tubes that are one in the other: the same, made twice.
    SamePlace([usize; 2]),
    /// A tube, and a body that it doesn't land on.
    TubeAndBody {
        /// Which tube.
        tube: usize,
        /// Which body.
        body: usize,
    },
    /// Two tubes' holes in one body.
    Holes {
        /// The tubes that they are for.
        tubes: [usize; 2],
        /// What they are cut into.
        body: usize,
    },
    /// A tube's end, and what it comes over on the body that it lands on.
    Landing {
        /// Which tube.
        tube: usize,
        /// What it lands on.
        body: usize,
        /// What of it comes over.
        part: LandingPart,
        /// What it comes over.
        over: Over,
    },
}

impl InTheWay {
    /// The tubes that are in it.
    pub fn tubes(self) -> impl Iterator<Item = usize> {
        let (one, other) = match self {
            Self::Tubes([one, other]) | Self::SamePlace([one, other]) => (one, Some(other)),
            Self::Holes {
                tubes: [one, other], ..
            } => (one, Some(other)),
            Self::TubeAndBody { tube, .. } | Self::Landing { tube, .. } => (tube, None),
        };
        iter::once(one).chain(other)
    }

    /// The body that is in it, where one is.
    pub fn body(self) -> Option<usize> {
        match self {
            Self::Tubes(_) | Self::SamePlace(_) => None,
            Self::TubeAndBody { body, .. } | Self::Holes { body, .. } | Self::Landing { body, .. } => Some(body),
        }
    }

    /// The body on which a landing would have to be moved, where it is in the way there, by its place in the list.
    pub(crate) fn of_landing_on(self, assembly: &Assembly) -> Option<usize> {
        match self {
            Self::Landing { body, .. } | Self::Holes { body, .. } => Some(body),
            Self::TubeAndBody { body, .. } => assembly.bodies[body].of_body.map(|(on, _)| on),
            Self::Tubes(_) | Self::SamePlace(_) => None,
        }
    }

    /// The body on whose skin what is in it lies, where one is.
    pub fn on(self, assembly: &Assembly) -> Option<&BodyInSpace> {
        let body = &assembly.bodies[self.body()?];
        Some(body.of_body.map_or(body, |(on, _)| &assembly.bodies[on]))
    }

    /// The same whichever tubes are in it.
    pub(crate) fn of_any_tube(self) -> Self {
        match self {
            Self::Tubes(_) => Self::Tubes([0; 2]),
            Self::SamePlace(_) => Self::SamePlace([0; 2]),
            Self::TubeAndBody { body, .. } => Self::TubeAndBody { tube: 0, body },
            Self::Holes { body, .. } => Self::Holes { tubes: [0; 2], body },
            Self::Landing { body, part, over, .. } => Self::Landing {
                tube: 0,
                body,
                part,
                over,
            },
        }
    }
}

/// What of a tube's end comes over something on the skin that it lands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LandingPart {
    /// The hole for it.
    Hole,
    /// The wall of a tube that is set on.
    Wall,
    /// Both.
    HoleAndWall,
}

/// Which way over its body's skin a landing is moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Towards {
    /// To the end that tapes measure from; down a plate.
    NearEnd,
    /// To the other end; up a plate.
    FarEnd,
    /// As seen from outside with the far end up.
    Right,
    /// The other way.
    Left,
}

/// A move of a landing over its body's skin, by which it leaves all that it comes over there and comes over nothing else.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    /// The tube whose landing it is, by its place in the assembly's list. All copies of it are moved alike.
    pub tube: usize,
    /// Which way.
    pub towards: Towards,
    /// How far at least, over the skin, in millimetres.
    pub by_mm: f64,
    /// Whether the tube may be met otherwise there, so that it is only nearly so far.
    pub is_near: bool,
    /// How many things it clears.
    pub clears: usize,
}

/// What there is on a body's skin that a landing must not come over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Over {
    /// The body's end, or a plate's edge.
    End,
    /// The floor inside.
    Floor,
    /// What is to be kept off, by its place in the body's list.
    KeptOff(usize),
    /// A hole that the body has already, by its place in the body's list.
    Found(usize),
}
