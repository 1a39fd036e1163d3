//! A branch cut flat on a chop saw.

use crate::job::raw::{self, Word};
use crate::job::{Facets, FlatCuts, Saddle};
use crate::measure::{parse_length, parse_share_of_od};
use crate::phrase::Phrase;
use crate::problem::Problem;

use super::{Reader, saddle};

/// Settings past this are steeper than any saw or jig reaches, in degrees off square.
const STEEPEST_DEG: f64 = 80.0;

/// The rule of the trade (common practice): scribe at a third of the diameter, cut at 45 degrees.
const RULE_SHARE: f64 = 1.0 / 3.0;
const RULE_SAW_DEG: f64 = 45.0;

/// What most chop saws reach, in degrees off square (common practice).
const USUAL_LIMIT_DEG: f64 = 45.0;

/// A gap wider than the wire is hard to close on thin sheet: ESAB MIG Handbook 8.4 has root gaps to
/// 1/32 in, 0.8 mm, for short arc on plate to 3/16 in.
const USUAL_GAP_MM: f64 = 0.8;

pub(super) fn resolve(reader: &mut Reader, raw: &raw::Facets) -> Option<Facets> {
    let joint = raw::Saddle {
        branch: raw.branch.clone(),
        header: raw.header.clone(),
        angle: raw.angle.clone(),
        offset: None,
        touch: None,
        join: None,
        clearance: None,
        root_gap: raw.root_gap.clone(),
        turned: None,
    };
    let joint = saddle::resolve(reader, &joint);
    let joint = joint.filter(|joint| require_round(reader, &raw.branch, joint));
    let od_mm = joint.as_ref().map(|joint| joint.branch.across_mm());
    let cuts = flat_cuts(reader, &raw.cuts, od_mm);
    let saw_limit_deg = read_saw(reader, raw.saw_limit.as_ref(), USUAL_LIMIT_DEG);
    let gap_limit_mm = raw
        .gap
        .as_ref()
        .map_or(Some(USUAL_GAP_MM), |word| read_within(reader, word, "gap", 0.01, 20.0));
    require_room_for_gap(reader, raw, joint.as_ref(), gap_limit_mm);
    let round_mm = raw.round.as_ref().map(|word| rounding(reader, word));
    let (joint, cuts) = (joint?, cuts?);
    Some(Facets {
        joint,
        scribe_mm: cuts.scribe_mm,
        saw_front_deg: cuts.saw_front_deg,
        saw_back_deg: cuts.saw_back_deg,
        saw_limit_deg: saw_limit_deg?,
        gap_limit_mm: gap_limit_mm?,
        round_mm: match round_mm {
            None => None,
            Some(round) => Some(round?),
        },
    })
}

/// How an end is cut flat, nothing rounded off; `od_mm` is there unless the branch has problems of its own.
pub(super) fn flat_cuts(reader: &mut Reader, raw: &raw::FlatCuts, od_mm: Option<f64>) -> Option<FlatCuts> {
    let scribe_mm = read_scribe(reader, raw.scribe.as_ref(), od_mm);
    let (saw_front_deg, saw_back_deg) = read_saws(reader, raw);
    Some(FlatCuts {
        scribe_mm: scribe_mm?,
        saw_front_deg: saw_front_deg?,
        saw_back_deg: saw_back_deg?,
        rounded_mm: 0.0,
    })
}

/// How far flat cuts are rounded off, in millimetres.
pub(super) fn rounding(reader: &mut Reader, word: &Word) -> Option<f64> {
    read_within(reader, word, "rounding", 0.0, 100.0)
}

/// The seat of flat cuts is worked out for round tube alone.
pub(super) fn require_round(reader: &mut Reader, word: &Word, joint: &Saddle) -> bool {
    let is_round = !joint.branch.has_sides();
    if !is_round {
        reader.refuse(
            word,
            Problem::new("flat saw cuts are worked out for round tube only")
                .figures(format!("this is {}", joint.branch.describe(reader.result_units())))
                .help("the wrap of a branch on a header is the true cut of a tube with sides")
                .by("girthline saddle"),
        );
    }
    is_round
}

/// The weld bridges the root gap and what the cuts leave besides: the limit is on both together.
fn require_room_for_gap(reader: &mut Reader, raw: &raw::Facets, joint: Option<&Saddle>, limit_mm: Option<f64>) {
    let (Some(word), Some(joint), Some(limit_mm)) = (&raw.root_gap, joint, limit_mm) else {
        return;
    };
    if joint.root_gap_mm < limit_mm {
        return;
    }
    let units = reader.result_units();
    let [root_gap, limit] = units.show_apart([joint.root_gap_mm, limit_mm]);
    reader.refuse(
        word,
        Problem::new("the root gap leaves nothing of the widest gap that can be welded")
            .figures(format!("root gap {root_gap}, widest gap {limit}"))
            .help("the widest gap counts the root gap in: give a wider one, or less root gap")
            .by("--gap"),
    );
}

/// A length, or a share of the diameter; `od_mm` is there unless the branch has problems of its own.
fn read_scribe(reader: &mut Reader, word: Option<&Word>, od_mm: Option<f64>) -> Option<f64> {
    let Some(word) = word else {
        return od_mm.map(|od| od * RULE_SHARE);
    };
    let scribe = match parse_share_of_od(&word.text) {
        Some(share) => share * od_mm?,
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
    let od_mm = od_mm?;
    if scribe > 0.0 && scribe <= 2.0 * od_mm {
        return Some(scribe);
    }
    reader.refuse(
        word,
        Problem::new("a line can't be scribed there")
            .figures(
                Phrase::default()
                    .length(scribe)
                    .words(" from the end of a tube of ")
                    .length(od_mm),
            )
            .help("give a length above 0 and up to twice the diameter; the rule of the trade is 1/3od"),
    );
    None
}

fn read_saws(reader: &mut Reader, raw: &raw::FlatCuts) -> (Option<f64>, Option<f64>) {
    if let (Some(both), Some(one)) = (&raw.saw, raw.saw_front.as_ref().or(raw.saw_back.as_ref())) {
        reader.refuse(
            both,
            Problem::new("one saw angle is given for both sides, and one for a side as well")
                .figures(format!("{} and {}", both.text.trim(), one.text.trim()))
                .against(one)
                .help("give one for both sides, or one for the front and one for the back")
                .by("--saw, or --saw-front with --saw-back"),
        );
        return (None, None);
    }
    let both = read_saw(reader, raw.saw.as_ref(), RULE_SAW_DEG);
    let Some(both) = both else { return (None, None) };
    (
        read_saw(reader, raw.saw_front.as_ref(), both),
        read_saw(reader, raw.saw_back.as_ref(), both),
    )
}

fn read_saw(reader: &mut Reader, word: Option<&Word>, usual: f64) -> Option<f64> {
    let Some(word) = word else { return Some(usual) };
    let angle = reader.angle(word)?;
    if (0.0..=STEEPEST_DEG).contains(&angle) {
        return Some(angle);
    }
    reader.refuse(
        word,
        Problem::new(format!("a saw can't be set to {angle} degrees"))
            .help(format!("give degrees off square, from 0 to {STEEPEST_DEG}; a saw that reads 90 for a square cut reads 90 less the angle")),
    );
    None
}

fn read_within(reader: &mut Reader, word: &Word, what: &str, low: f64, high: f64) -> Option<f64> {
    let length = reader.length(word)?;
    if (low..=high).contains(&length) {
        return Some(length);
    }
    reader.refuse(
        word,
        Problem::new(format!("this {what} can't be right"))
            .figures(Phrase::default().length(length))
            .help(format!("give {}", reader.result_units().show_range(low, high))),
    );
    None
}
