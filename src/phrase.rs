//! Words with lengths in them, of which nobody knows yet in which units they will be told; the numbers of copies in words.

use std::fmt;

/// Stretches of numbers that are told of copies.
const MOST_STRETCHES: usize = 6;

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

    /// Ends with another phrase.
    #[must_use]
    pub fn phrase(mut self, other: Self) -> Self {
        self.0.extend(other.0);
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

/// The numbers of copies in words: `1 to 50`, `1 to 8, 10 and 12`.
pub(crate) fn stretches(numbers: impl Iterator<Item = usize>) -> String {
    let mut numbers: Vec<usize> = numbers.collect();
    numbers.sort_unstable();
    numbers.dedup();
    let stretches: Vec<String> = numbers
        .chunk_by(|a, b| a + 1 == *b)
        .flat_map(|stretch| match stretch {
            [one] => vec![one.to_string()],
            [one, other] => vec![one.to_string(), other.to_string()],
            [first, .., last] => vec![format!("{first} to {last}")],
            [] => Vec::new(),
        })
        .collect();
    match stretches.as_slice() {
        [few @ .., last] if !few.is_empty() && stretches.len() <= MOST_STRETCHES => {
            format!("{} and {last}", few.join(", "))
        }
        few if stretches.len() <= MOST_STRETCHES => few.concat(),
        many => format!("{} and others", many[..MOST_STRETCHES].join(", ")),
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

    #[test]
    fn numbers_are_told_in_stretches() {
        let told = |numbers: &[usize]| stretches(numbers.iter().copied());
        assert_eq!(told(&[3, 1, 2, 2]), "1 to 3");
        assert_eq!(told(&[1, 2]), "1 and 2");
        assert_eq!(told(&[1, 2, 3, 5, 8, 9, 10]), "1 to 3, 5 and 8 to 10");
        assert_eq!(told(&[1, 3, 5, 7, 9, 11, 13]), "1, 3, 5, 7, 9, 11 and others");
    }
}
