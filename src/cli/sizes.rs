//! `girthline sizes`

use super::outcome::Outcome;
use crate::measure::{MM_PER_INCH, SizeRow, size_rows};
use crate::problem::{Place, Problem, Problems};

/// Lists the sizes that are known by name.
///
/// Words narrow the list: `girthline sizes nps 1-1/2`, `girthline sizes fence`.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Only sizes with all of these words.
    #[arg(value_name = "WORD")]
    words: Vec<String>,
}

impl Args {
    pub(super) fn run(self) -> Result<Outcome, Problems> {
        let words: Vec<String> = self
            .words
            .iter()
            .flat_map(|word| word.split_whitespace())
            .map(str::to_lowercase)
            .collect();
        let rows: Vec<SizeRow> = size_rows()
            .into_iter()
            .filter(|row| words.iter().all(|word| has(row, word)))
            .collect();
        if rows.is_empty() {
            let typed = words.join(" ");
            return Err(Problem::new(format!("no named size has the words \"{typed}\""))
                .at(Place::Flag { flag: "WORD", typed })
                .help("try one word, such as nps, dn, en, fence or drum; any measured size can be given without a name")
                .into());
        }
        let mut lines = vec![format!(
            "{:<14}{:>9}{:>10}  walls in mm (and in)",
            "name", "OD in", "OD mm"
        )];
        lines.extend(rows.iter().map(line));
        Ok(Outcome::from(lines))
    }
}

fn has(row: &SizeRow, word: &str) -> bool {
    let text = format!("{} {}", row.name, row.also).to_lowercase();
    text.split(|c: char| c.is_whitespace() || matches!(c, ':' | ';' | ','))
        .any(|part| part == word)
}

fn line(row: &SizeRow) -> String {
    let walls: Vec<String> = row
        .walls
        .iter()
        .map(|(name, wall)| format!("{name} {wall:.2} ({:.3})", wall / MM_PER_INCH))
        .collect();
    let line = format!(
        "{:<14}{:>9.3}{:>10.2}  {}",
        row.name,
        row.od_mm / MM_PER_INCH,
        row.od_mm,
        walls.join(", ")
    );
    line.trim_end().to_owned()
}
