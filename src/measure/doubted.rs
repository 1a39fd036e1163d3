//! Numbers without a unit that make sense only in the other one.

use std::f64::consts::PI;

use super::number::leading_number;
use super::size::{is_with_sides, split_at_times};
use super::units::{MM_PER_INCH, Units};
use crate::phrase::Phrase;
use crate::problem::Problem;

/// Few tubes are larger, in inches, or smaller, in millimetres; none of them is refused for it.
const MOST_IN: f64 = 24.0;
const LEAST_MM: f64 = 6.0;

/// No wall of a tube that is given in inches is as thick, in inches: those of the largest pipes are known by schedule.
const THICKEST_IN: f64 = 1.0;

/// Inches are measured in such parts. What is no multiple of them and larger than most tubes was measured in millimetres.
const PARTS: f64 = 16.0;

/// What to ask of a size, in three sentences.
pub struct DoubtedUnit {
    /// `48.3 in: was 48.3 mm meant?`
    pub asked: String,
    /// How it was read.
    pub read: String,
    /// What to write, without a capital.
    pub help: String,
}

impl DoubtedUnit {
    /// All of it as a note.
    pub fn note(&self) -> Phrase {
        Phrase::from(format!("{} {}; {}", self.asked, self.read, self.help))
    }

    /// All of it as a question beside problems.
    pub fn problem(self) -> Problem {
        Problem::doubt(self.asked).figures(self.read).help(self.help)
    }
}

/// What to ask of a size whose number has no unit, was read in `units`, and is hardly meant so; none where it is sound. Of a
/// body (`is_body`), which may be large, a number in sixteenths of an inch is taken for sound.
pub fn doubted_unit(text: &str, units: Option<Units>, is_body: bool) -> Option<DoubtedUnit> {
    let units = units?;
    let lower = text.trim().to_lowercase();
    let (word, rest) = lower.split_once(char::is_whitespace).unwrap_or((&lower, ""));
    let is_girth = word == "girth";
    let measures = if is_girth || is_with_sides(word) {
        rest.trim()
    } else {
        &lower
    };
    let (first, _) = split_at_times(measures);
    let (number, behind) = leading_number(first.trim())?;
    if !behind.trim().is_empty() {
        return None;
    }
    let across = if is_girth { number / PI } else { number };
    let is_sixteenths = (number * PARTS).fract() == 0.0;
    let is_doubted = match units {
        Units::Inches(_) => across > MOST_IN && !(is_body && is_sixteenths),
        Units::Millimetres => across < LEAST_MM,
    };
    let is_doubted = is_doubted || !is_body && across >= LEAST_MM && is_thick(measures, units);
    is_doubted.then(|| DoubtedUnit::new(first.trim(), units))
}

/// Whether the last measure of a tube's size, its wall, is a bare number that is no wall in these units.
fn is_thick(measures: &str, units: Units) -> bool {
    let Units::Inches(_) = units else { return false };
    let mut wall = measures;
    while let (_, Some(behind)) = split_at_times(wall) {
        wall = behind;
    }
    let number = leading_number(wall.trim()).filter(|(_, behind)| behind.trim().is_empty());
    wall != measures && number.is_some_and(|(number, _)| number >= THICKEST_IN)
}

/// What to ask of a length that can't be right as it was read, in `units`, because it has no unit; none where it has one, or
/// isn't right in the other unit either. `is_right` is asked with millimetres.
pub fn doubted_length(text: &str, units: Option<Units>, is_right: impl Fn(f64) -> bool) -> Option<DoubtedUnit> {
    let units = units?;
    let bare = text.trim();
    let (number, behind) = leading_number(bare)?;
    let other = units.either(MM_PER_INCH, 1.0);
    (behind.trim().is_empty() && is_right(number * other)).then(|| {
        let doubted = DoubtedUnit::new(bare, units);
        let help = format!("write \"{bare}{}\" if it was", units.either("in", "mm"));
        DoubtedUnit { help, ..doubted }
    })
}

impl DoubtedUnit {
    /// Of a bare number that was read in these units.
    fn new(bare: &str, units: Units) -> Self {
        let [here, other, read] = units.either(["mm", "in", "millimetres"], ["in", "mm", "inches"]);
        Self {
            asked: format!("{bare} {here}: was {bare} {other} meant?"),
            read: format!("The number has no unit and is read in {read}"),
            help: format!("write \"{bare}{other}\", or \"{bare}{here}\" if that is right"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_doubted_where_it_is_right_in_the_other_unit() {
        let right = |mm: f64| (0.0..=20.0).contains(&mm);
        let asked = |text: &str, units| doubted_length(text, units, right).map(|doubted| doubted.asked);
        let inches = Some(Units::INCHES);
        let asks = |words: &str| Some(words.to_owned());
        assert_eq!(asked("3", inches), asks("3 in: was 3 mm meant?"));
        assert_eq!(
            asked("1/8", Some(Units::Millimetres)),
            asks("1/8 mm: was 1/8 in meant?")
        );
        assert_eq!(
            [asked("30", inches), asked("3in", inches), asked("3", None)],
            [None, None, None]
        );
    }

    #[test]
    fn a_number_is_doubted_only_where_it_has_no_unit_and_makes_sense_in_the_other() {
        let inches = Some(Units::INCHES);
        let mm = Some(Units::Millimetres);
        for (text, units, is_body, asks) in [
            ("48.3 x 2", inches, false, Some("48.3 in: was 48.3 mm meant?")),
            ("48.3", inches, true, Some("48.3 in: was 48.3 mm meant?")),
            ("rect 60 x 40 x 3", inches, false, Some("60 in: was 60 mm meant?")),
            ("girth 152 x 2", inches, false, Some("152 in: was 152 mm meant?")),
            ("1.9 x 0.065", mm, false, Some("1.9 mm: was 1.9 in meant?")),
            ("4-1/2", mm, true, Some("4-1/2 mm: was 4-1/2 in meant?")),
            ("48.3in x 2in", inches, false, None),
            ("48.3mm", inches, false, None),
            ("21.3 x 2", inches, false, Some("21.3 in: was 21.3 mm meant?")),
            ("rect 20 x 15 x 1.5", inches, false, Some("20 in: was 20 mm meant?")),
            ("1.9 x 1", inches, false, None),
            ("24 x 0.25", inches, false, None),
            ("2-3/8 x 0.154", inches, false, None),
            ("21.3 x 2", mm, false, None),
            ("girth 71 x 0.05", inches, false, None),
            ("girth 152.3", inches, true, Some("152.3 in: was 152.3 mm meant?")),
            ("36 x 0.25", inches, true, None),
            ("48-1/2", inches, true, None),
            ("NPS 30 sch 10", inches, false, None),
            ("drum 55 gal", inches, true, None),
            ("DN 40 sch 40", mm, false, None),
            ("6 x 1", mm, false, None),
            ("48.3 x 2", None, false, None),
        ] {
            let asked = doubted_unit(text, units, is_body).map(|doubted| doubted.note().to_string());
            match asks {
                Some(words) => assert!(
                    asked.as_ref().is_some_and(|note| note.starts_with(words)),
                    "{text}: {asked:?}"
                ),
                None => assert_eq!(asked, None, "{text}"),
            }
        }
    }
}
