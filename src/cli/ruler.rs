//! `girthline ruler`

use super::common::{SheetFlags, written};
use crate::job::resolve;
use crate::layout::ruler_sheets;
use crate::output::{Output, pdf_of, write_all};
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
    pub(super) fn run(self) -> Result<Vec<String>, Problems> {
        let job = resolve::sheet(&self.sheets.raw())?;
        let sheets = ruler_sheets(&job.sheet);
        let pdf = pdf_of("Ruler sheet", &sheets, &[], &job.sheet.paper)?;
        let mut outputs = [Output::new(self.sheets.out("ruler"), pdf)];
        write_all(&mut outputs)?;
        Ok(written(&outputs, sheets.len(), &job.sheet.paper.name))
    }
}
