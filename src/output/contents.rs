//! What goes into files.

use std::io::{self, Write};
use std::path::PathBuf;

/// What can be put into a file, as often as it is asked for and the same each time. What is large is made while it is
/// written, so that it is never there as a whole.
pub trait Contents {
    /// All of it.
    ///
    /// # Errors
    /// Where the file takes no more.
    fn write_to(&mut self, file: &mut dyn Write) -> io::Result<()>;

    /// All of it as bytes, for what is small.
    ///
    /// # Errors
    /// Where it can't be made.
    fn bytes(&mut self) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        self.write_to(&mut bytes)?;
        Ok(bytes)
    }
}

impl Contents for Vec<u8> {
    fn write_to(&mut self, file: &mut dyn Write) -> io::Result<()> {
        file.write_all(self)
    }
}

/// A file to be.
pub struct Output<'a> {
    /// Where.
    pub path: PathBuf,
    /// All of it.
    pub contents: Box<dyn Contents + 'a>,
}

impl<'a> Output<'a> {
    /// A file with these contents.
    pub fn new(path: impl Into<PathBuf>, contents: impl Contents + 'a) -> Self {
        Self {
            path: path.into(),
            contents: Box::new(contents),
        }
    }
}
