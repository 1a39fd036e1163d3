//! The section of a used drum, from what was measured on it.

use std::f64::consts::{PI, TAU};
use std::sync::Arc;

use crate::body::{Contour, Hollow, Mark};
use crate::job::limits::MOST_PLACES;
use crate::job::raw::{self, Word};
use crate::measure::{Size, show_angle};
use crate::phrase::Phrase;
use crate::problem::Problem;

use super::{Reader, given, mark};

/// By how much a measured girth and the one of a section through measured diameters may differ: more is a wrong tape.
const GIRTHS_DIFFER: f64 = 0.01;
/// A difference that is worth a word.
const WORTH_A_WORD: f64 = 0.001;
/// The largest diameter over the smallest: what is flatter is no drum.
const FLATTEST: f64 = 3.0;
/// Places nearer to each other than this tell of slips of the tape, not of the drum.
const NEAREST_DEG: f64 = 2.0;

/// A section, and it in words.
pub(super) struct Measured {
    pub(super) contour: Arc<Contour>,
    pub(super) words: String,
}

/// The section of a body whose girth is that of `size`.
pub(super) fn section(reader: &mut Reader, raw: &raw::Section, size: &Size) -> Option<Measured> {
    let girth = PI * size.od_mm;
    let (found, what) = match (&raw.oval, &raw.diameters, &raw.offsets) {
        (Some(oval), None, None) => oval_section(reader, raw, oval, girth)?,
        (None, Some(diameters), None) => diameter_section(reader, raw, diameters, girth)?,
        (None, None, Some(offsets)) => offset_section(reader, raw, offsets, girth)?,
        _ => {
            let problem = Problem::new("a section is measured in one way");
            let help = "give \"oval\": two diameters square to each other; or \"diameters\": [{ \"at\", \"across\" }, ..]; or \"offsets\": [{ \"at\", \"out\" }, ..]";
            return reader.refused(&raw.here, problem.help(help));
        }
    };
    let contour = found.map_err(|hollow| is_hollow(&hollow));
    let contour = reader.take(&raw.here, contour)?;
    require_bore(reader, raw, &contour, size)?;
    let units = reader.result_units();
    let wall = size
        .wall_mm
        .map_or_else(String::new, |wall| format!(", wall {}", units.show(wall)));
    let words = format!("{what}, girth {}{wall}", units.show(contour.girth()));
    if (contour.girth() / girth - 1.0).abs() > WORTH_A_WORD {
        reader.warn(format!(
            "the girth was given as {}, and the section through the measured diameters is {} round: the section is followed",
            units.show(girth),
            units.show(contour.girth())
        ));
    }
    Some(Measured {
        contour: Arc::new(contour),
        words,
    })
}

/// A place round the girth, and what was measured there, as far as they are given.
type MeasuredPlace<'r> = (Option<&'r Word>, Option<&'r Word>);

type Found = Option<(Result<Contour, Hollow>, String)>;

fn oval_section(reader: &mut Reader, raw: &raw::Section, oval: &[Word; 2], girth: f64) -> Found {
    let across = oval.each_ref().map(|word| diameter(reader, word, girth));
    let at = given(&raw.at, Mark::Angle(0.0), |word| place(reader, word, girth));
    let ([Some(first), Some(second)], at) = (across, at?) else {
        return None;
    };
    let (wide, narrow) = (f64::max(first, second), f64::min(first, second));
    if wide > FLATTEST * narrow {
        let problem = Problem::new("this oval is too flat for a drum")
            .figures(Phrase::default().length(first).words(" by ").length(second));
        return reader.refused(&oval[0], problem.help(format!("up to {FLATTEST} to 1 are drawn")));
    }
    let contour = Contour::oval([first, second], at);
    require_girth(reader, raw, girth, &contour, "diameters")?;
    let units = reader.result_units();
    Some((
        Ok(contour),
        format!("oval, {} by {}", units.show(first), units.show(second)),
    ))
}

fn diameter_section(reader: &mut Reader, raw: &raw::Section, list: &[raw::Diameter], girth: f64) -> Found {
    refuse_at(reader, raw)?;
    let list = list.iter().map(|one| (one.at.as_ref(), one.across.as_ref()));
    let list: Vec<MeasuredPlace<'_>> = list.collect();
    let measured = all(reader, raw, &list, (2, "diameters"), girth, &|reader, word| {
        diameter(reader, word, girth)
    })?;
    require_apart(reader, &list, &measured, girth, PI)?;
    let contour = Contour::of_diameters(girth, &measured);
    if let Ok(contour) = &contour {
        require_girth(reader, raw, girth, contour, "diameters")?;
    }
    let least = measured.iter().map(|(_, across)| *across).fold(f64::MAX, f64::min);
    let most = measured.iter().map(|(_, across)| *across).fold(0.0, f64::max);
    let units = reader.result_units();
    Some((
        contour,
        format!("out of round, {} to {}", units.show(least), units.show(most)),
    ))
}

fn offset_section(reader: &mut Reader, raw: &raw::Section, list: &[raw::Offset], girth: f64) -> Found {
    refuse_at(reader, raw)?;
    let list = list.iter().map(|one| (one.at.as_ref(), one.out.as_ref()));
    let list: Vec<MeasuredPlace<'_>> = list.collect();
    let deepest = girth / TAU / 4.0;
    let offset = |reader: &mut Reader, word: &Word| {
        let out = reader.length(word)?;
        let can_be = out.abs() <= deepest;
        let problem = Problem::new("this place can't be that far from a true circle")
            .figures(
                Phrase::default()
                    .length(out)
                    .words(", on a radius of ")
                    .length(girth / TAU),
            )
            .help(format!(
                "give how far the skin stands out (inwards: below 0), up to {}",
                reader.result_units().show_limit(deepest)
            ));
        reader.take(word, can_be.then_some(out).ok_or(problem))
    };
    let measured = all(reader, raw, &list, (3, "offsets"), girth, &offset)?;
    require_apart(reader, &list, &measured, girth, TAU)?;
    let (least, most) = measured.iter().fold((f64::MAX, f64::MIN), |(least, most), (_, out)| {
        (least.min(*out), most.max(*out))
    });
    let units = reader.result_units();
    let words = format!("out of round by {}", units.show(most - least));
    Some((Contour::of_offsets(girth, &measured), words))
}

/// `at` belongs to an oval.
fn refuse_at(reader: &mut Reader, raw: &raw::Section) -> Option<()> {
    let Some(word) = &raw.at else { return Some(()) };
    let problem = Problem::new("\"at\" here belongs to an oval").help("each diameter or offset has its own \"at\"");
    reader.refused(word, problem)
}

/// Every place with its value, at least so many.
fn all(
    reader: &mut Reader,
    raw: &raw::Section,
    list: &[MeasuredPlace<'_>],
    (least, what): (usize, &str),
    girth: f64,
    value: &dyn Fn(&mut Reader, &Word) -> Option<f64>,
) -> Option<Vec<(Mark, f64)>> {
    if !(least..=MOST_PLACES).contains(&list.len()) {
        let problem = Problem::new(format!("a section needs {least} to {MOST_PLACES} {what}"))
            .help("measure at more places round the girth, or leave out some");
        return reader.refused(&raw.here, problem.figures(format!("{} given", list.len())));
    }
    let read = list.iter().map(|(at, of)| {
        let at = at.and_then(|word| place(reader, word, girth));
        let value = of.and_then(|word| value(reader, word));
        at.zip(value)
    });
    // All of them, so that every problem is told.
    read.collect::<Vec<_>>().into_iter().collect()
}

/// A place round the girth, no farther than once round.
fn place(reader: &mut Reader, word: &Word, girth: f64) -> Option<Mark> {
    let at = mark(reader, word)?;
    let (turns, once) = match at {
        Mark::Angle(angle) => (angle / TAU, "360 degrees".to_owned()),
        Mark::Arc(arc) => (arc / girth, reader.result_units().show(girth)),
    };
    let problem = Problem::new("this place is more than once round")
        .figures(format!("{turns:.2} times round"))
        .help(format!("once round is {once}"));
    reader.take(word, (turns.abs() <= 1.0).then_some(at).ok_or(problem))
}

fn diameter(reader: &mut Reader, word: &Word, girth: f64) -> Option<f64> {
    let across = reader.length(word)?;
    let round = girth / PI;
    let can_be = (round / FLATTEST..=round * 1.6).contains(&across);
    let problem = Problem::new("the girth and this diameter can't be of one drum")
        .figures(
            Phrase::default()
                .length(across)
                .words(" across, and ")
                .length(girth)
                .words(" round: ")
                .length(round)
                .words(" across if it were round"),
        )
        .help("measure again, or give the girth that was measured: \"size\": \"girth ...\"");
    reader.take(word, can_be.then_some(across).ok_or(problem))
}

fn require_girth(reader: &mut Reader, raw: &raw::Section, girth: f64, contour: &Contour, what: &str) -> Option<()> {
    let off = girth / contour.girth() - 1.0;
    if off.abs() <= GIRTHS_DIFFER {
        return Some(());
    }
    let problem = Problem::new(format!("the girth and the {what} contradict each other"))
        .figures(
            Phrase::default()
                .length(girth)
                .words(" round as given, ")
                .length(contour.girth())
                .words(format!(
                    " by the {what}: {:.1} % {}",
                    100.0 * off.abs(),
                    if off > 0.0 { "more" } else { "less" }
                )),
        )
        .help("measure again; give the girth that the tape says: \"size\": \"girth ...\"");
    reader.refused(&raw.here, problem)
}

/// Whether no two places are as good as one; `period` is that of what was measured, in radians.
fn require_apart(
    reader: &mut Reader,
    list: &[MeasuredPlace<'_>],
    measured: &[(Mark, f64)],
    girth: f64,
    period: f64,
) -> Option<()> {
    let angle = |mark: Mark| match mark {
        Mark::Angle(angle) => angle,
        Mark::Arc(arc) => arc / girth * TAU,
    };
    for (index, (mark, _)) in measured.iter().enumerate() {
        for (other, _) in &measured[..index] {
            let apart = (angle(*mark) - angle(*other)).rem_euclid(period);
            let apart = apart.min(period - apart).to_degrees();
            if apart < NEAREST_DEG {
                let what = if period < TAU {
                    ", a diameter's other end counted"
                } else {
                    ""
                };
                let problem = Problem::new("two of these places are as good as one")
                    .figures(format!("{apart:.1} degrees apart{what}"))
                    .help(format!("measure at places {NEAREST_DEG} degrees apart or more"));
                return reader.refused(list[index].0?, problem);
            }
        }
    }
    Some(())
}

fn is_hollow(hollow: &Hollow) -> Problem {
    Problem::new("this section would be hollow, and a body must bulge everywhere")
        .figures(Phrase::default().length(hollow.deep_mm).words(format!(
            " deep under a straight edge, {} round from the zero line",
            show_angle(hollow.round.to_degrees())
        )))
        .help("measure there again; a dent can't be drawn")
}

/// The inner skin lies the wall inside the outer one, which must not bend tighter than that.
fn require_bore(reader: &mut Reader, raw: &raw::Section, contour: &Contour, size: &Size) -> Option<()> {
    let (tightest, round) = contour.tightest();
    let Some(wall) = size.wall_mm.filter(|wall| *wall >= tightest) else {
        return Some(());
    };
    let problem = Problem::new("the wall is thicker than the section's tightest bend").figures(
        Phrase::from("wall ")
            .length(wall)
            .words("; a radius of ")
            .length(tightest)
            .words(format!(", {} round from the zero line", show_angle(round.to_degrees()))),
    );
    reader.refused(&raw.here, problem.help("measure there again"))
}
