//! Names that nobody asked for: under such a name no file is lost.

use std::fs::{self, File};
use std::io::{self, BufReader, Read, Write};
use std::path::{Path, PathBuf};

use lopdf::Document;

use super::contents::Contents;

/// Which older files a new PDF takes the place of, and what readers of a PDF show as its subject.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Subject {
    /// What the PDF is of.
    pub words: String,
    /// Its title.
    pub title: String,
}

/// `usual`, or where a file of other contents has that name the first of `usual-2`, `usual-3`, .. that is free or holds
/// these contents already. An older PDF of the same subject and title gives its place to the new one.
pub fn free_name(usual: &Path, contents: &mut dyn Contents, subject: Option<&Subject>) -> PathBuf {
    let mut number = 1;
    loop {
        let path = numbered(usual, number);
        let is_ours = !is_a_file(&path)
            || holds(&path, contents)
            || number == 1 && subject.is_some_and(|subject| is_of(&path, subject));
        if is_ours {
            return path;
        }
        number += 1;
    }
}

/// `saddle.pdf`, `saddle-2.pdf`. Points in the name are part of it.
fn numbered(usual: &Path, number: usize) -> PathBuf {
    let end = usual
        .extension()
        .map_or_else(String::new, |end| format!(".{}", end.to_string_lossy()));
    let stem = usual.file_stem().unwrap_or_default().to_string_lossy();
    match number {
        1 => usual.to_owned(),
        _ => usual.with_file_name(format!("{stem}-{number}{end}")),
    }
}

/// Pipes, devices and folders can't be lost by being written to.
fn is_a_file(path: &Path) -> bool {
    fs::metadata(path).is_ok_and(|there| there.is_file())
}

/// Whether a PDF that is there is of the same subject.
fn is_of(path: &Path, subject: &Subject) -> bool {
    Document::load_metadata(path).is_ok_and(|known| {
        known.subject.as_ref() == Some(&subject.words) && known.title.as_ref() == Some(&subject.title)
    })
}

/// Whether a file holds these contents and no more.
fn holds(path: &Path, contents: &mut dyn Contents) -> bool {
    let Ok(file) = File::open(path) else { return false };
    let mut same = Same(BufReader::new(file));
    contents.write_to(&mut same).is_ok() && matches!(same.0.read(&mut [0]), Ok(0))
}

/// Takes what is written as long as it is what is read.
struct Same<R>(R);

impl<R: Read> Write for Same<R> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let mut there = vec![0; bytes.len()];
        self.0.read_exact(&mut there)?;
        if there == bytes {
            return Ok(bytes.len());
        }
        Err(io::Error::from(io::ErrorKind::InvalidData))
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_of_other_contents_keeps_its_name() {
        let folder = tempfile::tempdir().expect("a folder");
        let usual = folder.path().join("saddle-48.3mm.pdf");
        let name = |contents: &str| {
            let path = free_name(&usual, &mut contents.as_bytes().to_vec(), None);
            path.file_name()
                .map(|name| name.to_string_lossy().into_owned())
                .unwrap_or_default()
        };
        assert_eq!(name("one"), "saddle-48.3mm.pdf");
        fs::write(&usual, "one").expect("it can be written");
        assert_eq!(name("one"), "saddle-48.3mm.pdf");
        for other in ["two", "on", "one and more", ""] {
            assert_eq!(name(other), "saddle-48.3mm-2.pdf", "{other:?}");
        }
        fs::write(folder.path().join("saddle-48.3mm-2.pdf"), "two").expect("it can be written");
        assert_eq!(name("two"), "saddle-48.3mm-2.pdf");
        assert_eq!(name("three"), "saddle-48.3mm-3.pdf");
        assert_eq!(name("one"), "saddle-48.3mm.pdf");
    }
}
