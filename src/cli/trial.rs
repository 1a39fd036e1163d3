//! `girthline trial`

use std::path::PathBuf;

use super::common::{DrawFlags, Input, word};
use super::job_file::JobPath;
use super::joint::{FlatCutFlags, JointFlags};
use super::outcome::Outcome;
use crate::job::raw::{self, Word};
use crate::job::resolve;
use crate::plan::{self, Plan};
use crate::problem::Problems;
use crate::wording::{said, usual_name};

/// At the trial fit: what is off, by the gaps that were read, and what to grind.
///
/// Say the joint as it was cut for (of an end that was sawn flat also the saw's settings, any of --scribe, --saw, --saw-front, --saw-back; of several cuts a side each with its own line: --saw-front "50 at 16mm, 35 at 8mm" --saw-back none), or which end of a job, push the tube in until it first touches, and read the gaps along
/// the tube. Bare numbers of --gaps, --read-within and --gap are in the units of the results: --units, else those of the
/// sizes or of the job file. In a job crown lines have the names that are on the tube, at both of its ends.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file of the tube, instead of a joint; - reads it from standard input.
    #[arg(value_name = "JOB.json", requires = "tube", requires = "end")]
    job: Option<PathBuf>,
    /// Which tube of the job: its name, of copies with the number as on the sheets ("riser 3"), else the first.
    #[arg(long, value_name = "NAME", requires = "job")]
    tube: Option<String>,
    /// Which end of it: start or end, as its path goes. Set on something, cut to several things, or mitered.
    #[arg(long, value_name = "END", requires = "job")]
    end: Option<String>,
    #[command(flatten)]
    joint: JointFlags,
    #[command(flatten)]
    cuts: FlatCutFlags,
    /// By how much flat cuts were rounded off, as their sheet says how far the tube is then pushed in; 0 by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    round: Option<String>,
    #[command(flatten)]
    readings: Readings,
    #[command(flatten)]
    draw: DrawFlags,
}

/// What was read.
#[derive(Debug, clap::Args)]
struct Readings {
    /// The gaps: evenly spaced from the front to the right, cut end up (0,1.2,0.4,1.2), or "front 0, 22.5deg 0.4, right 1.5, left 1/32in".
    #[arg(long, value_name = "LIST", allow_hyphen_values = true)]
    gaps: String,
    /// How well they were read, the standard error of each; 0.2 mm by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    read_within: Option<String>,
    /// The widest gap that can be welded, 0.8 mm by default.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    gap: Option<String>,
}

/// Flags that say a joint.
const OF_JOINT: [&str; 13] = [
    "branch",
    "header",
    "angle",
    "turned",
    "offset",
    "touch",
    "join",
    "root_gap",
    "scribe",
    "saw",
    "saw_front",
    "saw_back",
    "round",
];

/// With a job there is no joint to be said.
pub(super) fn joint_or_job(command: clap::Command) -> clap::Command {
    OF_JOINT.into_iter().fold(command, |command, flag| {
        command.mut_arg(flag, |arg| {
            let is_needed = arg.is_required_set();
            let arg = arg.required(false).conflicts_with("job");
            if is_needed {
                arg.required_unless_present("job")
            } else {
                arg
            }
        })
    })
}

impl Readings {
    fn raw(&self) -> raw::Readings {
        raw::Readings {
            gaps: Word::flag("--gaps", &self.gaps),
            apart: Vec::new(),
            read_within: word("--read-within", self.read_within.as_ref()),
            gap: word("--gap", self.gap.as_ref()),
        }
    }
}

impl Args {
    pub(super) fn run(self) -> Result<Outcome, Problems> {
        let Some(job) = &self.job else {
            let trial = raw::Trial {
                joint: self.joint.raw(None),
                cuts: self.cuts.raw(),
                round: word("--round", self.round.as_ref()),
                read: self.readings.raw(),
            };
            let job = resolve::trial(&trial, &self.draw.raw())?;
            return self.draw.write(&plan::trial(&job)?);
        };
        let path = JobPath(job);
        let plan = self.of_job(&path)?;
        // The pack of the job is of another subject.
        let input = Input {
            name: None,
            ..path.input()
        };
        self.draw
            .write_with(&usual_name(&plan), &plan, &said(&plan), Vec::new(), Some(&input))
    }

    fn of_job(&self, path: &JobPath<'_>) -> Result<Plan, Problems> {
        let (job, sheet) = path.read(self.draw.raw())?;
        let flag = |flag, text: &Option<String>| Word::flag(flag, text.as_deref().unwrap_or_default());
        let trial = raw::EndTrial {
            tube: flag("--tube", &self.tube),
            end: flag("--end", &self.end),
            read: self.readings.raw(),
        };
        plan::trial_of_job(&resolve::trial_of_job(&job, &trial, &sheet)?)
    }
}
