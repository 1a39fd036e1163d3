//! `girthline ruler`

use super::common::{SheetFlags, written};
use super::outcome::Outcome;
use crate::job::resolve;
use crate::layout::ruler_sheets;
use crate::output::{pdf_of, write_all};
use crate::problem::Problems;

/// A full-page ruler, to see what the printer does to lengths.
///
/// Read it across and down, then give both readings to --ruler-reads: each direction is corrected on its own.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    sheets: SheetFlags,
}

impl Args {
    pub(super) fn run(self) -> Result<Outcome, Problems> {
        self.sheets.require_no_terminal()?;
        let job = resolve::sheet(&self.sheets.raw())?;
        let sheets = ruler_sheets(&job.sheet);
        let pdf = pdf_of("Ruler sheet", &sheets, &[], &job.sheet.paper)?;
        let (output, kept) = self.sheets.output("ruler", pdf, None);
        let mut outputs = [output];
        write_all(&mut outputs)?;
        let mut lines: Vec<String> = kept.into_iter().collect();
        lines.extend(written(&outputs, sheets.len(), &job.sheet));
        Ok(Outcome::of(lines, &outputs))
    }
}
