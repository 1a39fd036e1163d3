//! The line along a body from which places round it are told, and what is on its two sides.

/// What it is, and so what it is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ZeroLine {
    /// A body's own.
    OfBody,
    /// A tube's FRONT, which its wraps mark.
    Front,
}

impl ZeroLine {
    /// The line itself.
    pub fn name(self) -> &'static str {
        match self {
            Self::OfBody => "the zero line",
            Self::Front => "its FRONT line",
        }
    }

    /// What is to the right of it as seen from outside with the far end up, and what is to the left. A tube has its lines from
    /// the wraps: they are read with START up at its start, and so its LEFT is to the right with its end up.
    pub fn sides(self) -> [&'static str; 2] {
        match self {
            Self::OfBody => ["RIGHT", "LEFT"],
            Self::Front => ["LEFT", "RIGHT"],
        }
    }
}
