//! Walls: a length, or a gauge with the table that it is taken from.

use super::length::parse_length;
use super::number::leading_number;
use super::tables::{GAUGES, GaugeFamily};
use super::units::{MM_PER_INCH, Units};
use crate::phrase::Phrase;
use crate::problem::Problem;

/// A wall in millimetres; of a gauge, a note says which table was taken, and which words lead to the others.
///
/// # Errors
/// What is neither a length nor a gauge of a known table.
pub(super) fn parse_wall(text: &str, units: Option<Units>) -> Result<(f64, Option<Phrase>), Problem> {
    let lower = text.trim().to_lowercase();
    let Some((number, words)) = leading_number(&lower) else {
        return parse_length(text, units).map(|wall| (wall, None));
    };
    let words: Vec<&str> = words.split_whitespace().collect();
    let is_gauge = |word: &&str| matches!(*word, "ga" | "ga." | "gauge" | "gage" | "bwg");
    if !words.iter().any(is_gauge) {
        return parse_length(text.trim(), units).map(|wall| (wall, None));
    }
    let kinds: Vec<&str> = words
        .into_iter()
        .filter(|word| !matches!(*word, "ga" | "ga." | "gauge" | "gage"))
        .collect();
    let family = match kinds.as_slice() {
        [] => GAUGES.first(),
        [kind] => GAUGES
            .iter()
            .find(|family| family.words.iter().any(|word| word == kind)),
        _ => None,
    };
    let family = family.ok_or_else(|| unknown_table(text))?;
    let wall = wall_in(family, number).ok_or_else(|| unknown_number(number, family))?;
    Ok((wall, Some(taken(number, family, wall))))
}

/// In millimetres, where the table has this gauge.
fn wall_in(family: &GaugeFamily, number: f64) -> Option<f64> {
    family
        .walls_in
        .get(&number.to_string())
        .map(|inches| inches * MM_PER_INCH)
}

/// Which table was taken, and what to write for the others.
fn taken(number: f64, family: &GaugeFamily, wall: f64) -> Phrase {
    let mut note = Phrase::from(format!(
        "{number} gauge is taken from the table for {}: ",
        family.table_words()
    ))
    .decimal(wall);
    let others = GAUGES.iter().filter(|other| other.name != family.name);
    for (index, (other, wall)) in others
        .filter_map(|other| Some((other, wall_in(other, number)?)))
        .enumerate()
    {
        let head = if index == 0 { ". For the others write " } else { ", " };
        note = note.words(format!("{head}{}: ", other.typed(number))).decimal(wall);
    }
    note
}

impl GaugeFamily {
    /// `tube (BWG)`.
    fn table_words(&self) -> String {
        let for_what = &self.applies_to;
        if for_what.contains(&self.name) {
            for_what.clone()
        } else {
            format!("{for_what} ({})", self.name)
        }
    }

    /// What to write for a gauge of this table: `16ga sheet`.
    fn typed(&self, number: f64) -> String {
        format!("{number}ga {}", self.words.first().map_or("", String::as_str))
    }
}

fn unknown_table(text: &str) -> Problem {
    let all: Vec<&str> = GAUGES
        .iter()
        .filter_map(|family| family.words.first().map(String::as_str))
        .collect();
    Problem::new(format!(
        "{} is no gauge that is known here",
        crate::problem::quoted(text.trim())
    ))
    .help(format!(
        "write 16ga for tube (BWG), or 16ga and one of {}",
        all.join(", ")
    ))
}

fn unknown_number(number: f64, family: &GaugeFamily) -> Problem {
    let all: Vec<f64> = family.walls_in.keys().filter_map(|key| key.parse().ok()).collect();
    let (low, high) = all
        .iter()
        .fold((f64::MAX, 0.0_f64), |(low, high), &key| (low.min(key), high.max(key)));
    Problem::new(format!(
        "there is no {number} gauge in the table for {}",
        family.table_words()
    ))
    .help(format!("it has whole gauges from {low} to {high}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (f64, String) {
        let (wall, note) = parse_wall(text, None).unwrap_or_else(|problem| panic!("{problem}"));
        let note = note.expect("a note of a gauge");
        (
            wall / MM_PER_INCH,
            note.told(|mm| Units::INCHES.show(mm), |mm| Units::INCHES.show_decimal(mm)),
        )
    }

    #[test]
    fn a_gauge_says_which_table_was_taken_and_what_to_write_for_the_others() {
        // BWG and Manufacturers' Standard values: shared/sizes/gauge.json.
        let (wall, note) = read("16ga");
        assert!((wall - 0.065).abs() < 1e-9, "{wall}");
        assert!(
            note.starts_with("16 gauge is taken from the table for tube (BWG): 0.065 in."),
            "{note}"
        );
        assert!(note.contains("16ga sheet: 0.0598 in"), "{note}");
        let (wall, note) = read("22 ga sheet");
        assert!((wall - 0.0299).abs() < 1e-9, "{wall}");
        assert!(note.contains("uncoated steel sheet: 0.0299 in"), "{note}");
        assert!(note.contains("22ga bwg: 0.028 in"), "{note}");
    }
}
