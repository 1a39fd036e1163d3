//! The job file that a command reads.

use std::io::Read;
use std::path::{Path, PathBuf};

use super::common::Input;
use super::pipe;
use crate::job::raw;
use crate::job::read::{self, read_so_far, text_of};
use crate::job::resolve;
use crate::problem::{Place, Problem, Problems};

/// Where a job file is.
pub(super) struct JobPath<'a>(pub(super) &'a PathBuf);

impl JobPath<'_> {
    /// Its words, with those of its sheets under what the flags say.
    pub(super) fn read(&self, flags: raw::Sheet) -> Result<(raw::JobFile, raw::Sheet), Problems> {
        let (name, text) = self.text()?;
        let mut read = read_so_far(&name, &text);
        let of_file = read.value.as_ref().map(|job| job.sheet.clone());
        let sheet = over(flags, of_file.unwrap_or_default());
        if !read.problems.is_empty() {
            let others = resolve::what_else_is_wrong(&read, &sheet);
            read.problems.add_all(&others);
        }
        let job = read.problems.unless_any(read.value)?;
        Ok((job, sheet))
    }

    fn text(&self) -> Result<(String, String), Problem> {
        if self.is_standard_input() {
            let name = "standard input".to_owned();
            let bytes = no_more_than_a_job(&name, std::io::stdin().lock())?;
            return text_of(&name, bytes).map(|text| (name, text));
        }
        let name = self.0.display().to_string();
        let file = pipe::open(self.0).map_err(|error| unreadable(&name, &error))?;
        let bytes = no_more_than_a_job(&name, file)?;
        text_of(&name, bytes).map(|text| (name, text))
    }

    fn is_standard_input(&self) -> bool {
        self.0.as_os_str() == "-"
    }

    /// The file that is read, which no output may go over.
    pub(super) fn input(&self) -> Input<'_> {
        if self.is_standard_input() {
            let path = Path::new("/dev/stdin");
            return Input { path, name: None };
        }
        let name = self.0.file_name().map(|name| name.to_string_lossy().into_owned());
        Input { path: self.0, name }
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
        fractions: flags.fractions.or(file.fractions),
        paper: flags.paper.or(file.paper),
        paper_thickness: flags.paper_thickness.or(file.paper_thickness),
        ruler_reads: flags.ruler_reads.or(file.ruler_reads),
        seam: flags.seam.or(file.seam),
        stations: flags.stations.or(file.stations),
        label: flags.label.or(file.label),
        weld_leg: file.weld_leg,
        weld_throat: file.weld_throat,
        without: if flags.without.is_empty() {
            file.without
        } else {
            flags.without
        },
    }
}
