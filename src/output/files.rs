//! Bytes to files: each written whole or not at all, and none unless all can be.

use std::collections::HashSet;
use std::fs;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use tempfile::TempPath;

use super::contents::Output;
use super::devices::{is_standard_output, write_straight};
use super::leftovers::{all_done, finish, remove_older, unfinished_file};
use super::places::{Place, folder_of, through_links};
use crate::problem::{Problem, Problems};

/// Writes all files: first beside their places under other names, then, when every byte is on the
/// disk, renamed into place. Older files survive a failed run.
///
/// # Errors
/// Every file that can't be written, with the system's reason; then no file was changed.
pub fn write_all(outputs: &mut [Output<'_>]) -> Result<(), Problems> {
    let done = write_each(outputs);
    all_done();
    done
}

fn write_each(outputs: &mut [Output<'_>]) -> Result<(), Problems> {
    let mut problems = Problems::none();
    let mut places = HashSet::new();
    for output in outputs.iter() {
        if !places.insert(Place::of(&output.path)) {
            problems.add(
                Problem::new("two files can't have one name")
                    .at(output.path.as_path())
                    .help("give each output a name of its own"),
            );
        }
    }
    let staged: Vec<Staged<'_, '_>> = outputs
        .iter_mut()
        .filter_map(|output| {
            let path = output.path.clone();
            problems.take(stage(output).map_err(|error| unwritable(&path, &error)))
        })
        .collect();
    let (mut straight, mut beside) = (Vec::new(), Vec::new());
    for file in problems.unless_any(Some(staged))? {
        match file {
            Staged::Straight(output) => straight.push(output),
            Staged::Beside(file, target) => beside.push((file, target)),
        }
    }
    let folders: HashSet<&Path> = beside.iter().map(|(_, target)| folder_of(target)).collect();
    folders.into_iter().for_each(remove_older);
    // Devices first: they are what can still fail.
    for Output { path, contents } in straight {
        write_straight(path, contents.as_mut()).map_err(|error| unwritable(path, &error))?;
    }
    finish(beside).map_err(|(target, error)| unwritable(&target, &error))?;
    Ok(())
}

enum Staged<'a, 'c> {
    /// Complete, under another name.
    Beside(TempPath, PathBuf),
    /// A pipe or device can only be written to as it is.
    Straight(&'a mut Output<'c>),
}

fn stage<'a, 'c>(output: &'a mut Output<'c>) -> io::Result<Staged<'a, 'c>> {
    if is_standard_output(&output.path) {
        return Ok(Staged::Straight(output));
    }
    let mut permissions = None;
    let target = match fs::metadata(&output.path) {
        Ok(there) if there.is_dir() => return Err(io::Error::from(io::ErrorKind::IsADirectory)),
        Ok(there) if !there.is_file() => return Ok(Staged::Straight(output)),
        // Through a link, so that it stays one.
        Ok(there) if there.permissions().readonly() => return Err(io::Error::from(io::ErrorKind::PermissionDenied)),
        Ok(there) => {
            // Who may read it stays as it is.
            permissions = Some(there.permissions());
            fs::canonicalize(&output.path)?
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound && !ends_as_folder(&output.path) => {
            through_links(&output.path)
        }
        Err(error) => return Err(error),
    };
    let mut file = unfinished_file(folder_of(&target), permissions)?;
    let mut buffered = BufWriter::new(&mut file);
    output.contents.write_to(&mut buffered)?;
    buffered.flush()?;
    drop(buffered);
    file.as_file().sync_all()?;
    Ok(Staged::Beside(file.into_temp_path(), target))
}

/// `name/` names a folder.
fn ends_as_folder(path: &Path) -> bool {
    path.as_os_str().to_string_lossy().ends_with(std::path::is_separator)
}

fn unwritable(path: &Path, error: &io::Error) -> Problem {
    Problem::output("the file can't be written")
        .at(path)
        .figures(error.to_string())
        .help("nothing was changed; choose another place for it, or make room")
}
