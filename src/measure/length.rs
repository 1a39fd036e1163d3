//! Lengths: `48.3mm`, `4.5 cm`, `1-7/8in`, `1 7/8 in`, `1-7/8"`, `2ft 3-1/2in`, `2' 3-1/2"`.

use super::forms;
use super::number::leading_number;
use super::units::{MM_PER_INCH, Units};
use crate::problem::{Problem, quoted, shortened};

/// No length in a shop is longer than this, in millimetres (100 m); longer ones are slips of the pen.
pub const LONGEST: f64 = 100_000.0;

/// Reads a length, in millimetres. `units` is what a bare number is read in.
///
/// # Errors
/// What is not a length, a bare number without `units`, an unknown unit, or more than 100 m.
pub fn parse_length(text: &str, units: Option<Units>) -> Result<f64, Problem> {
    let in_units = |problem: Problem| match &problem.help {
        Some(help) if help == forms::lengths(None) => problem.help(forms::lengths(units)),
        _ => problem,
    };
    read_length(text, units).map_err(in_units)
}

fn read_length(text: &str, units: Option<Units>) -> Result<f64, Problem> {
    // JSON may hold a number that is past every number here.
    let is_past_all = text.contains(|c: char| c.is_ascii_digit()) && text.parse().is_ok_and(f64::is_infinite);
    if is_past_all {
        return Err(too_long(text, units));
    }
    let plain = plain_marks(text);
    let (sign, unsigned) = match plain.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, plain.strip_prefix('+').unwrap_or(&plain).trim_start()),
    };
    let (unsigned, beside) = match unsigned.strip_suffix(')').and_then(|text| text.split_once('(')) {
        Some((main, beside)) => (
            main.trim_start_matches("minus ")
                .trim_start_matches("under ")
                .trim_end(),
            Some(beside),
        ),
        None => (unsigned, None),
    };
    // Fractions that round to 0 have no sign; the decimal beside them has.
    let sign = if beside.is_some_and(|beside| beside.trim_start().starts_with('-')) {
        -1.0
    } else {
        sign
    };
    let size = parse_unsigned(text, unsigned, units)?;
    let size = match beside {
        Some(beside) => decimal_beside(text, size, beside.trim_start_matches('-'))?,
        None => size,
    };
    if size > LONGEST {
        return Err(too_long(text, units));
    }
    Ok(sign * size)
}

fn too_long(text: &str, units: Option<Units>) -> Problem {
    let units = units.unwrap_or(Units::Millimetres);
    Problem::new(format!("{} is longer than anything in a shop", quoted(text)))
        .help(units.either("lengths go up to 100 m", "lengths go up to 328 ft"))
}

/// Reads a share of a diameter: `1/3od`, `0.32 od`. `None` for what is none.
pub fn parse_share_of_od(text: &str) -> Option<f64> {
    let plain = plain_marks(text);
    let (share, rest) = leading_number(&plain)?;
    (rest.trim() == "od").then_some(share)
}

/// Lower case, plain quotes and signs, and vulgar fractions written out.
fn plain_marks(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.trim().to_lowercase().chars() {
        match c {
            '″' | '”' | '“' => plain.push('"'),
            '′' | '’' | '‘' => plain.push('\''),
            '−' | '–' => plain.push('-'),
            '\u{a0}' | '\t' => plain.push(' '),
            '½' => plain.push_str(" 1/2"),
            '¼' => plain.push_str(" 1/4"),
            '¾' => plain.push_str(" 3/4"),
            '⅛' => plain.push_str(" 1/8"),
            '⅜' => plain.push_str(" 3/8"),
            '⅝' => plain.push_str(" 5/8"),
            '⅞' => plain.push_str(" 7/8"),
            _ => plain.push(c),
        }
    }
    plain.replace("''", "\"").replace("- ", "-").trim().to_owned()
}

/// One term, or feet and inches.
fn parse_unsigned(text: &str, unsigned: &str, units: Option<Units>) -> Result<f64, Problem> {
    let (value, unit, rest) = term(text, unsigned)?;
    let Some(unit) = unit else {
        return match units {
            Some(units) => Ok(value * units.mm()),
            None => Err(Problem::new(format!("{} has no unit", quoted(text)))
                .help(format!(
                    "write {}; or name the units of all bare numbers, mm or in",
                    with_units(&shortened(unsigned))
                ))
                .by("--units mm or --units in")),
        };
    };
    if rest.is_empty() {
        return Ok(value * unit);
    }
    let rest = rest.strip_prefix('-').unwrap_or(rest).trim_start();
    match term(text, rest)? {
        (inches, Some(MM_PER_INCH), "") if unit == 12.0 * MM_PER_INCH => Ok(value * unit + inches * MM_PER_INCH),
        _ => Err(not_a_length(text)),
    }
}

/// A number with the units that may be meant: nobody has fractions of a millimetre.
fn with_units(typed: &str) -> String {
    if typed.contains('/') {
        format!("{typed}in")
    } else {
        format!("{typed}mm or {typed}in")
    }
}

/// A number and its unit in millimetres, where it has one, and what stands behind.
fn term<'a>(text: &str, from: &'a str) -> Result<(f64, Option<f64>, &'a str), Problem> {
    let (value, rest) = leading_number(from).ok_or_else(|| not_a_length(text))?;
    let rest = rest.trim_start();
    let end = match rest.chars().next() {
        Some('"' | '\'') => 1,
        _ => rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len()),
    };
    let (word, after) = rest.split_at(end);
    let unit = match word {
        "" if after.is_empty() => None,
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Some(1.0),
        "cm" => Some(10.0),
        "m" => Some(1000.0),
        "in" | "inch" | "inches" | "\"" => Some(MM_PER_INCH),
        "ft" | "foot" | "feet" | "'" => Some(12.0 * MM_PER_INCH),
        "" => return Err(not_a_length(text)),
        _ => {
            return Err(
                Problem::new(format!("{} in {} is not a unit of length", quoted(word), quoted(text)))
                    .help("units are mm, cm, m, in (or \"), ft (or ')"),
            );
        }
    };
    Ok((value, unit, after.trim_start()))
}

/// The decimal that stands in brackets beside a fraction, sixteenths or finer, is the nearer one of the two.
fn decimal_beside(text: &str, size: f64, beside: &str) -> Result<f64, Problem> {
    let (inches, rest) = leading_number(beside.trim()).ok_or_else(|| not_a_length(text))?;
    let decimal = inches * MM_PER_INCH;
    let agree = (decimal - size).abs() <= MM_PER_INCH / 32.0;
    if agree && matches!(rest.trim(), "" | "in") {
        Ok(decimal)
    } else {
        Err(not_a_length(text))
    }
}

fn not_a_length(text: &str) -> Problem {
    let problem = Problem::new(format!("{} is not a length", quoted(text)));
    if text.contains(',') {
        return problem.help("write a decimal point, not a comma: 48.3");
    }
    problem.help(forms::lengths(None))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_every_form_a_tape_or_drawing_uses() {
        let cases = [
            ("48.3mm", 48.3),
            ("4.5 cm", 45.0),
            ("1.9in", 48.26),
            ("1-7/8in", 47.625),
            ("1 7/8 in", 47.625),
            ("1-7/8\"", 47.625),
            ("1⅞″", 47.625),
            ("2ft 3-1/2in", 698.5),
            ("2' 3-1/2\"", 698.5),
            ("2'-3 1/2\"", 698.5),
            ("0.5m", 500.0),
            ("-6mm", -6.0),
            ("- 1/4in", -6.35),
            ("1-29/32 in (1.900)", 48.26),
            ("1-7/8 in (1.900)", 48.26),
            ("under 1/64 in (-0.004)", -0.1016),
            ("minus under 1/64 in (-0.004)", -0.1016),
        ];
        for (text, mm) in cases {
            let read = parse_length(text, None).unwrap_or_else(|problem| panic!("{problem}"));
            assert!((read - mm).abs() < 1e-9, "{text} read as {read}");
        }
    }

    #[test]
    fn a_bare_number_needs_units() {
        assert_eq!(parse_length("48.3", Some(Units::Millimetres)), Ok(48.3));
        assert_eq!(parse_length("2", Some(Units::INCHES)), Ok(50.8));
        let problem = parse_length("48", None).expect_err("no unit");
        assert!(problem.to_string().contains("--units"), "{problem}");
    }

    #[test]
    fn refuses_what_is_not_a_length() {
        for text in [
            "",
            "mm",
            "nan mm",
            "inf mm",
            "48,3mm",
            "1e3mm",
            "3 4 5mm",
            "1/0in",
            "2in 3ft",
            "2mm 3in",
            "1-9/8in",
            "12 parsecs",
            "--3mm",
            "999999999mm",
            "1in (7.000)",
        ] {
            assert!(parse_length(text, Some(Units::Millimetres)).is_err(), "{text}");
        }
    }
}
