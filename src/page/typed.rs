//! What was typed into the gaps: the query of the address, named as the long flags are.

use crate::job::raw::{self, Word};

/// Names and texts in the order of the query.
#[derive(Debug, Clone, Default)]
pub(super) struct Typed(Vec<(String, String)>);

impl Typed {
    /// Of a query as the browser sends it.
    pub(super) fn of(query: Option<&str>) -> Self {
        let pairs = form_urlencoded::parse(query.unwrap_or_default().as_bytes());
        Self(pairs.into_owned().collect())
    }

    /// What was typed for a flag, as it was typed; the first one counts. Empty where there is none.
    pub(super) fn text(&self, flag: &str) -> &str {
        let name = name(flag);
        let found = self.0.iter().find(|(known, _)| known == name);
        found.map_or("", |(_, text)| text.as_str())
    }

    /// The same with another text for a flag.
    pub(super) fn with(mut self, flag: &str, text: &str) -> Self {
        let name = name(flag);
        self.0.retain(|(known, _)| known != name);
        if !text.is_empty() {
            self.0.push((name.to_owned(), text.to_owned()));
        }
        self
    }

    /// The word for a flag, where something was typed.
    pub(super) fn word(&self, flag: &'static str) -> Option<Word> {
        let text = self.text(flag);
        (!text.trim().is_empty()).then(|| Word::flag(flag, text))
    }

    /// The word for a flag that nothing can be said without: perhaps empty.
    pub(super) fn needed(&self, flag: &'static str) -> Word {
        Word::flag(flag, self.text(flag))
    }

    /// The words of a branch on a header.
    pub(super) fn saddle(&self) -> raw::Saddle {
        raw::Saddle {
            branch: self.needed("--branch"),
            header: self.needed("--header"),
            turned: self.word("--turned"),
            angle: self.word("--angle"),
            offset: self.word("--offset"),
            touch: self.word("--touch"),
            join: self.word("--join"),
            clearance: self.word("--clearance"),
            root_gap: self.word("--root-gap"),
        }
    }

    /// The words of an end that is cut flat.
    pub(super) fn flat_cuts(&self) -> raw::FlatCuts {
        raw::FlatCuts {
            scribe: self.word("--scribe"),
            saw: self.word("--saw"),
            saw_front: self.word("--saw-front"),
            saw_back: self.word("--saw-back"),
        }
    }

    /// The words of the sheets.
    pub(super) fn sheet(&self) -> raw::Sheet {
        raw::Sheet {
            units: self.word("--units"),
            fractions: self.word("--fractions"),
            paper: self.word("--paper"),
            paper_thickness: self.word("--paper-thickness"),
            ruler_reads: self.word("--ruler-reads"),
            seam: self.word("--seam"),
            stations: self.word("--stations"),
            label: self.word("--label"),
            ..raw::Sheet::default()
        }
    }

    /// The query with these flags alone, without those that are empty.
    pub(super) fn query<'a>(&self, flags: impl Iterator<Item = &'a str>) -> String {
        let mut query = form_urlencoded::Serializer::new(String::new());
        for flag in flags {
            let text = self.text(flag);
            if !text.trim().is_empty() {
                query.append_pair(name(flag), text);
            }
        }
        query.finish()
    }
}

/// `branch` of `--branch`: what a gap is called in the address.
pub(super) fn name(flag: &str) -> &str {
    flag.trim_start_matches('-')
}
