//! Inches or millimetres.

use crate::problem::{Problem, quoted};

/// Millimetres in an inch, exactly (US Federal Register, 1959).
pub const MM_PER_INCH: f64 = 25.4;

/// The units in which bare numbers are read or results told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Units {
    /// Inches, told to such a fraction.
    Inches(Fractions),
    /// Millimetres.
    Millimetres,
}

/// The finest part of an inch that is told as a fraction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Fractions {
    /// 1/16.
    Sixteenths,
    /// 1/32.
    #[default]
    ThirtySeconds,
    /// 1/64.
    SixtyFourths,
}

impl Fractions {
    /// All of them, with their words.
    pub const ALL: [(&'static str, Self); 3] = [
        ("16", Self::Sixteenths),
        ("32", Self::ThirtySeconds),
        ("64", Self::SixtyFourths),
    ];

    /// How many there are in an inch.
    pub fn in_an_inch(self) -> u32 {
        match self {
            Self::Sixteenths => 16,
            Self::ThirtySeconds => 32,
            Self::SixtyFourths => 64,
        }
    }
}

impl Units {
    /// Inches with the usual fractions.
    pub const INCHES: Self = Self::Inches(Fractions::ThirtySeconds);

    /// What they are called, letter case and a full stop behind it aside.
    pub const WORDS: [(&'static str, Self); 9] = [
        ("mm", Self::Millimetres),
        ("in", Self::INCHES),
        ("inch", Self::INCHES),
        ("inches", Self::INCHES),
        ("\"", Self::INCHES),
        ("millimetre", Self::Millimetres),
        ("millimetres", Self::Millimetres),
        ("millimeter", Self::Millimetres),
        ("millimeters", Self::Millimetres),
    ];

    /// Reads one of the words.
    ///
    /// # Errors
    /// Any other word.
    pub fn parse(text: &str) -> Result<Self, Problem> {
        let word = text.trim().trim_end_matches('.');
        match Self::WORDS.iter().find(|(known, _)| known.eq_ignore_ascii_case(word)) {
            Some((_, units)) => Ok(*units),
            None => Err(Problem::new(format!(
                "{} is not a unit that bare numbers or results can be in",
                quoted(text)
            ))
            .help("use in or mm")),
        }
    }

    /// Inches told to these fractions; millimetres have none.
    #[must_use]
    pub fn to_fractions(self, fractions: Fractions) -> Self {
        match self {
            Self::Inches(_) => Self::Inches(fractions),
            Self::Millimetres => Self::Millimetres,
        }
    }

    /// One of two, as it is in millimetres or in inches.
    pub fn either<T>(self, millimetres: T, inches: T) -> T {
        match self {
            Self::Millimetres => millimetres,
            Self::Inches(_) => inches,
        }
    }

    /// The unit's name, for the head of a column.
    pub fn name(self) -> &'static str {
        self.either("mm", "in")
    }

    /// Its length in millimetres.
    pub fn mm(self) -> f64 {
        self.either(1.0, MM_PER_INCH)
    }
}
