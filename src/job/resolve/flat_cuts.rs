//! The settings of flat cuts on a chop saw.

use crate::job::raw::{self, Word};
use crate::job::{FlatCuts, SawCut};
use crate::measure::{parse_angle, parse_length, parse_share_of_od};
use crate::phrase::Phrase;
use crate::problem::{Problem, quoted};

use super::Reader;

/// Settings past this are steeper than any saw or jig reaches, in degrees off square.
const STEEPEST_DEG: f64 = 80.0;

/// The rule of the trade (common practice): scribe at a third of the diameter, cut at 45 degrees.
const RULE_SHARE: f64 = 1.0 / 3.0;
const RULE_SAW_DEG: f64 = 45.0;

/// So many cuts a side are more than anybody makes.
const MOST_A_SIDE: usize = 6;

/// The scribe depth in millimetres, and the saw angles of the front's cut and the back's; `od_mm` is there unless the branch has
/// problems of its own.
pub(super) fn pair(reader: &mut Reader, raw: &raw::FlatCuts, od_mm: Option<f64>) -> Option<(f64, [f64; 2])> {
    let scribe_mm = read_scribe(reader, raw.scribe.as_ref(), od_mm);
    let (front, back) = read_saws(reader, raw);
    Some((scribe_mm?, [front?, back?]))
}

/// The same where a side may have several cuts, each touching a line of its own, or none; nothing rounded off.
pub(super) fn sawn(reader: &mut Reader, raw: &raw::FlatCuts, od_mm: Option<f64>) -> Option<FlatCuts> {
    let is_list = |word: &&Word| word.text.contains(',') || word.text.contains(" at ") || is_none(word);
    let sides = [&raw.saw_front, &raw.saw_back];
    let Some(listed) = sides.into_iter().flatten().find(is_list) else {
        let (scribe_mm, [front, back]) = pair(reader, raw, od_mm)?;
        return Some(FlatCuts::pair(scribe_mm, front, back));
    };
    if let Some(both) = &raw.saw {
        refuse_both(reader, both, listed);
        return None;
    }
    let scribe_mm = read_scribe(reader, raw.scribe.as_ref(), od_mm);
    let [front, back] = sides.map(|word| side(reader, word.as_ref(), scribe_mm, od_mm));
    let (front, back) = (front?, back?);
    if front.is_empty() && back.is_empty() {
        let problem = Problem::new("neither side has a cut").help("give the cuts of one side at least: \"45 at 16mm\"");
        return reader.refused(listed, problem.by("--saw-front, --saw-back"));
    }
    Some(FlatCuts {
        front,
        back,
        rounded_mm: 0.0,
    })
}

fn is_none(word: &Word) -> bool {
    word.text.trim().eq_ignore_ascii_case("none")
}

/// `50 at 16mm, 35 at 8mm`, `none`, or `45`, which touches the line that both sides share.
fn side(reader: &mut Reader, word: Option<&Word>, scribe_mm: Option<f64>, od_mm: Option<f64>) -> Option<Vec<SawCut>> {
    let Some(word) = word else {
        return Some(vec![SawCut {
            scribe_mm: scribe_mm?,
            saw_deg: RULE_SAW_DEG,
        }]);
    };
    if is_none(word) {
        return Some(Vec::new());
    }
    let items: Vec<&str> = word.text.split(',').map(str::trim).collect();
    if items.len() > MOST_A_SIDE {
        let problem = Problem::new("these are more cuts than anybody makes on one side")
            .figures(format!("there are {}", items.len()))
            .help(format!("give up to {MOST_A_SIDE}"));
        return reader.refused(word, problem);
    }
    let cuts: Vec<Option<SawCut>> = items
        .into_iter()
        .map(|item| cut(reader, word, item, scribe_mm, od_mm))
        .collect();
    cuts.into_iter().collect()
}

fn cut(reader: &mut Reader, word: &Word, item: &str, scribe_mm: Option<f64>, od_mm: Option<f64>) -> Option<SawCut> {
    let (saw, scribe) = match item.split_once(" at ") {
        Some((saw, scribe)) => (saw.trim(), Some(scribe.trim())),
        None => (item, None),
    };
    if item.is_empty() {
        let problem = Problem::new("a cut is missing between two commas")
            .figures(quoted(word.text.trim()))
            .help("give its saw angle and how far its line stands back: \"50 at 16mm, 35 at 8mm\"");
        return reader.refused(word, problem);
    }
    let saw_deg = reader
        .take(word, parse_angle(saw))
        .and_then(|angle| reachable(reader, word, angle));
    let scribe_mm = match scribe {
        None => scribe_mm,
        Some(text) => {
            let units = reader.result_units();
            let length = match parse_share_of_od(text) {
                Some(share) => od_mm.map(|od| share * od),
                None => reader.take(word, parse_length(text, Some(units))),
            };
            length.and_then(|length| on_the_tube(reader, word, length, od_mm?))
        }
    };
    Some(SawCut {
        scribe_mm: scribe_mm?,
        saw_deg: saw_deg?,
    })
}

/// Whether it is a plain fraction without a unit, as 1/3, that no inch tape has.
fn is_no_inch_fraction(text: &str) -> bool {
    let parts = text.trim().split_once('/');
    let [part, of] = parts.map_or([None; 2], |(part, of)| {
        [part, of].map(|digits| digits.parse::<u32>().ok())
    });
    part.is_some() && of.is_some_and(|of| !of.is_power_of_two())
}

/// A length, or a share of the diameter; `od_mm` is there unless the branch has problems of its own.
fn read_scribe(reader: &mut Reader, word: Option<&Word>, od_mm: Option<f64>) -> Option<f64> {
    let Some(word) = word else {
        return od_mm.map(|od| od * RULE_SHARE);
    };
    let scribe = match parse_share_of_od(&word.text) {
        Some(share) => share * od_mm?,
        None if is_no_inch_fraction(&word.text) => {
            let text = word.text.trim();
            let problem = Problem::new(format!("{} is not a length that a tape shows", quoted(text))).help(format!(
                "write {text}od for that share of the diameter; as a length it is {text}in"
            ));
            return reader.refused(word, problem);
        }
        None => reader.read(word, |text, units| {
            parse_length(text, units).map_err(|problem| match problem.help {
                Some(help) => Problem {
                    help: Some(format!(
                        "a share of the diameter is written 1/3od; for a length, {help}"
                    )),
                    ..problem
                },
                None => problem,
            })
        })?,
    };
    on_the_tube(reader, word, scribe, od_mm?)
}

/// A line that can be scribed that far back.
fn on_the_tube(reader: &mut Reader, word: &Word, scribe: f64, od_mm: f64) -> Option<f64> {
    if scribe > 0.0 && scribe <= 2.0 * od_mm {
        return Some(scribe);
    }
    reader.refused(
        word,
        Problem::new("a line can't be scribed there")
            .figures(
                Phrase::default()
                    .length(scribe)
                    .words(" from the end of a tube of ")
                    .length(od_mm),
            )
            .help("give a length above 0 and up to twice the diameter; the rule of the trade is 1/3od"),
    )
}

fn refuse_both(reader: &mut Reader, both: &Word, one: &Word) {
    reader.refuse(
        both,
        Problem::new("one saw angle is given for both sides, and one for a side as well")
            .figures(format!("{} and {}", both.text.trim(), one.text.trim()))
            .against(one)
            .help("give one for both sides, or one for the front and one for the back")
            .by("--saw, or --saw-front with --saw-back"),
    );
}

fn read_saws(reader: &mut Reader, raw: &raw::FlatCuts) -> (Option<f64>, Option<f64>) {
    if let (Some(both), Some(one)) = (&raw.saw, raw.saw_front.as_ref().or(raw.saw_back.as_ref())) {
        refuse_both(reader, both, one);
        return (None, None);
    }
    let both = read_saw(reader, raw.saw.as_ref(), RULE_SAW_DEG);
    let Some(both) = both else { return (None, None) };
    (
        read_saw(reader, raw.saw_front.as_ref(), both),
        read_saw(reader, raw.saw_back.as_ref(), both),
    )
}

pub(super) fn read_saw(reader: &mut Reader, word: Option<&Word>, usual: f64) -> Option<f64> {
    let Some(word) = word else { return Some(usual) };
    let angle = reader.angle(word)?;
    reachable(reader, word, angle)
}

fn reachable(reader: &mut Reader, word: &Word, angle: f64) -> Option<f64> {
    if (0.0..=STEEPEST_DEG).contains(&angle) {
        return Some(angle);
    }
    reader.refused(
        word,
        Problem::new(format!("a saw can't be set to {angle} degrees"))
            .help(format!("give degrees off square, from 0 to {STEEPEST_DEG}; a saw that reads 90 for a square cut reads 90 less the angle")),
    )
}
