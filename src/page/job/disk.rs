//! The file that the page was opened with: the only one that is ever read or written, by the path that the command line gave.

use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io;
use std::path::PathBuf;

use serde::Serialize;

use crate::job::read::text_of;
use crate::output::{Output, write_all};
use crate::problem::{Place, Problem};

/// It.
#[derive(Debug, Clone)]
pub(in crate::page) struct OnDisk {
    path: PathBuf,
}

/// What was read of it.
#[derive(Debug, Serialize)]
pub(super) struct Read {
    name: String,
    /// None where there is no such file yet.
    text: Option<String>,
    /// By which it is known whether it is still the same.
    mark: String,
}

impl OnDisk {
    pub(in crate::page) fn new(path: PathBuf) -> Self {
        Self { path }
    }

    fn name(&self) -> String {
        let name = self.path.file_name().map(|name| name.to_string_lossy().into_owned());
        name.unwrap_or_else(|| "job.json".to_owned())
    }

    /// What stands in it now.
    ///
    /// # Errors
    /// Where it can't be read, or is no text.
    pub(super) fn read(&self) -> Result<Read, Problem> {
        let bytes = self.bytes()?;
        Ok(Read {
            name: self.name(),
            mark: mark(bytes.as_deref()),
            text: bytes.map(|bytes| text_of(&self.name(), bytes)).transpose()?,
        })
    }

    /// Writes it whole, or not at all: its new mark, or `None` where it isn't any more as `known` says and is not to be
    /// written `over`.
    ///
    /// # Errors
    /// Where it can't be written.
    pub(super) fn write(&self, text: &[u8], known: &str, over: bool) -> Result<Option<String>, Problem> {
        if !over && mark(self.bytes()?.as_deref()) != known {
            return Ok(None);
        }
        write_all(&mut [Output::new(&self.path, text.to_vec())]).map_err(|_| self.problem("written", None))?;
        Ok(Some(mark(Some(text))))
    }

    fn bytes(&self) -> Result<Option<Vec<u8>>, Problem> {
        // A pipe or a device may never end, and can't be saved to whole.
        if fs::metadata(&self.path).is_ok_and(|there| !there.is_file()) {
            return Err(self.problem("read", Some("it is not a plain file".to_owned())));
        }
        match fs::read(&self.path) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(self.problem("read", Some(error.kind().to_string()))),
        }
    }

    /// Errors don't tell paths of the machine.
    fn problem(&self, done: &str, figures: Option<String>) -> Problem {
        let problem = Problem::output(format!("the job file can't be {done}"))
            .at(Place::File(self.name()))
            .help("save it under another name, or look whether its folder is there and may be written to");
        match figures {
            Some(figures) => problem.figures(figures),
            None => problem,
        }
    }
}

fn mark(bytes: Option<&[u8]>) -> String {
    let mut hasher = DefaultHasher::new();
    bytes.hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[cfg(unix)]
    fn what_is_no_plain_file_is_not_read() {
        let there = OnDisk::new(PathBuf::from("/dev/null"));
        let problem = there.read().expect_err("a device").to_string();
        assert!(
            problem.contains("--> null") && problem.contains("it is not a plain file") && problem.contains("help:"),
            "{problem}"
        );
        let folder = tempfile::tempdir().expect("a folder");
        let none = OnDisk::new(folder.path().join("job.json"));
        assert_eq!(none.read().map(|read| read.text), Ok(None));
    }
}
