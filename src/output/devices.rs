//! What can only be written to as it is: standard output, pipes, devices.

use std::fs::{File, OpenOptions};
use std::io::{self, BufWriter, Write};
use std::path::Path;

use super::contents::Contents;

/// How long a pipe may be without a reader.
#[cfg(unix)]
const PATIENCE: std::time::Duration = std::time::Duration::from_secs(5);

/// Whether a path stands for standard output.
pub fn is_standard_output(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// Writes contents to standard output, a pipe or a device.
///
/// # Errors
/// The system's reason; a pipe that nobody reads. A reader of standard output that has gone away has read what it wanted.
pub(super) fn write_straight(path: &Path, contents: &mut dyn Contents) -> io::Result<()> {
    if is_standard_output(path) {
        let mut out = BufWriter::new(io::stdout().lock());
        return match contents.write_to(&mut out).and_then(|()| out.flush()) {
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            done => done,
        };
    }
    let mut device = BufWriter::new(open(path)?);
    contents.write_to(&mut device)?;
    device.flush()
}

/// Opens a device. To open a pipe blocks until somebody reads it, so one that nobody reads is not waited for without end.
#[cfg(unix)]
fn open(path: &Path) -> io::Result<File> {
    use std::os::unix::fs::{FileTypeExt, OpenOptionsExt};
    use std::time::Instant;

    if std::fs::metadata(path)?.file_type().is_fifo() {
        let start = Instant::now();
        loop {
            match OpenOptions::new().write(true).custom_flags(libc::O_NONBLOCK).open(path) {
                // It has a reader: opened again as usual it waits where that one is slow.
                Ok(_held) => return OpenOptions::new().write(true).open(path),
                Err(error) if error.raw_os_error() != Some(libc::ENXIO) => return Err(error),
                Err(_) if start.elapsed() > PATIENCE => {
                    let seconds = PATIENCE.as_secs();
                    return Err(io::Error::other(format!(
                        "nobody has read this pipe for {seconds} seconds"
                    )));
                }
                Err(_) => std::thread::sleep(std::time::Duration::from_millis(20)),
            }
        }
    }
    OpenOptions::new().write(true).open(path)
}

#[cfg(not(unix))]
fn open(path: &Path) -> io::Result<File> {
    OpenOptions::new().write(true).open(path)
}
