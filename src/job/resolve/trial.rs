//! A trial fit: the joint, or the end of a job, and the gaps that were read.

use crate::job::raw;
use crate::job::{EndRequest, Trial, TrialOf, WhichEnd};
use crate::problem::Problems;

use super::readings::{self, Read};
use super::{Reader, Resolved, assembly, saddle, trial_end};

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
    let radius_mm = joint.as_ref().map(|joint| joint.branch.radius());
    let read = readings::resolve(reader, &raw.read, radius_mm, WhichEnd::Near);
    let joint = joint?;
    let Read {
        readings,
        read_within_mm,
        gap_limit_mm,
    } = read?;
    Some(Trial {
        offered: joint.offered_up(),
        of: TrialOf::Joint(Box::new(joint)),
        readings,
        read_within_mm,
        gap_limit_mm,
    })
}
