//! The size of the tube that is cut: any round size, or `square 50mm x 3mm`, `rect 60mm x 40mm x 3mm r 5mm`, `SHS 50mm x
//! 50mm x 3mm`, `RHS 60mm x 40mm x 3mm`.

use super::forms;
use super::gauge::parse_wall;
use super::length::parse_length;
use super::size::{Size, is_square, is_with_sides, parse_size, split_at_times, units_of};
use super::tables::CORNERS;
use super::units::Units;
use crate::phrase::Phrase;
use crate::problem::{Problem, quoted};
use crate::section::{Rectangle, Section};

/// Section and wall of a tube.
#[derive(Debug, Clone, PartialEq)]
pub struct TubeSize {
    /// Its outer skin; radius, width and height in millimetres, above 0.
    pub section: Section,
    /// Wall thickness in millimetres, above 0 and below half the least way across; `None` where it wasn't given.
    pub wall_mm: Option<f64>,
    /// The table's name for it; `None` where it was given by measure.
    pub name: Option<String>,
    /// The units it was given in.
    pub units: Units,
    /// What a person must be told about the way it was read.
    pub notes: Vec<Phrase>,
}

impl From<Size> for TubeSize {
    fn from(size: Size) -> Self {
        Self {
            section: Section::round(size.od_mm),
            wall_mm: size.wall_mm,
            name: size.name,
            units: size.units,
            notes: size.notes,
        }
    }
}

/// Reads the size of a tube that is cut. `units` is what bare numbers are read in.
///
/// # Errors
/// As [`parse_size`]; sides, walls and radii that contradict each other, with both figures.
pub fn parse_tube_size(text: &str, units: Option<Units>) -> Result<TubeSize, Problem> {
    let lower = text.trim().to_lowercase();
    let (word, rest) = lower.split_once(char::is_whitespace).unwrap_or((&lower, ""));
    if !is_with_sides(word) {
        let with_sides = |problem: Problem| match &problem.help {
            Some(help) if help == forms::sizes(units) => problem.help(all_forms(units)),
            _ => problem,
        };
        return parse_size(text, units).map(TubeSize::from).map_err(with_sides);
    }
    let (measures, corner) = split_at_radius(rest.trim());
    let sides = sides(text, word, measures, units)?;
    let (width, height) = (parse_length(sides.width, units)?, parse_length(sides.height, units)?);
    if width <= 0.0 || height <= 0.0 {
        return Err(Problem::new(format!("{} has a side of 0 or less", quoted(text)))
            .figures(Phrase::default().length(width).words(" x ").length(height))
            .help(forms::sizes_with_sides(units)));
    }
    let mut notes = Vec::new();
    let wall_mm = match sides.wall {
        Some(wall) => {
            let (wall, note) = parse_wall(wall, units)?;
            notes.extend(note);
            Some(wall)
        }
        None => None,
    };
    let half = width.min(height) / 2.0;
    let spoken = units.unwrap_or_else(|| units_of(measures));
    require_bore(text, wall_mm, half, spoken)?;
    let corner = match (corner, wall_mm) {
        (Some(corner), _) => parse_length(corner, units)?,
        (None, Some(wall)) => {
            let (corner, note) = usual_corner(wall);
            notes.push(note);
            corner
        }
        (None, None) => {
            return Err(
                Problem::new(format!("{} doesn't tell how its corners are rounded", quoted(text))).help(spoken.either(
                    "add their outside radius, e.g. \"r 6mm\", or \"r 0mm\" for sharp ones",
                    "add their outside radius, e.g. \"r 1/4in\", or \"r 0in\" for sharp ones",
                )),
            );
        }
    };
    require_corner(text, corner, half, spoken)?;
    let corner = corner.min(half);
    Ok(TubeSize {
        section: Section::Rectangle(Rectangle { width, height, corner }),
        wall_mm,
        name: None,
        units: spoken,
        notes,
    })
}

/// All that a tube may be.
fn all_forms(units: Option<Units>) -> String {
    format!("{}; {}", forms::sizes(units), forms::sizes_with_sides(units))
}

/// The words between the `x`s.
struct Sides<'a> {
    width: &'a str,
    height: &'a str,
    wall: Option<&'a str>,
}

fn sides<'a>(text: &str, word: &str, measures: &'a str, units: Option<Units>) -> Result<Sides<'a>, Problem> {
    let (first, behind) = split_at_times(measures);
    let (second, third) = behind.map_or(("", None), split_at_times);
    let (second, third) = (second.trim(), third.map(str::trim));
    let found = if is_square(word) {
        match (second, third) {
            ("", _) => (first, first, None),
            (second, None) if second == first => (first, first, None),
            (wall, None) => (first, first, Some(wall)),
            (second, wall) if second == first => (first, first, wall),
            (second, _) => {
                return Err(Problem::new(format!("{} is not square", quoted(text)))
                    .figures(format!("its sides are {} and {}", quoted(first), quoted(second)))
                    .help(units.unwrap_or_else(|| units_of(measures)).either(
                        "a tube with two different sides is a rect: rect 60mm x 40mm x 3mm",
                        "a tube with two different sides is a rect: rect 3in x 2in x 1/8in",
                    )));
            }
        }
    } else {
        (first, second, third)
    };
    let (width, height, wall) = found;
    if width.is_empty() || height.is_empty() {
        return Err(Problem::new(format!("{} does not tell both sides", quoted(text))).help(all_forms(units)));
    }
    Ok(Sides { width, height, wall })
}

/// Splits at the `r` before the corners' radius.
fn split_at_radius(text: &str) -> (&str, Option<&str>) {
    let names = [" r", ",r", " radius", " corner", " corners"];
    let found = names.iter().filter_map(|name| {
        let at = text.rfind(name)?;
        let radius = text[at + name.len()..].trim_start();
        let is_measure = radius.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | '−'));
        (is_measure || radius.is_empty()).then_some((at, radius))
    });
    match found.max_by_key(|(at, _)| *at) {
        Some((at, radius)) => (text[..at].trim_end_matches([' ', ',']), Some(radius)),
        None => (text, None),
    }
}

fn usual_corner(wall: f64) -> (f64, Phrase) {
    let walls = CORNERS
        .iter()
        .find(|rule| wall <= rule.wall_to_mm)
        .map_or(3.0, |rule| rule.walls);
    let note = Phrase::from("no corner radius was given: ")
        .length(walls * wall)
        .words(format!(
            " outside is taken, {walls} times the wall as in EN 10219-2 (cold formed); makers differ: measure it and add \"r ...\""
        ));
    (walls * wall, note)
}

fn require_bore(text: &str, wall_mm: Option<f64>, half: f64, units: Units) -> Result<(), Problem> {
    match wall_mm {
        Some(wall) if wall <= 0.0 => Err(Problem::new(format!("{} has a wall of 0 or less", quoted(text)))
            .figures(Phrase::default().length(wall))
            .help(units.either(
                "give the wall's thickness, e.g. square 50mm x 3mm",
                "give the wall's thickness, e.g. square 2in x 1/8in",
            ))),
        Some(wall) if wall >= half => Err(Problem::new(format!("{} leaves no bore", quoted(text)))
            .figures(
                Phrase::from("its wall is ")
                    .length(wall)
                    .words(", half its lesser side ")
                    .length(half),
            )
            .help("the wall must be less than half the lesser side")),
        _ => Ok(()),
    }
}

fn require_corner(text: &str, corner: f64, half: f64, units: Units) -> Result<(), Problem> {
    let problem = if corner < 0.0 {
        Problem::new(format!("{} has corners of a radius below 0", quoted(text)))
    } else if corner > half + 1e-9 {
        Problem::new(format!("{} has corners wider than half a side", quoted(text)))
    } else {
        return Ok(());
    };
    Err(problem
        .figures(
            Phrase::from("a radius of ")
                .length(corner)
                .words(", half the lesser side is ")
                .length(half),
        )
        .help(units.either(
            "give the corners' outside radius, from 0 to half the lesser side, e.g. \"r 5mm\"",
            "give the corners' outside radius, from 0 to half the lesser side, e.g. \"r 1/4in\"",
        )))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> TubeSize {
        parse_tube_size(text, None).unwrap_or_else(|problem| panic!("{problem}"))
    }

    fn refused(text: &str) -> String {
        parse_tube_size(text, None).expect_err(text).to_string()
    }

    #[test]
    fn all_ways_to_write_one_square_tube_agree() {
        for text in [
            "square 50mm x 3mm r 6mm",
            "square 50mm x 50mm x 3mm r 6mm",
            "SHS 50mm x 50mm x 3mm",
            "rect 50mm x 50mm x 3mm r6mm",
            "Rectangular 5cm×5cm×3mm, r 6mm",
            "RHS 50mm x 50mm x 3mm corner 6mm",
        ] {
            let size = read(text);
            let sides = size.section.sides().expect("sides");
            assert!((sides.width, sides.height) == (50.0, 50.0), "{text}: {size:?}");
            assert!(
                (sides.corner - 6.0).abs() < 1e-9 && size.wall_mm == Some(3.0),
                "{text}: {size:?}"
            );
        }
    }

    #[test]
    fn the_first_side_is_the_width_and_inches_stay_inches() {
        let size = read("rect 2in x 1-1/2in x 1/8in r 1/4in");
        let sides = size.section.sides().expect("sides");
        assert!((sides.width - 50.8).abs() < 1e-9 && (sides.height - 38.1).abs() < 1e-9);
        assert!((sides.corner - 6.35).abs() < 1e-9 && size.units == Units::INCHES);
        assert_eq!(read("rect 60mm x 40mm r 0mm").wall_mm, None);
    }

    #[test]
    fn corners_that_are_not_given_are_the_standards_and_it_is_said() {
        // EN 10219-2 (from memory): 2, 2.5 and 3 times the wall.
        for (text, corner) in [
            ("SHS 80mm x 5mm", 10.0),
            ("SHS 100mm x 8mm", 20.0),
            ("SHS 150mm x 12mm", 36.0),
        ] {
            let size = read(text);
            assert!(
                (size.section.sides().expect("sides").corner - corner).abs() < 1e-9,
                "{text}"
            );
            assert!(
                size.notes.iter().any(|note| note.to_string().contains("EN 10219-2")),
                "{text}"
            );
        }
        assert!(read("SHS 80mm x 5mm r 7mm").notes.is_empty());
    }

    #[test]
    fn what_cannot_be_is_refused_with_both_figures() {
        for (text, says) in [
            ("rect 60mm x 40mm x 3mm r 21mm", ["21.00 mm", "20.00 mm"]),
            ("rect 60mm x 40mm x 20mm r 5mm", ["20.00 mm", "leaves no bore"]),
            ("square 10mm x 3mm", ["6.00 mm", "5.00 mm"]),
            ("rect 60mm x 40mm x 3mm r -1mm", ["-1.00 mm", "below 0"]),
            ("rect 0mm x 40mm x 3mm", ["0.00 mm x 40.00 mm", "0 or less"]),
            ("rect 60mm x 40mm x 0mm", ["0.00 mm", "0 or less"]),
            ("square 60mm x 40mm x 3mm", ["\"60mm\" and \"40mm\"", "rect"]),
            ("rect 60mm", ["both sides", "width"]),
            ("square", ["both sides", "square 50mm"]),
            ("rect 60mm x 40mm", ["corners", "r 0mm"]),
            ("rect 60 x 40 x 3", ["no unit", "--units"]),
            ("rect 60mm x 40mm x 3mm r", ["not a length", "\"\""]),
            ("rect 60mm x 40mm x 3mm x 5mm", ["not a length", "x 5mm"]),
        ] {
            let problem = refused(text);
            assert!(says.iter().all(|words| problem.contains(words)), "{text}: {problem}");
        }
    }
}
