//! `girthline new`

use std::path::PathBuf;

use super::outcome::Outcome;
use crate::job::starters::STARTERS;
use crate::output::{Output, write_all};
use crate::problem::{Place, Problem, Problems};

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
    pub(super) fn run(self) -> Result<Outcome, Problems> {
        let Some(name) = self.name else {
            let listed = STARTERS.iter().map(|(name, what, _)| format!("{name:<18}{what}"));
            return Ok(Outcome::from(listed.collect::<Vec<_>>()));
        };
        let starter = STARTERS.iter().find(|(known, _, _)| *known == name).ok_or_else(|| {
            let all: Vec<&str> = STARTERS.iter().map(|starter| starter.0).collect();
            Problem::new(format!("there is no starter of the name \"{name}\""))
                .at(Place::Flag {
                    flag: "NAME",
                    typed: name.clone(),
                })
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
        let mut outputs = [Output::new(&path, starter.2.as_bytes().to_vec())];
        write_all(&mut outputs)?;
        let lines = vec![
            format!("wrote {}", path.display()),
            format!("Put in what you measured, then: girthline batch {}", path.display()),
        ];
        Ok(Outcome::of(lines, &outputs))
    }
}
