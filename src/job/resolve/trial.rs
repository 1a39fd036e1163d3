//! A trial fit: the joint, or the end of a job, and the gaps that were read.

use crate::job::raw;
use crate::job::{EndRequest, FlatCuts, Join, Saddle, Touch, Trial, TrialOf, WhichEnd};
use crate::problem::{Problem, Problems};

use super::readings::{self, Read};
use super::{Reader, Resolved, assembly, facets, flat_cuts, given, saddle, trial_end};

/// A trial fit of a branch on a header.
///
/// # Errors
/// Everything that is wrong with the words.
pub fn trial(trial: &raw::Trial, sheet: &raw::Sheet) -> Result<Resolved<Trial>, Problems> {
    let mut reader = Reader::new(sheet);
    let trial = resolve(&mut reader, trial);
    reader.finish(trial, sheet)
}

/// A trial fit of an end of a job.
///
/// # Errors
/// Everything that is wrong with the words.
pub fn trial_of_job(
    job: &raw::JobFile,
    trial: &raw::EndTrial,
    sheet: &raw::Sheet,
) -> Result<Resolved<EndRequest>, Problems> {
    let mut reader = Reader::of_file(job, sheet);
    let assembly = assembly::resolve(&mut reader, job);
    assembly::require_tubes(&mut reader, job);
    let asked = trial_end::resolve(&mut reader, trial, assembly);
    reader.finish(asked, sheet)
}

fn resolve(reader: &mut Reader, raw: &raw::Trial) -> Option<Trial> {
    let joint = saddle::resolve(reader, &raw.joint);
    let flat = flat(reader, raw, joint.as_ref());
    let radius_mm = joint.as_ref().map(|joint| joint.branch.radius());
    let read = readings::resolve(reader, &raw.read, radius_mm, WhichEnd::Near);
    let (joint, flat) = (joint?, flat?);
    let Read {
        readings,
        read_within_mm,
        gap_limit_mm,
    } = read?;
    Some(Trial {
        offered: joint.offered_up(flat),
        of: TrialOf::Joint(Box::new(joint)),
        readings,
        read_within_mm,
        gap_limit_mm,
    })
}

/// How the end was cut, where that was flat: where any of the saw's settings is given. None where they are wrong, or don't go
/// with the joint.
fn flat(reader: &mut Reader, raw: &raw::Trial, joint: Option<&Saddle>) -> Option<Option<FlatCuts>> {
    let cuts = &raw.cuts;
    let settings = [&cuts.scribe, &cuts.saw, &cuts.saw_front, &cuts.saw_back];
    let Some(setting) = settings.into_iter().flatten().next() else {
        return match &raw.round {
            None => Some(None),
            Some(round) => {
                let problem = Problem::new("rounding belongs to an end that was sawn flat")
                    .help("say how it was sawn, too, or leave the rounding out")
                    .by("--scribe, --saw, --saw-front, --saw-back");
                reader.refused(round, problem)
            }
        };
    };
    let od_mm = joint.map(|joint| joint.branch.across_mm());
    let flat = flat_cuts::sawn(reader, cuts, od_mm);
    let rounded_mm = given(&raw.round, 0.0, |word| facets::rounding(reader, word));
    if let Some(joint) = joint {
        if !facets::require_round(reader, &raw.joint.branch, joint) {
            return None;
        }
        if let Some(word) = of_coped_ends(&raw.joint, joint) {
            let problem = Problem::new("flat saw cuts are those of an end that is set on, whose centre lines meet")
                .against(setting)
                .help("leave it out; or leave the saw's settings out if the end was coped");
            return reader.refused(word, problem);
        }
    }
    Some(Some(FlatCuts {
        rounded_mm: rounded_mm?,
        ..flat?
    }))
}

/// A word that says something of a joint which flat cuts are not made for.
fn of_coped_ends<'a>(raw: &'a raw::Saddle, joint: &Saddle) -> Option<&'a raw::Word> {
    let said = [
        (&raw.turned, joint.turned_deg != 0.0),
        (&raw.offset, joint.offset_mm != 0.0),
        (&raw.touch, joint.touch != Touch::Wall),
        (&raw.join, joint.join != Join::SetOn),
        (&raw.root_gap, joint.root_gap_mm != 0.0),
    ];
    said.into_iter()
        .find_map(|(word, is_said)| word.as_ref().filter(|_| is_said))
}
