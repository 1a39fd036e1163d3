//! `girthline batch`

use std::path::{Path, PathBuf};

use indicatif::{ProgressBar, ProgressStyle};

use super::common::{DrawFlags, told};
use super::job_file::JobPath;
use super::outcome::Outcome;
use crate::job::Assembly;
use crate::job::resolve::{self, Resolved};
use crate::output::{Csv, NewFolder, Output, made_kinds};
use crate::plan::{self, Plan};
use crate::problem::{Problem, Problems};
use crate::wording::said;

/// A whole job from one file: every piece, every hole, cut list and sticks.
///
/// `girthline new` gives a job to start from, `girthline schema` the JSON Schema of job files.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file; - reads it from standard input.
    #[arg(value_name = "JOB.json")]
    job: PathBuf,
    /// Tell the problems and clashes only; write nothing. The exit code is 1 where there are clashes.
    #[arg(long)]
    check: bool,
    /// The cut list as comma-separated values.
    #[arg(long, value_name = "FILE.csv")]
    cut_list: Option<PathBuf>,
    /// A PDF for each kind of piece too, in this folder.
    #[arg(long, value_name = "DIR")]
    split: Option<PathBuf>,
    #[command(flatten)]
    draw: DrawFlags,
}

impl Args {
    pub(super) fn run(self) -> Result<Outcome, Problems> {
        let job = self.resolved()?;
        let bar = progress_bar();
        let plan = plan::batch(&job, &|done, all| {
            bar.set_length(all as u64);
            bar.set_position(done as u64);
        })?;
        bar.finish_and_clear();
        // The plan has its own, with the drains where they land.
        drop(job);
        let said = said(&plan);
        if self.check {
            let mut lines = told(&said);
            lines.extend(self.draw.ordinates(&plan));
            lines.push("Nothing was written.".to_owned());
            let is_well = plan.job().is_none_or(|job| job.cut_list.clashes.is_empty());
            return Ok(Outcome::checked(lines, is_well));
        }
        let usual = self
            .job
            .file_stem()
            .map_or_else(|| "job".to_owned(), |stem| stem.to_string_lossy().into_owned());
        let usual = if usual == "-" { "job".to_owned() } else { usual };
        let list = self.cut_list.as_ref().zip(plan.job());
        let list = list.map(|(path, job)| {
            let (list, units) = (&job.cut_list, plan.sheet.units);
            Output::new(path, Csv { list, units })
        });
        let mut more: Vec<Output<'_>> = list.into_iter().collect();
        // What is made for it goes again where nothing can be written.
        let _made = self.split.as_deref().map(NewFolder::make).transpose()?;
        if let Some(folder) = &self.split {
            more.extend(piece_by_piece(folder, &plan)?);
        }
        self.draw
            .write_with(&usual, &plan, &said, more, Some(&JobPath(&self.job).input()))
    }

    fn resolved(&self) -> Result<Resolved<Assembly>, Problems> {
        let (job, sheet) = JobPath(&self.job).read(self.draw.raw())?;
        resolve::job_file(&job, &sheet)
    }
}

/// On standard error, and only where that is a terminal.
fn progress_bar() -> ProgressBar {
    let style = ProgressStyle::with_template("solving {wide_bar} {pos} of {len} tubes");
    let bar = ProgressBar::new(0);
    // The template is a constant; a bar without it is still a bar.
    style.map_or(bar.clone(), |style| bar.with_style(style))
}

/// A PDF for each kind of piece that has patterns.
fn piece_by_piece(folder: &Path, plan: &Plan) -> Result<Vec<Output<'static>>, Problem> {
    let files = made_kinds(plan).map(|made| {
        let (label, pdf) = made?;
        let name: String = label
            .chars()
            .map(|c| if c.is_alphanumeric() { c } else { '-' })
            .collect();
        Ok(Output::new(folder.join(format!("{name}.pdf")), pdf))
    });
    files.collect()
}
