//! What a run that is stopped would leave behind: it is removed on the way out, and by the next run where there was no way
//! out.

use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::fs::{self, File, Permissions};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};

use tempfile::{Builder, NamedTempFile, TempPath};

use crate::problem::Problem;

/// Names of unfinished files: this, some random letters that are the run's own in that folder, a dash and more letters for
/// each of its files, and the ending.
const BEGINNING: &str = ".girthline-";
const ENDING: &str = ".part";
const LETTERS: usize = 8;

/// What shells report of a program that was stopped from the keyboard (128 and the signal's number).
const STOPPED: i32 = 130;

/// What is to go if the run is stopped.
#[derive(Default)]
struct Unfinished {
    /// Files and folders, in the order in which they were made.
    made: Vec<PathBuf>,
    /// For each folder the run's letters, and the file that they name: while that is locked no other run takes what bears
    /// these letters for something left behind.
    locks: HashMap<PathBuf, (String, File)>,
}

/// Whoever holds it can't be stopped meanwhile.
static UNFINISHED: Mutex<Option<Unfinished>> = Mutex::new(None);

fn unfinished() -> MutexGuard<'static, Option<Unfinished>> {
    UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner)
}

/// From the first call on, what is unfinished is removed where the run is stopped from the keyboard, by the system, or by a
/// terminal that closes.
fn remove_when_stopped() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        // Where the system takes no handler the next run removes what is left.
        let _ = ctrlc::set_handler(|| {
            // Kept to the end, so that nothing new is made.
            let unfinished = unfinished();
            for path in unfinished.iter().flat_map(|unfinished| unfinished.made.iter().rev()) {
                let _ = fs::remove_file(path).or_else(|_| fs::remove_dir(path));
            }
            std::process::exit(STOPPED);
        });
    });
}

/// An empty file in `folder` under a name that shows that it is unfinished. It has `permissions`, or those of any new file.
pub(super) fn unfinished_file(folder: &Path, permissions: Option<Permissions>) -> io::Result<NamedTempFile> {
    remove_when_stopped();
    let mut unfinished = unfinished();
    let Unfinished { made, locks } = unfinished.get_or_insert_default();
    let (letters, _) = match locks.entry(folder.to_owned()) {
        Entry::Occupied(there) => there.into_mut(),
        Entry::Vacant(new) => new.insert(locked(folder, made)?),
    };
    let beginning = format!("{BEGINNING}{letters}-");
    let mut builder = Builder::new();
    builder.prefix(&beginning).suffix(ENDING).rand_bytes(LETTERS);
    #[cfg(unix)]
    if permissions.is_none() {
        use std::os::unix::fs::PermissionsExt;
        // The person's mask takes away what it must.
        builder.permissions(Permissions::from_mode(0o666));
    }
    let file = builder.tempfile_in(folder).map_err(plain)?;
    made.push(file.path().to_owned());
    if let Some(permissions) = permissions {
        file.as_file().set_permissions(permissions)?;
    }
    Ok(file)
}

/// A file with letters of its own that is locked.
fn locked(folder: &Path, made: &mut Vec<PathBuf>) -> io::Result<(String, File)> {
    loop {
        let mut builder = Builder::new();
        builder.prefix(BEGINNING).suffix(ENDING).rand_bytes(LETTERS);
        let (lock, path) = builder.tempfile_in(folder).map_err(plain)?.keep()?;
        made.push(path.clone());
        // Some network drives have no locks; nothing is removed there either.
        let _ = lock.lock();
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
        // Before it was locked another run may have taken it for one left behind.
        if let Some(letters) = name.as_deref().and_then(letters).filter(|_| path.exists()) {
            return Ok((letters.to_owned(), lock));
        }
    }
}

/// The system's own error, without a name that nobody has given: only the words of the library's error tell the two apart.
fn plain(error: io::Error) -> io::Error {
    match error.to_string().split_once(" at path \"") {
        Some((reason, _)) => io::Error::new(error.kind(), reason),
        None => error,
    }
}

/// Renames complete files into their places: all of them, or none where the run is stopped before.
///
/// # Errors
/// The first that can't be, with its place and the system's reason.
pub(super) fn finish(files: Vec<(TempPath, PathBuf)>) -> Result<(), (PathBuf, io::Error)> {
    let _unstopped = unfinished();
    for (file, target) in files {
        file.persist(&target).map_err(|error| (target, error.error))?;
    }
    Ok(())
}

/// To be called when all files are in their places, or given up.
pub(super) fn all_done() {
    let mut unfinished = unfinished();
    for (folder, (letters, _lock)) in unfinished.iter().flat_map(|unfinished| &unfinished.locks) {
        let _ = fs::remove_file(folder.join(format!("{BEGINNING}{letters}{ENDING}")));
    }
    *unfinished = None;
}

/// Removes what runs that were killed have left in a folder. What another run still works on is locked.
pub(super) fn remove_older(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        let Some(letters) = letters(&name).filter(|_| is_file) else {
            continue;
        };
        let is_left = match File::open(folder.join(format!("{BEGINNING}{letters}{ENDING}"))) {
            Ok(lock) => lock.try_lock().is_ok(),
            Err(error) => error.kind() == io::ErrorKind::NotFound,
        };
        if is_left {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// The letters of the run that a name shows; none of other names.
fn letters(name: &str) -> Option<&str> {
    let middle = name.strip_prefix(BEGINNING)?.strip_suffix(ENDING)?;
    let (run, own) = middle.split_once('-').unwrap_or((middle, middle));
    let are_ours =
        |letters: &str| letters.len() == LETTERS && letters.bytes().all(|letter| letter.is_ascii_alphanumeric());
    (are_ours(run) && are_ours(own)).then_some(run)
}

/// A folder for some outputs; what was made for it goes again where it stays empty.
///
/// A run that is killed can leave it, with unfinished files at most. Nobody can know it from one that a person made, so that it
/// stays; the next run into it removes those files.
pub struct NewFolder {
    /// The outermost first.
    made: Vec<PathBuf>,
}

impl NewFolder {
    /// Makes the folder, and those that it lies in, where they aren't there.
    ///
    /// # Errors
    /// The system's reason why it can't be made.
    pub fn make(folder: &Path) -> Result<Self, Problem> {
        remove_when_stopped();
        let mut missing: Vec<&Path> = folder
            .ancestors()
            .take_while(|folder| !folder.as_os_str().is_empty() && !folder.exists())
            .collect();
        missing.reverse();
        let mut new = Self { made: Vec::new() };
        for path in missing {
            let mut unfinished = unfinished();
            fs::create_dir(path).map_err(|error| cant_be_made(folder, &error))?;
            unfinished.get_or_insert_default().made.push(path.to_owned());
            new.made.push(path.to_owned());
        }
        if folder.is_dir() {
            return Ok(new);
        }
        Err(cant_be_made(folder, &io::Error::from(io::ErrorKind::NotADirectory)))
    }
}

impl Drop for NewFolder {
    fn drop(&mut self) {
        for path in self.made.iter().rev() {
            // Only an empty one can be.
            let _ = fs::remove_dir(path);
        }
    }
}

fn cant_be_made(folder: &Path, error: &io::Error) -> Problem {
    Problem::output("the folder can't be made")
        .at(folder)
        .figures(error.to_string())
        .help("choose another place for it")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_being_written_is_not_removed_and_what_was_left_behind_is() {
        let folder = tempfile::tempdir().expect("a folder");
        let there = || fs::read_dir(folder.path()).expect("a folder").count();
        for other in [
            ".girthline-notes",
            ".girthline-notes.part",
            "a.part",
            ".girthline-.part",
            ".girthline-abcdefgh-abc.part",
        ] {
            fs::write(folder.path().join(other), "kept").expect("a file");
        }
        let written = unfinished_file(folder.path(), None).expect("a file");
        for left in ["abcdefgh", "abcdefgh-12345678", "ABCDEFGH-12345678"] {
            fs::write(folder.path().join(format!("{BEGINNING}{left}{ENDING}")), "left").expect("a file");
        }
        assert_eq!(there(), 10);
        remove_older(folder.path());
        assert!(written.path().exists());
        assert_eq!(there(), 7);
        drop(written);
        all_done();
        assert_eq!(there(), 5, "what others called so is kept");
    }

    #[test]
    fn a_new_folder_goes_where_it_stays_empty() {
        let folder = tempfile::tempdir().expect("a folder");
        let inner = folder.path().join("a/b");
        drop(NewFolder::make(&inner).expect("a folder"));
        assert!(!folder.path().join("a").exists());
        let made = NewFolder::make(&inner).expect("a folder");
        fs::write(inner.join("file"), "").expect("a file");
        drop(made);
        assert!(inner.join("file").exists());
        // One that was there stays.
        fs::remove_file(inner.join("file")).expect("a file");
        drop(NewFolder::make(&inner).expect("a folder"));
        assert!(inner.exists());
    }
}
