//! What can be made on the page: a sentence with gaps, and the call that makes a plan of what was typed.

use super::gap::{Gap, RULER_READS, SHEET};
use super::readings;
use super::typed::Typed;
use crate::plan::Plan;
use crate::problem::Problems;

/// A part of the sentence.
#[derive(Debug, Clone, Copy)]
pub(super) enum Part {
    /// Words between gaps.
    Words(&'static str),
    /// A gap.
    Gap(Gap),
}

/// Something that can be made.
#[derive(Debug)]
pub(super) struct Question {
    /// The command that makes the same, which is also its address: `saddle` at `/saddle`.
    pub(super) name: &'static str,
    /// What it is called across the shop.
    pub(super) title: &'static str,
    /// As one would say it.
    pub(super) sentence: &'static [Part],
    /// Whether gaps are read round the tube's end, each typed where it was read.
    pub(super) has_readings: bool,
    /// What is rarely said besides.
    pub(super) more: &'static [Gap],
    /// An example, as a query.
    pub(super) example: &'static str,
    /// What stands over the answer.
    pub(super) tells: &'static str,
    /// Solves what was typed.
    pub(super) plan: fn(&Typed) -> Result<Plan, Problems>,
    /// What each gap was taken for in a plan, by its flag: also those that stayed empty.
    pub(super) heard: fn(&Plan) -> Vec<(&'static str, String)>,
}

impl Question {
    /// What was typed, by the query of an address.
    pub(super) fn typed(&self, query: Option<&str>) -> Typed {
        let typed = Typed::of(query);
        if self.has_readings {
            readings::spread(typed)
        } else {
            typed
        }
    }

    /// The same as the address and the command line have it.
    fn said(&self, typed: &Typed) -> Typed {
        if self.has_readings {
            readings::gathered(typed)
        } else {
            typed.clone()
        }
    }

    /// All gaps, those of the sentence first, those of the sheets last.
    pub(super) fn gaps(&self) -> impl Iterator<Item = &'static Gap> {
        let said = self.sentence.iter().filter_map(|part| match part {
            Part::Gap(gap) => Some(gap),
            Part::Words(_) => None,
        });
        let read = self.has_readings.then(readings::gaps).into_iter().flatten();
        said.chain(read).chain(self.more).chain(&SHEET)
    }

    /// All flags that are said of it, the printer's correction too.
    pub(super) fn flags(&self) -> impl Iterator<Item = &'static str> {
        self.gaps().map(|gap| gap.flag).chain([RULER_READS])
    }

    /// The query that holds all that is said of it.
    pub(super) fn query(&self, typed: &Typed) -> String {
        self.said(typed).query(self.flags())
    }

    /// The same on the command line, for a shell of any usual system.
    pub(super) fn command(&self, typed: &Typed) -> String {
        let typed = self.said(typed);
        let mut command = format!("girthline {}", self.name);
        for word in self.flags().filter_map(|flag| typed.word(flag)) {
            let crate::problem::Place::Flag { flag, .. } = &word.place else {
                continue;
            };
            command.push_str(&format!(" {flag}={}", for_a_shell(word.text.trim())));
        }
        command
    }
}

/// A word as a shell takes it: as it is where nothing in it means anything to a shell, else in quotes.
fn for_a_shell(word: &str) -> String {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '.' | '/' | ',' | ':' | '+');
    if word.chars().all(is_plain) {
        return word.to_owned();
    }
    if word.contains(['"', '$', '`', '\\', '!', '%']) {
        return format!("'{}'", word.replace('\'', "'\\''"));
    }
    format!("\"{word}\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_quoted_as_a_shell_needs_it() {
        assert_eq!(for_a_shell("1/3od"), "1/3od");
        assert_eq!(for_a_shell("fence 1-7/8 x 0.065in"), "\"fence 1-7/8 x 0.065in\"");
        assert_eq!(for_a_shell("2' 3\""), "'2'\\'' 3\"'");
        assert_eq!(for_a_shell("$(x)"), "'$(x)'");
    }
}
