//! What a command leaves behind on the terminal.

use std::io::{self, Write};

use crate::letters::seen;
use crate::output::{Output, is_standard_output};

/// The lines of a command that went well.
pub(super) struct Outcome {
    lines: Vec<String>,
    /// Whether standard output is taken by a file: then the lines go to standard error.
    is_out_taken: bool,
    /// Whether what was only to be checked can be built.
    pub(super) is_well: bool,
}

impl From<Vec<String>> for Outcome {
    fn from(lines: Vec<String>) -> Self {
        Self {
            lines,
            is_out_taken: false,
            is_well: true,
        }
    }
}

impl Outcome {
    /// Lines about what was only checked.
    pub(super) fn checked(lines: Vec<String>, is_well: bool) -> Self {
        Self {
            is_well,
            ..Self::from(lines)
        }
    }

    /// Lines about files that were written, perhaps to standard output.
    pub(super) fn of(lines: Vec<String>, outputs: &[Output<'_>]) -> Self {
        Self {
            is_out_taken: outputs.iter().any(|output| is_standard_output(&output.path)),
            ..Self::from(lines)
        }
    }

    /// Puts the lines where they belong.
    pub(super) fn say(&self) -> io::Result<()> {
        let all: String = self.lines.iter().flat_map(|line| [line, "\n"]).collect();
        let all = seen(&all);
        if self.is_out_taken {
            // Where even standard error is closed there is nobody left to tell.
            let _ = io::stderr().lock().write_all(all.as_bytes());
            return Ok(());
        }
        let mut out = io::stdout().lock();
        out.write_all(all.as_bytes())?;
        out.flush()
    }
}
