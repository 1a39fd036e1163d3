//! Lengths as a form puts them in: bare numbers in the job's own units.

use crate::job::edit::Tree;
use crate::measure::{Units, decimals};

/// Of the file's bare numbers; millimetres where it doesn't say.
pub(super) fn units(tree: &Tree<'_>) -> Units {
    let typed = tree.typed(&["units".into()]);
    typed
        .and_then(|typed| Units::parse(&typed).ok())
        .unwrap_or(Units::Millimetres)
}

/// A number to four places, with no more of them than it needs.
pub(super) fn figure(value: f64) -> String {
    let words = decimals(value, 4);
    words.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A length to begin with, such as a step's: a round number of the job's units.
pub(super) fn about(tree: &Tree<'_>, mm: f64) -> String {
    match units(tree) {
        Units::Millimetres => figure(mm),
        units => figure((2.0 * mm / units.mm()).round() / 2.0),
    }
}
