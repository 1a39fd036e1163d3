//! `girthline batch`

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

use indicatif::{ProgressBar, ProgressStyle};

use super::common::{DrawFlags, pdf_on_sheets, sheet_name};
use crate::job::Assembly;
use crate::job::raw;
use crate::job::read::{self, read_job, text_of};
use crate::job::resolve::{self, Resolved};
use crate::layout::panels;
use crate::output::{Output, csv_bytes};
use crate::plan::{self, Plan};
use crate::problem::{Place, Problem, Problems};
use crate::wording::said;

/// A whole job from one file: every piece, every hole, cut list and sticks.
///
/// `girthline new` gives a job to start from, `girthline schema` the JSON Schema of job files.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// The job file; - reads it from standard input.
    #[arg(value_name = "JOB.json")]
    job: PathBuf,
    /// Tell the problems and clashes only; write nothing.
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
    pub(super) fn run(self) -> Result<Vec<String>, Problems> {
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
            let mut lines = said.summary;
            lines.extend(said.notes.iter().map(|warning| format!("note: {warning}")));
            lines.push("Nothing was written.".to_owned());
            return Ok(lines);
        }
        let usual = self
            .job
            .file_stem()
            .map_or_else(|| "job".to_owned(), |stem| stem.to_string_lossy().into_owned());
        let usual = if usual == "-" { "job".to_owned() } else { usual };
        let list = self.cut_list.as_ref().zip(plan.job());
        let list = list.map(|(path, job)| Ok::<_, Problem>(Output::new(path, csv_bytes(&job.cut_list)?)));
        let mut more: Vec<Output> = list.into_iter().collect::<Result<_, _>>()?;
        if let Some(folder) = &self.split {
            more.extend(piece_by_piece(folder, &plan)?);
        }
        self.draw.write_with(&usual, &plan, &said, more, Some(self.input()))
    }

    fn resolved(&self) -> Result<Resolved<Assembly>, Problems> {
        let (name, text) = self.read()?;
        let job = read_job(&name, &text)?;
        let sheet = over(self.draw.raw(), job.sheet.clone());
        resolve::job_file(&job, &sheet)
    }

    fn read(&self) -> Result<(String, String), Problem> {
        if self.job.as_os_str() == "-" {
            let name = "standard input".to_owned();
            let bytes = no_more_than_a_job(&name, std::io::stdin().lock())?;
            return text_of(&name, bytes).map(|text| (name, text));
        }
        let name = self.job.display().to_string();
        let file = fs::File::open(&self.job).map_err(|error| unreadable(&name, &error))?;
        let bytes = no_more_than_a_job(&name, file)?;
        text_of(&name, bytes).map(|text| (name, text))
    }

    /// The file that is read, which no output may go over.
    fn input(&self) -> &Path {
        if self.job.as_os_str() == "-" {
            Path::new("/dev/stdin")
        } else {
            &self.job
        }
    }
}

/// All that can be read, no further than a job may be long: a device may never end.
fn no_more_than_a_job(name: &str, from: impl Read) -> Result<Vec<u8>, Problem> {
    let mut bytes = Vec::new();
    let most = read::LARGEST as u64 + 1;
    let read = from.take(most).read_to_end(&mut bytes);
    read.map_err(|error| unreadable(name, &error))?;
    if bytes.len() > read::LARGEST {
        return Err(read::too_large(name));
    }
    Ok(bytes)
}

/// On standard error, and only where that is a terminal.
fn progress_bar() -> ProgressBar {
    let style = ProgressStyle::with_template("solving {wide_bar} {pos} of {len} tubes");
    let bar = ProgressBar::new(0);
    // The template is a constant; a bar without it is still a bar.
    style.map_or(bar.clone(), |style| bar.with_style(style))
}

/// A PDF for each kind of piece that has patterns.
fn piece_by_piece(folder: &Path, plan: &Plan) -> Result<Vec<Output>, Problem> {
    fs::create_dir_all(folder).map_err(|error| {
        Problem::output("the folder can't be made")
            .at(folder)
            .figures(error.to_string())
            .help("choose another place for it")
    })?;
    let options = &plan.sheet;
    let with_patterns = panels::kinds(plan).filter(|(_, panels)| !panels.is_empty());
    with_patterns
        .map(|(label, panels)| {
            let (pdf, _) = pdf_on_sheets(&label, &sheet_name(&label, options), panels, options, false)?;
            let name: String = label
                .chars()
                .map(|c| if c.is_alphanumeric() { c } else { '-' })
                .collect();
            Ok(Output::new(folder.join(format!("{name}.pdf")), pdf))
        })
        .collect()
}

fn unreadable(name: &str, error: &std::io::Error) -> Problem {
    Problem::new("the job file can't be read")
        .at(Place::File(name.to_owned()))
        .figures(error.to_string())
        .help("`girthline new` lists jobs to start from")
}

/// What a flag says counts before what the file says. The file's units stay with its numbers.
fn over(flags: raw::Sheet, file: raw::Sheet) -> raw::Sheet {
    raw::Sheet {
        units: flags.units,
        paper: flags.paper.or(file.paper),
        paper_thickness: flags.paper_thickness.or(file.paper_thickness),
        ruler_reads: flags.ruler_reads.or(file.ruler_reads),
        seam: flags.seam.or(file.seam),
        stations: flags.stations.or(file.stations),
        label: flags.label.or(file.label),
    }
}
