//! The size of a tube or body: `48.3mm x 2mm`, `1-7/8in x 16ga`, `NPS 1-1/2 sch 40`, `fence 1-7/8`,
//! `drum 55 gal`, or `girth 5-31/32in x 0.065in` for what a tape round it reads.

use std::f64::consts::PI;

use super::length::{MM_PER_INCH, Units, parse_length, show_sixty_fourths};
use super::number::leading_number;
use super::tables::{DRUMS, FENCES, GAUGES, METRIC_PIPES, PIPES, Pipe, mixed};
use crate::problem::Problem;

/// How sizes are written, for the help of an error.
pub(super) const FORMS: &str = "sizes look like 48.3mm x 2mm, 1-7/8in x 16ga, NPS 1-1/2 sch 40, DN 40 sch 40, EN DN 65 x 2.9mm, \
                     fence 1-7/8 x 0.065in, drum 55 gal, or girth 5-31/32in x 0.065in";

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
    pub notes: Vec<String>,
}

/// Inches where the words speak of inches, feet or a size that is named in inches.
pub(super) fn units_of(words: &str) -> Units {
    let lower = words.to_lowercase();
    let is_inch = lower.contains("in") || lower.contains(['"', '″', '\'', '′']) || lower.contains("ft");
    if is_inch || lower.starts_with("nps") || lower.starts_with("fence") {
        Units::Inches
    } else {
        Units::Millimetres
    }
}

/// What the words before the `x` say.
struct Across {
    od_mm: f64,
    wall_mm: Option<f64>,
    name: Option<String>,
    notes: Vec<String>,
}

impl Across {
    fn measured(od_mm: f64) -> Self {
        Self {
            od_mm,
            wall_mm: None,
            name: None,
            notes: Vec::new(),
        }
    }
}

/// Reads a size. `units` is what bare numbers are read in.
///
/// # Errors
/// What is not a size, an unknown table size (with the nearest ones), lengths of 0 or less, a wall not
/// less than the radius.
pub fn parse_size(text: &str, units: Option<Units>) -> Result<Size, Problem> {
    let (left, right) = split_at_times(text.trim());
    let across = parse_across(left, units)?;
    if across.od_mm <= 0.0 {
        return Err(Problem::new(format!(
            "\"{text}\" has no size: a diameter or girth must be above 0"
        )));
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
        Some(wall) if wall <= 0.0 => Err(Problem::new(format!("\"{text}\" has a wall of 0 or less"))
            .help("give the wall's thickness, e.g. 48.3mm x 2mm")),
        Some(wall) if wall >= size.od_mm / 2.0 => Err(Problem::new(format!("\"{text}\" leaves no bore"))
            .figures(format!(
                "its wall is {wall:.2} mm, its radius {:.2} mm",
                size.od_mm / 2.0
            ))
            .help("the wall must be less than half the outside diameter")),
        _ => Ok(size),
    }
}

/// Splits at the `x` between diameter and wall: one with a digit or a point behind it (`XS` has none).
pub(super) fn split_at_times(text: &str) -> (&str, Option<&str>) {
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

fn parse_across(text: &str, units: Option<Units>) -> Result<Across, Problem> {
    let lower = text.to_lowercase();
    let (word, rest) = lower.split_once(char::is_whitespace).unwrap_or((&lower, ""));
    let rest = rest.trim();
    match word {
        "nps" => parse_nps(text, rest),
        "dn" => parse_dn(text, rest),
        "en" => parse_en(text, rest),
        "fence" => parse_fence(text, rest),
        "drum" => parse_drum(text, rest),
        "girth" => parse_length(rest, units).map(|girth| Across {
            notes: vec![format!("a girth of {} is {} across", rest, both_units(girth / PI))],
            ..Across::measured(girth / PI)
        }),
        _ if is_with_sides(word) => Err(Problem::new(format!("\"{text}\" is not round")).help(
            "only the tube that is cut may have sides; what it lands on must be round: give its outside diameter",
        )),
        _ if lower.starts_with(|c: char| {
            c.is_ascii_digit() || matches!(c, '.' | '-' | '−' | '+' | '½' | '¼' | '¾' | '⅛' | '⅜' | '⅝' | '⅞')
        }) =>
        {
            parse_length(text, units).map(Across::measured)
        }
        _ => Err(Problem::new(format!("\"{text}\" is not a size")).help(FORMS)),
    }
}

/// Whether a word in lower case begins a size with sides. SHS and RHS are the square and rectangular hollow sections of
/// EN 10210 and EN 10219.
pub(super) fn is_with_sides(word: &str) -> bool {
    is_square(word) || matches!(word, "rect" | "rectangular" | "rhs")
}

pub(super) fn is_square(word: &str) -> bool {
    matches!(word, "square" | "shs")
}

/// `1-1/2 sch 40`, behind `NPS`.
fn parse_nps(text: &str, rest: &str) -> Result<Across, Problem> {
    let (nominal, rest) = leading_number(rest).ok_or_else(|| not_in_table(text))?;
    let pipe = PIPES.iter().find(|pipe| mixed(&pipe.nps) == nominal).ok_or_else(|| {
        unknown(
            text,
            "NPS",
            nearest(
                PIPES.iter().map(|pipe| (mixed(&pipe.nps), format!("NPS {}", pipe.nps))),
                nominal,
            ),
        )
    })?;
    let mut across = pipe_across(pipe, &format!("NPS {}", pipe.nps), rest)?;
    if pipe.od_in != nominal {
        across.notes.push(format!(
            "NPS {} is {} across, not {} in",
            pipe.nps,
            both_units(across.od_mm),
            pipe.nps
        ));
    }
    Ok(across)
}

/// `40 sch 40`, behind `DN`. A DN without a schedule may be either standard's.
fn parse_dn(text: &str, rest: &str) -> Result<Across, Problem> {
    let (dn, rest) = leading_number(rest).ok_or_else(|| not_in_table(text))?;
    let pipe = PIPES.iter().find(|pipe| f64::from(pipe.dn) == dn).ok_or_else(|| {
        unknown(
            text,
            "DN",
            nearest(
                PIPES.iter().map(|pipe| (f64::from(pipe.dn), format!("DN {}", pipe.dn))),
                dn,
            ),
        )
    })?;
    let od_mm = pipe.od_in * MM_PER_INCH;
    let metric = METRIC_PIPES.iter().find(|metric| metric.dn == pipe.dn);
    if let Some(metric) = metric.filter(|metric| rest.trim().is_empty() && (metric.od_mm - od_mm).abs() > 0.01 * od_mm)
    {
        return Err(Problem::new(format!("\"{text}\" is two different sizes"))
            .figures(format!(
                "{od_mm:.1} mm across in ASME B36.10M, {:.1} mm in EN 10220",
                metric.od_mm
            ))
            .help(format!("measure it, then say NPS {} or EN DN {}", pipe.nps, pipe.dn)));
    }
    let mut across = pipe_across(pipe, &format!("DN {}", pipe.dn), rest)?;
    across
        .notes
        .push(format!("DN {} is {} across (ASME B36.10M)", pipe.dn, both_units(od_mm)));
    if let Some(metric) = metric.filter(|metric| (metric.od_mm - od_mm).abs() > 0.5) {
        across.notes.push(format!(
            "EN 10220's DN {} is {:.1} mm: write EN DN {} for that",
            pipe.dn, metric.od_mm, pipe.dn
        ));
    }
    Ok(across)
}

/// `DN 65`, `10220 DN 65`, behind `EN`.
fn parse_en(text: &str, rest: &str) -> Result<Across, Problem> {
    let rest = rest.strip_prefix("10220").unwrap_or(rest).trim_start();
    let (dn, rest) = rest
        .strip_prefix("dn")
        .map(str::trim_start)
        .and_then(leading_number)
        .ok_or_else(|| not_in_table(text))?;
    let pipe = METRIC_PIPES
        .iter()
        .find(|pipe| f64::from(pipe.dn) == dn && rest.trim().is_empty())
        .ok_or_else(|| {
            unknown(
                text,
                "EN DN",
                nearest(
                    METRIC_PIPES
                        .iter()
                        .map(|pipe| (f64::from(pipe.dn), format!("EN DN {}", pipe.dn))),
                    dn,
                ),
            )
        })?;
    Ok(Across {
        name: Some(format!("EN DN {}", pipe.dn)),
        notes: vec![format!("EN DN {} is {} across", pipe.dn, both_units(pipe.od_mm))],
        ..Across::measured(pipe.od_mm)
    })
}

/// `1-7/8`, behind `fence`.
fn parse_fence(text: &str, rest: &str) -> Result<Across, Problem> {
    let (trade, after) = leading_number(rest).ok_or_else(|| not_in_table(text))?;
    let is_inches = matches!(after.trim(), "" | "in" | "\"");
    let fence = FENCES
        .iter()
        .find(|fence| mixed(&fence.trade) == trade && is_inches)
        .ok_or_else(|| {
            unknown(
                text,
                "fence",
                nearest(
                    FENCES
                        .iter()
                        .map(|fence| (mixed(&fence.trade), format!("fence {}", fence.trade))),
                    trade,
                ),
            )
        })?;
    let od_mm = fence.od_in * MM_PER_INCH;
    let is_true = fence.od_in == trade;
    let note = (!is_true).then(|| {
        format!(
            "fence {name} is {} across, not {name} in; light tube may truly be {name} in: its girth is {} in then, against {} in",
            both_units(od_mm),
            show_sixty_fourths(trade * MM_PER_INCH * PI),
            show_sixty_fourths(od_mm * PI),
            name = fence.trade
        )
    });
    Ok(Across {
        name: Some(format!("fence {}", fence.trade)),
        notes: note.into_iter().collect(),
        ..Across::measured(od_mm)
    })
}

/// `55 gal`, behind `drum`.
fn parse_drum(text: &str, rest: &str) -> Result<Across, Problem> {
    let asked: String = rest.split_whitespace().collect();
    let drum = DRUMS
        .iter()
        .find(|drum| drum.words.contains(&asked) || drum.name.replace(' ', "") == asked)
        .ok_or_else(|| {
            unknown(
                text,
                "drum",
                DRUMS.iter().map(|drum| format!("drum {}", drum.name)).collect(),
            )
        })?;
    Ok(Across {
        od_mm: drum.od_mm,
        wall_mm: Some(drum.wall_mm),
        name: Some(format!("drum {}", drum.name)),
        notes: vec![format!(
            "drum {} is taken as {} across: {}",
            drum.name,
            both_units(drum.od_mm),
            drum.note
        )],
    })
}

/// A pipe with the schedule named in `rest`, where one is.
fn pipe_across(pipe: &Pipe, name: &str, rest: &str) -> Result<Across, Problem> {
    let rest = rest
        .trim_start()
        .trim_start_matches("in ")
        .trim_start_matches(['"', ','])
        .trim();
    let schedule = ["schedule", "sched.", "sched", "sch.", "sch"]
        .iter()
        .find_map(|word| rest.strip_prefix(word))
        .unwrap_or(rest)
        .trim();
    let plain = Across {
        name: Some(name.to_owned()),
        ..Across::measured(pipe.od_in * MM_PER_INCH)
    };
    if schedule.is_empty() || rest == "in" {
        return Ok(plain);
    }
    let known = pipe
        .walls_in
        .iter()
        .find(|(known, _)| known.eq_ignore_ascii_case(schedule));
    let (schedule, wall_in) = known.ok_or_else(|| {
        let all: Vec<&str> = pipe.walls_in.keys().map(String::as_str).collect();
        Problem::new(format!("{name} has no schedule \"{schedule}\"")).help(format!("it has {}", all.join(", ")))
    })?;
    Ok(Across {
        wall_mm: Some(wall_in * MM_PER_INCH),
        name: Some(format!("{name} sch {schedule}")),
        ..plain
    })
}

/// A wall as a length or a gauge; a gauge says in a note which of its meanings was taken.
pub(super) fn parse_wall(text: &str, units: Option<Units>) -> Result<(f64, Option<String>), Problem> {
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
    let family = family.ok_or_else(|| {
        let all: Vec<&str> = GAUGES
            .iter()
            .filter_map(|family| family.words.first().map(String::as_str))
            .collect();
        Problem::new(format!("\"{}\" is no gauge that is known here", text.trim())).help(format!(
            "write 16ga for tube (BWG), or 16ga and one of {}",
            all.join(", ")
        ))
    })?;
    let wall_in = family.walls_in.get(&number.to_string()).ok_or_else(|| {
        let all: Vec<f64> = family.walls_in.keys().filter_map(|key| key.parse().ok()).collect();
        let (low, high) = all
            .iter()
            .fold((f64::MAX, 0.0_f64), |(low, high), &key| (low.min(key), high.max(key)));
        Problem::new(format!("there is no {number} gauge in the {} table", family.name))
            .help(format!("it has whole gauges from {low} to {high}"))
    })?;
    let others: Vec<String> = GAUGES
        .iter()
        .filter(|other| other.name != family.name)
        .filter_map(|other| {
            other
                .walls_in
                .get(&number.to_string())
                .map(|wall| format!("{} {wall}", other.name))
        })
        .collect();
    let mut note = format!("{number} gauge was taken as {}: {wall_in} in", family.name);
    if !others.is_empty() {
        note.push_str(&format!(" (other tables: {})", others.join(", ")));
    }
    Ok((wall_in * MM_PER_INCH, Some(note)))
}

fn both_units(mm: f64) -> String {
    format!("{:.3} in ({mm:.2} mm)", mm / MM_PER_INCH)
}

/// The two names whose numbers are nearest to `wanted`.
fn nearest(names: impl Iterator<Item = (f64, String)>, wanted: f64) -> Vec<String> {
    let mut names: Vec<_> = names.collect();
    names.sort_by(|a, b| (a.0 - wanted).abs().total_cmp(&(b.0 - wanted).abs()));
    names.into_iter().take(2).map(|(_, name)| name).collect()
}

fn unknown(text: &str, table: &str, nearest: Vec<String>) -> Problem {
    Problem::new(format!("\"{text}\" is not in the {table} table")).help(format!(
        "the nearest are {}; `girthline sizes` lists all, or give the measured size",
        nearest.join(" and ")
    ))
}

fn not_in_table(text: &str) -> Problem {
    Problem::new(format!("\"{text}\" does not name a size")).help(FORMS)
}

#[cfg(test)]
mod tests {
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
            assert!(read(text).notes.iter().any(|note| note.contains("across")), "{text}");
        }
        assert!(
            read("NPS 14 sch 40").notes.is_empty(),
            "from 14 in the name is the size"
        );
    }

    #[test]
    fn a_gauge_says_which_table_it_was_taken_from() {
        // ASME/BWG and Manufacturers' Standard values: shared/sizes/gauge.json.
        let (tube, sheet) = (read("1-7/8in x 16ga"), read("1-7/8in x 16 ga sheet"));
        assert!((tube.wall_mm.unwrap_or(0.0) - 0.065 * 25.4).abs() < 1e-9);
        assert!((sheet.wall_mm.unwrap_or(0.0) - 0.0598 * 25.4).abs() < 1e-9);
        assert!(tube.notes[0].contains("BWG") && sheet.notes[0].contains("sheet"));
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
