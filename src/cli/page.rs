//! `girthline page`

use std::path::PathBuf;

use super::outcome::Outcome;
use crate::page::{self, Options};
use crate::problem::Problems;

/// The same joints and jobs in the browser, on this machine: type, see, print.
///
/// The address is printed, and the browser opened with it. Nothing is sent anywhere else but to phones that you let in. Ctrl-C ends it.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// A job file to open the page with, and to save to; it need not be there yet.
    #[arg(value_name = "JOB.json")]
    job: Option<PathBuf>,
    /// The port; by default always the same one, or a free one where that is taken.
    #[arg(long, value_name = "NUMBER")]
    port: Option<u16>,
    /// Let phones in by the machine's address on its network, which isn't encrypted: each with a token that is printed
    /// and shown as a code. Name the interface or its address where there is more than one.
    #[arg(long, value_name = "INTERFACE", num_args = 0..=1, default_missing_value = "")]
    on_network: Option<String>,
    /// Leave the browser shut.
    #[arg(long)]
    no_browser: bool,
}

impl Args {
    pub(super) fn run(self) -> Result<Outcome, Problems> {
        page::serve(&Options {
            job: self.job,
            port: self.port,
            no_browser: self.no_browser,
            on_network: self.on_network,
        })?;
        Ok(Vec::new().into())
    }
}
