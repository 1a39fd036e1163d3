//! A branch cut flat on a chop saw.

use crate::job::raw::{self, Word};
use crate::job::{Facets, Saddle};
use crate::problem::Problem;

use super::{Reader, flat_cuts, give, given, saddle};

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
    let pair = flat_cuts::pair(reader, &raw.cuts, od_mm);
    let saw_limit_deg = flat_cuts::read_saw(reader, raw.saw_limit.as_ref(), USUAL_LIMIT_DEG);
    let gap_limit_mm = given(&raw.gap, USUAL_GAP_MM, |word| {
        read_within(reader, word, "gap", [0.01, 20.0])
    });
    require_room_for_gap(reader, raw, joint.as_ref(), gap_limit_mm);
    let round_mm = given(&raw.round, None, |word| rounding(reader, word).map(Some));
    let (joint, (scribe_mm, [saw_front_deg, saw_back_deg])) = (joint?, pair?);
    Some(Facets {
        joint,
        scribe_mm,
        saw_front_deg,
        saw_back_deg,
        saw_limit_deg: saw_limit_deg?,
        gap_limit_mm: gap_limit_mm?,
        round_mm: round_mm?,
    })
}

/// How far flat cuts are rounded off, in millimetres.
pub(super) fn rounding(reader: &mut Reader, word: &Word) -> Option<f64> {
    read_within(reader, word, "rounding", [0.0, 100.0])
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

fn read_within(reader: &mut Reader, word: &Word, what: &str, range: [f64; 2]) -> Option<f64> {
    let length = reader.length(word)?;
    let problem = Problem::new(format!("this {what} can't be right"));
    reader.within(word, length, range, problem, give)
}
