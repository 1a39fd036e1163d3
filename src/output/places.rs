//! Where paths lead, however they are spelt and through whatever links: no output goes over the input, or over another.

use std::fs;
use std::path::{Path, PathBuf};

use super::contents::Output;
use super::devices::is_standard_output;
use crate::problem::{Problem, Problems};

/// Refuses outputs that would go over the file that was read, by whatever name or link they lead to it.
///
/// # Errors
/// Each such output. An input that is no regular file, such as a pipe, can't be lost.
pub fn keep_input(input: &Path, outputs: &[Output<'_>]) -> Result<(), Problems> {
    let mut problems = Problems::none();
    if fs::metadata(input).is_ok_and(|there| there.is_file()) {
        let place = Place::of(input);
        for output in outputs.iter().filter(|output| Place::of(&output.path) == place) {
            problems.add(
                Problem::new("this file is the job itself, and would be written over")
                    .at(output.path.as_path())
                    .help("give the output another name, e.g. --out FILE.pdf"),
            );
        }
    }
    problems.unless_any(Some(()))
}

/// The place that a path leads to, however it is spelt and through whatever links.
#[derive(PartialEq, Eq, Hash)]
pub(super) enum Place {
    /// Of a file that is there: its device and its number, which hard links share.
    #[cfg(unix)]
    There(u64, u64),
    Named(PathBuf),
}

impl Place {
    pub(super) fn of(path: &Path) -> Self {
        if is_standard_output(path) {
            return Self::Named(path.to_owned());
        }
        #[cfg(unix)]
        if let Ok(there) = fs::metadata(path) {
            use std::os::unix::fs::MetadataExt;
            return Self::There(there.dev(), there.ino());
        }
        let path = through_links(path);
        let folder = folder_of(&path).canonicalize();
        Self::Named(match (folder, path.file_name()) {
            (Ok(folder), Some(name)) => folder.join(name),
            _ => path,
        })
    }
}

/// Where links lead, though nothing may be there yet.
pub(super) fn through_links(path: &Path) -> PathBuf {
    /// As many as the usual systems follow.
    const MOST_LINKS: usize = 40;
    let mut path = path.to_owned();
    for _ in 0..MOST_LINKS {
        let Ok(target) = fs::read_link(&path) else { break };
        path = folder_of(&path).join(target);
    }
    path
}

pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}
