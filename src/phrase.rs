//! Words with lengths in them, of which nobody knows yet in which units they will be told.

use std::fmt;

/// Part of a phrase. Lengths are kept by their bits, so that equal phrases are found by their hashes.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
enum Part {
    Words(String),
    /// In millimetres.
    Length(u64),
    /// In millimetres, for a table's figure, which has no fraction.
    Decimal(u64),
}

/// A sentence or a part of one, whose lengths are told in a job's units once these are known.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub struct Phrase(Vec<Part>);

impl Phrase {
    /// Ends with these words.
    #[must_use]
    pub fn words(mut self, words: impl Into<String>) -> Self {
        self.0.push(Part::Words(words.into()));
        self
    }

    /// Ends with a length in millimetres.
    #[must_use]
    pub fn length(mut self, mm: f64) -> Self {
        self.0.push(Part::Length(mm.to_bits()));
        self
    }

    /// Ends with a table's figure in millimetres, such as a gauge's, which is told as a decimal alone.
    #[must_use]
    pub fn decimal(mut self, mm: f64) -> Self {
        self.0.push(Part::Decimal(mm.to_bits()));
        self
    }

    /// The same in words: what lengths and what figures of tables of so many millimetres are told as.
    pub fn told(&self, length: impl Fn(f64) -> String, decimal: impl Fn(f64) -> String) -> String {
        self.0
            .iter()
            .map(|part| match part {
                Part::Words(words) => words.clone(),
                Part::Length(bits) => length(f64::from_bits(*bits)),
                Part::Decimal(bits) => decimal(f64::from_bits(*bits)),
            })
            .collect()
    }
}

impl From<String> for Phrase {
    fn from(words: String) -> Self {
        Self::default().words(words)
    }
}

impl From<&str> for Phrase {
    fn from(words: &str) -> Self {
        Self::default().words(words)
    }
}

/// In millimetres, as they are kept.
impl fmt::Display for Phrase {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tell = |mm: f64| format!("{mm:.2} mm");
        out.write_str(&self.told(tell, tell))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_told_by_whoever_knows_the_units() {
        let phrase = Phrase::from("a wall of ").length(25.4).words(" leaves no bore");
        assert_eq!(phrase.to_string(), "a wall of 25.40 mm leaves no bore");
        assert_eq!(
            phrase.told(|mm| format!("{} in", mm / 25.4), |_| String::new()),
            "a wall of 1 in leaves no bore"
        );
    }
}
