//! Strips of a body's skin in which no hole may be: ribs, seams, lips, clamp rings.

/// Something on a body's skin that must be kept off.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepOff {
    /// What it is: "clamp ring".
    pub name: String,
    /// Where it is.
    pub strip: Strip,
    /// How far it stands out of the skin, in millimetres, 0 or more.
    pub out_mm: f64,
}

/// A strip of a skin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Strip {
    /// All round, from one place along the body to another, in millimetres from its end; on a plane from side to side,
    /// from its point up.
    Round([f64; 2]),
    /// All along.
    Along {
        /// Where its middle is: radians from the zero line; on a plane millimetres across.
        round: f64,
        /// In millimetres, along the skin.
        wide_mm: f64,
    },
}
