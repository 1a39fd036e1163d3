//! The size of a tube or body: `48.3mm x 2mm`, `1-7/8in x 16ga`, `NPS 1-1/2 sch 40`, `fence 1-7/8`,
//! `drum 55 gal`, or `girth 5-31/32in x 0.065in` for what a tape round it reads.

mod across;

use super::forms;
use super::gauge::parse_wall;
use super::units::Units;
use crate::phrase::Phrase;
use crate::problem::{Problem, quoted, shortened};
use across::parse_across;

/// Outside diameter and wall of a tube or body.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// Outside diameter in millimetres, above 0.
    pub od_mm: f64,
    /// Wall thickness in millimetres, above 0 and below the radius; `None` where it wasn't given.
    pub wall_mm: Option<f64>,
    /// The table's name for it, such as `NPS 1-1/2 sch 40`; `None` where it was given by measure.
    pub name: Option<String>,
    /// The units it was given in: results are printed in them unless others are asked for.
    pub units: Units,
    /// What a person must be told about the way it was read.
    pub notes: Vec<Phrase>,
}

/// Inches where the words speak of inches, feet or a size that is named in inches.
pub(in crate::measure) fn units_of(words: &str) -> Units {
    let lower = words.to_lowercase();
    let is_inch = lower.contains("in") || lower.contains(['"', '″', '\'', '′']) || lower.contains("ft");
    if is_inch || lower.starts_with("nps") || lower.contains("fence") {
        Units::INCHES
    } else {
        Units::Millimetres
    }
}

/// Reads a size. `units` is what bare numbers are read in.
///
/// # Errors
/// What is not a size, an unknown table size (with the nearest ones), lengths of 0 or less, a wall not
/// less than the radius.
pub fn parse_size(text: &str, units: Option<Units>) -> Result<Size, Problem> {
    let (left, right) = split_at_times(text.trim());
    require_two_measures(text, left, right)?;
    let across = parse_across(left, units)?;
    if across.od_mm <= 0.0 {
        return Err(Problem::new(format!(
            "{} has no size: a diameter or girth must be above 0",
            quoted(text)
        ))
        .help(forms::sizes(units)));
    }
    let mut size = Size {
        od_mm: across.od_mm,
        wall_mm: across.wall_mm,
        name: across.name,
        units: units.unwrap_or_else(|| units_of(left)),
        notes: across.notes,
    };
    if let Some(right) = right {
        let (wall, note) = parse_wall(right, units)?;
        size.wall_mm = Some(wall);
        size.notes.extend(note);
    }
    match size.wall_mm {
        Some(wall) if wall <= 0.0 => Err(Problem::new(format!("{} has a wall of 0 or less", quoted(text))).help(
            units.unwrap_or_else(|| units_of(text)).either(
                "give the wall's thickness, e.g. 48.3mm x 2mm",
                "give the wall's thickness, e.g. 1.9in x 0.065in",
            ),
        )),
        Some(wall) if wall >= size.od_mm / 2.0 => Err(Problem::new(format!("{} leaves no bore", quoted(text)))
            .figures(
                Phrase::from("its wall is ")
                    .length(wall)
                    .words(", its radius ")
                    .length(size.od_mm / 2.0),
            )
            .help("the wall must be less than half the outside diameter")),
        _ => Ok(size),
    }
}

/// Three measures are those of a tube with sides.
fn require_two_measures(text: &str, left: &str, right: Option<&str>) -> Result<(), Problem> {
    let Some((height, Some(wall))) = right.map(split_at_times) else {
        return Ok(());
    };
    let unit = wall.trim().trim_start_matches(|c: char| !c.is_alphabetic());
    let with_unit = |measure: &str| match measure.trim() {
        bare if bare.ends_with(|c: char| c.is_ascii_digit()) => format!("{}{unit}", shortened(bare)),
        whole => shortened(whole).into_owned(),
    };
    Err(
        Problem::new(format!("{} has three measures, and round tube has two", quoted(text))).help(format!(
            "tube with sides is written rect {} x {} x {}, with the unit behind each",
            with_unit(left),
            with_unit(height),
            with_unit(wall)
        )),
    )
}

/// Splits at the `x` between diameter and wall: one with a digit or a point behind it (`XS` has none).
pub(in crate::measure) fn split_at_times(text: &str) -> (&str, Option<&str>) {
    let times = text.char_indices().find(|&(at, c)| {
        matches!(c, 'x' | 'X' | '×')
            && text[at + c.len_utf8()..]
                .trim_start()
                .starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-'))
    });
    match times {
        Some((at, c)) => (text[..at].trim(), Some(&text[at + c.len_utf8()..])),
        None => (text, None),
    }
}

/// Whether a word in lower case begins a size with sides. SHS and RHS are the square and rectangular hollow sections of
/// EN 10210 and EN 10219.
pub(in crate::measure) fn is_with_sides(word: &str) -> bool {
    is_square(word) || matches!(word, "rect" | "rectangular" | "rhs")
}

pub(in crate::measure) fn is_square(word: &str) -> bool {
    matches!(word, "square" | "shs")
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;

    fn read(text: &str) -> Size {
        parse_size(text, None).unwrap_or_else(|problem| panic!("{problem}"))
    }

    #[test]
    fn measures_and_names_of_one_tube_agree() {
        for text in [
            "1.900in x 0.065in",
            "48.26mm x 1.651mm",
            "1.9inX.065in",
            "fence 1-7/8 x 0.065in",
            "NPS 1-1/2 x 16ga",
            "DN 40 sch 5",
            "nps 1 1/2 SCH 5s",
        ] {
            let size = read(text);
            assert!((size.od_mm - 48.26).abs() < 1e-9, "{text}: {size:?}");
            assert!((size.wall_mm.unwrap_or(0.0) - 1.651).abs() < 1e-9, "{text}: {size:?}");
        }
    }

    #[test]
    fn a_girth_is_turned_into_a_diameter() {
        let size = read("girth 5-31/32in x 0.065in");
        assert!((size.od_mm - 5.96875 * 25.4 / PI).abs() < 1e-9);
    }

    #[test]
    fn a_trade_size_that_is_not_its_true_size_is_said_every_time() {
        for text in ["fence 1-7/8", "NPS 1-1/2 sch 40", "DN 40 sch 40", "EN DN 65"] {
            assert!(
                read(text).notes.iter().any(|note| note.to_string().contains("across")),
                "{text}"
            );
        }
        assert!(
            read("NPS 14 sch 40").notes.is_empty(),
            "from 14 in the name is the size"
        );
    }

    #[test]
    fn unknown_names_are_refused_with_the_nearest_ones() {
        let nps = parse_size("NPS 1-3/8 sch 40", None)
            .expect_err("no such pipe")
            .to_string();
        assert!(nps.contains("NPS 1-1/4") && nps.contains("NPS 1-1/2"), "{nps}");
        let schedule = parse_size("NPS 2 sch 41", None)
            .expect_err("no such schedule")
            .to_string();
        assert!(schedule.contains("40, "), "{schedule}");
        assert!(parse_size("DN 65", None).is_err(), "two standards differ by 3 mm");
        for text in [
            "",
            "tube",
            "48.3mm x",
            "0mm x 1mm",
            "-48mm x 1mm",
            "48mm x 24mm",
            "48mm x 0mm",
            "48mm x -1mm",
            "fence 7",
            "drum 80",
            "48mm x 99ga",
            "48mm x 16ga wood",
        ] {
            assert!(parse_size(text, None).is_err(), "{text}");
        }
    }
}
