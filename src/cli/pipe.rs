//! What a job is read from: a file, a device, or a pipe that somebody writes into.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

/// Opens it. To open a pipe blocks until somebody writes into it, so one that nobody writes into is not waited for without
/// end.
///
/// # Errors
/// The system's reason. Reading fails where nobody has written into a pipe for some seconds.
#[cfg(unix)]
pub(super) fn open(path: &Path) -> io::Result<Box<dyn Read>> {
    use std::os::unix::fs::{FileTypeExt, OpenOptionsExt};

    if !std::fs::metadata(path)?.file_type().is_fifo() {
        return Ok(Box::new(File::open(path)?));
    }
    let mut options = File::options();
    let pipe = options.read(true).custom_flags(libc::O_NONBLOCK).open(path)?;
    Ok(Box::new(waiting::Pipe::new(pipe)))
}

#[cfg(not(unix))]
pub(super) fn open(path: &Path) -> io::Result<Box<dyn Read>> {
    Ok(Box::new(File::open(path)?))
}

#[cfg(unix)]
mod waiting {
    use std::fs::File;
    use std::io::{self, ErrorKind, Read};
    use std::thread::sleep;
    use std::time::{Duration, Instant};

    /// How long a pipe may be without a writer.
    const PATIENCE: Duration = Duration::from_secs(5);

    /// Between two looks at it.
    const REST: Duration = Duration::from_millis(20);

    /// A pipe that was opened without waiting for its writer.
    pub(super) struct Pipe {
        pipe: File,
        opened: Instant,
        /// Whether there is a writer, or was one: then its end is the end.
        has_writer: bool,
    }

    impl Pipe {
        pub(super) fn new(pipe: File) -> Self {
            Self {
                pipe,
                opened: Instant::now(),
                has_writer: false,
            }
        }
    }

    impl Read for Pipe {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            loop {
                match self.pipe.read(buffer) {
                    Ok(0) if !self.has_writer => {
                        if self.opened.elapsed() > PATIENCE {
                            let seconds = PATIENCE.as_secs();
                            let words = format!("nobody has written into this pipe for {seconds} seconds");
                            return Err(io::Error::other(words));
                        }
                    }
                    // A writer takes the time it takes.
                    Err(error) if error.kind() == ErrorKind::WouldBlock => self.has_writer = true,
                    read => {
                        self.has_writer = true;
                        return read;
                    }
                }
                sleep(REST);
            }
        }
    }
}
