//! What can be made on the page: a sentence with gaps, and the call that makes a plan of what was typed.

use super::gap::{Gap, RULER_READS, SHEET};
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
    /// What is rarely said besides.
    pub(super) more: &'static [Gap],
    /// An example, as a query.
    pub(super) example: &'static str,
    /// Solves what was typed.
    pub(super) plan: fn(&Typed) -> Result<Plan, Problems>,
    /// What each gap was taken for in a plan, by its flag: also those that stayed empty.
    pub(super) heard: fn(&Plan) -> Vec<(&'static str, String)>,
}

impl Question {
    /// All gaps, those of the sentence first, those of the sheets last.
    pub(super) fn gaps(&self) -> impl Iterator<Item = &'static Gap> {
        let said = self.sentence.iter().filter_map(|part| match part {
            Part::Gap(gap) => Some(gap),
            Part::Words(_) => None,
        });
        said.chain(self.more).chain(&SHEET)
    }

    /// All flags that are said of it, the printer's correction too.
    pub(super) fn flags(&self) -> impl Iterator<Item = &'static str> {
        self.gaps().map(|gap| gap.flag).chain([RULER_READS])
    }

    /// The same on the command line, for a shell of any usual system.
    pub(super) fn command(&self, typed: &Typed) -> String {
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
