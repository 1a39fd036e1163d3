//! `girthline schema`

use super::outcome::Outcome;
use crate::job::schema::schema;
use crate::problem::Problems;

/// The JSON Schema of job files, for editors that check as one types.
#[derive(Debug, clap::Args)]
pub(super) struct Args {}

impl Args {
    pub(super) fn run(self) -> Result<Outcome, Problems> {
        Ok(Outcome::from(vec![format!("{:#}", schema())]))
    }
}
