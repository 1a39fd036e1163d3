//! `girthline schema`

use crate::problem::Problems;

/// The JSON Schema of job files, for editors that check as one types.
#[derive(Debug, clap::Args)]
pub(super) struct Args {}

impl Args {
    pub(super) fn run(self) -> Result<Vec<String>, Problems> {
        Ok(vec![include_str!("../../shared/job-schema.json").trim_end().to_owned()])
    }
}
