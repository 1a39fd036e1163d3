//! The diameter of a size: measured, or a name of a table.

use std::f64::consts::PI;

use super::is_with_sides;
use crate::measure::forms;
use crate::measure::length::parse_length;
use crate::measure::number::leading_number;
use crate::measure::tables::{DRUMS, FENCES, METRIC_PIPES, PIPES, Pipe, mixed};
use crate::measure::units::{MM_PER_INCH, Units};
use crate::phrase::Phrase;
use crate::problem::{Problem, quoted};

/// What the words before the `x` say.
pub(super) struct Across {
    pub(super) od_mm: f64,
    pub(super) wall_mm: Option<f64>,
    pub(super) name: Option<String>,
    pub(super) notes: Vec<Phrase>,
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

/// Reads them: a measure, or a size by its name in a table.
pub(super) fn parse_across(text: &str, units: Option<Units>) -> Result<Across, Problem> {
    let lower = text.to_lowercase();
    let (word, rest) = lower.split_once(char::is_whitespace).unwrap_or((&lower, ""));
    let rest = rest.trim();
    match word {
        "nps" => parse_nps(text, rest, units),
        "dn" => parse_dn(text, rest, units),
        "en" => parse_en(text, rest, units),
        "fence" => parse_fence(text, rest, units),
        "drum" => parse_drum(text, rest),
        "girth" => parse_length(rest, units).map(|girth| Across {
            notes: vec![
                Phrase::from(format!("a girth of \"{rest}\" is "))
                    .length(girth / PI)
                    .words(" across"),
            ],
            ..Across::measured(girth / PI)
        }),
        _ if lower.ends_with("drum") => parse_drum(text, lower.trim_end_matches("drum")),
        _ if lower.ends_with("fence") => parse_fence(text, lower.trim_end_matches("fence").trim(), units),
        _ if is_with_sides(word) => Err(Problem::new(format!("{} is not round", quoted(text))).help(
            "only the tube that is cut may have sides; what it lands on must be round: give its outside diameter",
        )),
        _ if lower.starts_with(|c: char| {
            c.is_ascii_digit() || matches!(c, '.' | '-' | '−' | '+' | '½' | '¼' | '¾' | '⅛' | '⅜' | '⅝' | '⅞')
        }) =>
        {
            parse_length(text, units).map(Across::measured)
        }
        _ => Err(
            Problem::new(format!("{} is not a size", quoted(text))).help(match meant(word) {
                Some(meant) => format!("was {} meant?", quoted(&lower.replacen(word, meant, 1))),
                None => forms::sizes(units).to_owned(),
            }),
        ),
    }
}

/// The word before a size that is most like one that isn't any, where one is.
fn meant(word: &str) -> Option<&'static str> {
    /// Words no more alike than this, of 1, are different ones.
    const ALIKE: f64 = 0.8;
    const WORDS: [&str; 8] = ["fence", "drum", "girth", "square", "rect", "NPS", "SHS", "RHS"];
    let alike = |known: &str| strsim::jaro_winkler(word, &known.to_lowercase());
    let known = WORDS.into_iter().map(|known| (alike(known), known));
    let known = known.filter(|(alike, _)| *alike >= ALIKE);
    known.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, known)| known)
}

/// `1-1/2 sch 40`, behind `NPS`.
fn parse_nps(text: &str, rest: &str, units: Option<Units>) -> Result<Across, Problem> {
    let (nominal, rest) = leading_number(rest).ok_or_else(|| not_in_table(text, units))?;
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
        let name = format!("NPS {}", pipe.nps);
        across
            .notes
            .push(not_as_named(&name, across.od_mm, nominal * MM_PER_INCH));
    }
    Ok(across)
}

/// How large a thing of this name is.
fn is_across(name: &str, od_mm: f64) -> Phrase {
    Phrase::from(format!("{name} is ")).length(od_mm).words(" across")
}

/// The same where the name says another length.
fn not_as_named(name: &str, od_mm: f64, named_mm: f64) -> Phrase {
    // A decimal: in coarse fractions both may be alike.
    Phrase::from(format!("{name} is "))
        .decimal(od_mm)
        .words(" across, not ")
        .length(named_mm)
        .words(" as its name says")
}

/// `40 sch 40`, behind `DN`. A DN without a schedule may be either standard's.
fn parse_dn(text: &str, rest: &str, units: Option<Units>) -> Result<Across, Problem> {
    let (dn, rest) = leading_number(rest).ok_or_else(|| not_in_table(text, units))?;
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
        return Err(Problem::new(format!("{} is two different sizes", quoted(text)))
            .figures(
                Phrase::default()
                    .length(od_mm)
                    .words(" across in ASME B36.10M, ")
                    .length(metric.od_mm)
                    .words(" in EN 10220"),
            )
            .help(format!("measure it, then say NPS {} or EN DN {}", pipe.nps, pipe.dn)));
    }
    let mut across = pipe_across(pipe, &format!("DN {}", pipe.dn), rest)?;
    across
        .notes
        .push(is_across(&format!("DN {}", pipe.dn), od_mm).words(" (ASME B36.10M)"));
    if let Some(metric) = metric.filter(|metric| (metric.od_mm - od_mm).abs() > 0.5) {
        across.notes.push(
            is_across(&format!("EN 10220's DN {}", pipe.dn), metric.od_mm)
                .words(format!(": write EN DN {} for that", pipe.dn)),
        );
    }
    Ok(across)
}

/// `DN 65`, `10220 DN 65`, behind `EN`.
fn parse_en(text: &str, rest: &str, units: Option<Units>) -> Result<Across, Problem> {
    let rest = rest.strip_prefix("10220").unwrap_or(rest).trim_start();
    let (dn, rest) = rest
        .strip_prefix("dn")
        .map(str::trim_start)
        .and_then(leading_number)
        .ok_or_else(|| not_in_table(text, units))?;
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
        notes: vec![is_across(&format!("EN DN {}", pipe.dn), pipe.od_mm)],
        ..Across::measured(pipe.od_mm)
    })
}

/// `1-7/8`, behind `fence`.
fn parse_fence(text: &str, rest: &str, units: Option<Units>) -> Result<Across, Problem> {
    let (trade, after) = leading_number(rest).ok_or_else(|| not_in_table(text, units))?;
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
        not_as_named(&format!("fence {}", fence.trade), od_mm, trade * MM_PER_INCH)
            .words("; light tube may be as its name says: its girth is ")
            .length(trade * MM_PER_INCH * PI)
            .words(" then, and not ")
            .length(od_mm * PI)
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
    let asked = asked
        .replace("gallons", "gal")
        .replace("gallon", "gal")
        .replace("-gal", "gal");
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
        notes: vec![drum.taken_as()],
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

/// The two names whose numbers are nearest to `wanted`.
fn nearest(names: impl Iterator<Item = (f64, String)>, wanted: f64) -> Vec<String> {
    let mut names: Vec<_> = names.collect();
    names.sort_by(|a, b| (a.0 - wanted).abs().total_cmp(&(b.0 - wanted).abs()));
    names.into_iter().take(2).map(|(_, name)| name).collect()
}

fn unknown(text: &str, table: &str, nearest: Vec<String>) -> Problem {
    Problem::new(format!("{} is not in the {table} table", quoted(text)))
        .help(format!(
            "the nearest {} {}; give the measured size, or look through all sizes",
            if nearest.len() == 1 { "is" } else { "are" },
            nearest.join(" and ")
        ))
        .by("girthline sizes")
}

fn not_in_table(text: &str, units: Option<Units>) -> Problem {
    Problem::new(format!("{} does not name a size", quoted(text))).help(forms::sizes(units))
}
