//! `girthline new`

use std::path::PathBuf;

use crate::output::{Output, write_all};
use crate::problem::{Problem, Problems};

/// The starters: name, what it is, and the job.
const STARTERS: [(&str, &str, &str); 4] = [
    (
        "cooler-bank",
        "leaning risers between two drums",
        include_str!("../../templates/cooler-bank.json"),
    ),
    (
        "drain-standpipe",
        "a drain flush with the floor, a standpipe with branches",
        include_str!("../../templates/drain-standpipe.json"),
    ),
    (
        "plate-frame",
        "a bent rail, a post and a stay on plates",
        include_str!("../../templates/plate-frame.json"),
    ),
    (
        "stacked-hopper",
        "two drums that are out of round, parted, nested and stacked",
        include_str!("../../templates/stacked-hopper.json"),
    ),
];

/// A job to start from.
///
/// Without a name the starters are listed.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Which.
    #[arg(value_name = "NAME")]
    name: Option<String>,
    /// Where it goes; by default its name in the current folder.
    #[arg(long, value_name = "FILE.json")]
    out: Option<PathBuf>,
}

impl Args {
    pub(super) fn run(self) -> Result<Vec<String>, Problems> {
        let Some(name) = self.name else {
            return Ok(STARTERS
                .iter()
                .map(|(name, what, _)| format!("{name:<18}{what}"))
                .collect());
        };
        let starter = STARTERS.iter().find(|(known, _, _)| *known == name).ok_or_else(|| {
            let all: Vec<&str> = STARTERS.iter().map(|starter| starter.0).collect();
            Problem::new(format!("there is no starter of the name \"{name}\""))
                .help(format!("there are {}", all.join(", ")))
        })?;
        let path = self
            .out
            .clone()
            .unwrap_or_else(|| PathBuf::from(format!("{name}.json")));
        if self.out.is_none() && path.exists() {
            return Err(Problem::new("the file is there already")
                .at(path.as_path())
                .help("say where the starter goes: --out FILE.json")
                .into());
        }
        write_all(&mut [Output::new(&path, starter.2.as_bytes().to_vec())])?;
        Ok(vec![
            format!("wrote {}", path.display()),
            format!("Put in what you measured, then: girthline batch {}", path.display()),
        ])
    }
}
