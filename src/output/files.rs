//! Bytes to files: each written whole or not at all, and none unless all can be.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::{Builder, NamedTempFile};

use crate::problem::{Problem, Problems};

/// What can be put into a file, as often as it is asked for and the same each time.
pub trait Contents {
    /// All of it.
    ///
    /// # Errors
    /// Where the file takes no more.
    fn write_to(&mut self, file: &mut dyn Write) -> io::Result<()>;
}

impl Contents for Vec<u8> {
    fn write_to(&mut self, file: &mut dyn Write) -> io::Result<()> {
        file.write_all(self)
    }
}

/// A file to be.
pub struct Output {
    /// Where.
    pub path: PathBuf,
    /// All of it.
    pub contents: Box<dyn Contents>,
}

impl Output {
    /// A file with these contents.
    pub fn new(path: impl Into<PathBuf>, contents: impl Contents + 'static) -> Self {
        Self {
            path: path.into(),
            contents: Box::new(contents),
        }
    }
}

/// Writes all files: first beside their places under other names, then, when every byte is on the
/// disk, renamed into place. Older files survive a failed run.
///
/// # Errors
/// Every file that can't be written, with the system's reason; then no file was changed.
pub fn write_all(outputs: &mut [Output]) -> Result<(), Problems> {
    let mut problems = Problems::none();
    for (index, output) in outputs.iter().enumerate() {
        if outputs[..index]
            .iter()
            .any(|other| Place::of(&other.path) == Place::of(&output.path))
        {
            problems.add(
                Problem::new("two files can't have one name")
                    .at(output.path.as_path())
                    .help("give each output a name of its own"),
            );
        }
    }
    let staged: Vec<Staged<'_>> = outputs
        .iter_mut()
        .filter_map(|output| {
            let path = output.path.clone();
            problems.take(stage(output).map_err(|error| unwritable(&path, &error)))
        })
        .collect();
    // Devices first: they are what can still fail.
    let (straight, beside): (Vec<_>, Vec<_>) = problems
        .unless_any(Some(staged))?
        .into_iter()
        .partition(|file| matches!(file, Staged::Straight(_)));
    for file in straight.into_iter().chain(beside) {
        commit(file)?;
    }
    Ok(())
}

/// Refuses outputs that would go over the file that was read, by whatever name or link they lead to it.
///
/// # Errors
/// Each such output. An input that is no regular file, such as a pipe, can't be lost.
pub fn keep_input(input: &Path, outputs: &[Output]) -> Result<(), Problems> {
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
#[derive(PartialEq)]
enum Place {
    /// Of a file that is there: its device and its number, which hard links share.
    #[cfg(unix)]
    There(u64, u64),
    Named(PathBuf),
}

impl Place {
    fn of(path: &Path) -> Self {
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
fn through_links(path: &Path) -> PathBuf {
    /// As many as the usual systems follow.
    const MOST_LINKS: usize = 40;
    let mut path = path.to_owned();
    for _ in 0..MOST_LINKS {
        let Ok(target) = fs::read_link(&path) else { break };
        path = folder_of(&path).join(target);
    }
    path
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

enum Staged<'a> {
    /// Complete, under another name.
    Beside(NamedTempFile, PathBuf),
    /// A pipe or device can only be written to as it is.
    Straight(&'a mut Output),
}

fn stage(output: &mut Output) -> io::Result<Staged<'_>> {
    let target = match fs::metadata(&output.path) {
        Ok(there) if there.is_dir() => return Err(io::Error::from(io::ErrorKind::IsADirectory)),
        Ok(there) if !there.is_file() => return Ok(Staged::Straight(output)),
        // Through a link, so that it stays one.
        Ok(there) if there.permissions().readonly() => return Err(io::Error::from(io::ErrorKind::PermissionDenied)),
        Ok(_) => fs::canonicalize(&output.path)?,
        Err(error) if error.kind() == io::ErrorKind::NotFound && !ends_as_folder(&output.path) => {
            through_links(&output.path)
        }
        Err(error) => return Err(error),
    };
    let mut builder = Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As any new file: the person's mask takes away what it must.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.prefix(".girthline-").tempfile_in(folder_of(&target))?;
    output.contents.write_to(&mut file)?;
    file.as_file().sync_all()?;
    Ok(Staged::Beside(file, target))
}

/// `name/` names a folder.
fn ends_as_folder(path: &Path) -> bool {
    path.as_os_str().to_string_lossy().ends_with(std::path::is_separator)
}

fn commit(staged: Staged<'_>) -> Result<(), Problem> {
    match staged {
        Staged::Beside(file, target) => {
            file.persist(&target)
                .map_err(|error| unwritable(&target, &error.error))?;
        }
        Staged::Straight(output) => {
            let mut device = fs::OpenOptions::new()
                .write(true)
                .open(&output.path)
                .map_err(|error| unwritable(&output.path, &error))?;
            output
                .contents
                .write_to(&mut device)
                .and_then(|()| device.flush())
                .map_err(|error| unwritable(&output.path, &error))?;
        }
    }
    Ok(())
}

fn unwritable(path: &Path, error: &io::Error) -> Problem {
    Problem::output("the file can't be written")
        .at(path)
        .figures(error.to_string())
        .help("nothing was changed; choose another place for it, or make room")
}
