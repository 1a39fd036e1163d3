//! A gap in the sentence that says a joint: what it is called, what goes into it, and what that was taken for.

use super::typed::{Typed, name};
use crate::measure::{Units, parse_angle, parse_length, parse_size, parse_tube_size, show_angle};
use crate::wording::{header_words, tube_words};

/// What goes into a gap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// The size of a tube that is cut.
    Tube,
    /// The size of what it lands on.
    Body,
    /// A length.
    Length,
    /// Degrees.
    Angle,
    /// Degrees that a saw is set to: with a slider.
    Saw,
    /// A length, or a share of the diameter: with a slider.
    Scribe,
    /// Anything else that is typed.
    Text,
    /// One of these words, each with what is said of it; the usual one first.
    Choice(&'static [(&'static str, &'static str)]),
}

/// A gap.
#[derive(Debug, Clone, Copy)]
pub(super) struct Gap {
    /// The flag of the command line for the same thing.
    pub(super) flag: &'static str,
    /// What it is called across the shop.
    pub(super) label: &'static str,
    /// What goes into it.
    pub(super) kind: Kind,
    /// Whether there is no joint without it.
    pub(super) is_needed: bool,
    /// What may be typed, or what is taken where nothing is.
    pub(super) hint: &'static str,
}

impl Gap {
    /// One that may stay empty.
    pub(super) const fn new(flag: &'static str, label: &'static str, kind: Kind, hint: &'static str) -> Self {
        Self {
            flag,
            label,
            kind,
            is_needed: false,
            hint,
        }
    }

    /// One that may not.
    pub(super) const fn needed(flag: &'static str, label: &'static str, kind: Kind, hint: &'static str) -> Self {
        Self {
            is_needed: true,
            ..Self::new(flag, label, kind, hint)
        }
    }

    /// Its name in the address.
    pub(super) fn name(&self) -> &'static str {
        name(self.flag)
    }

    /// What its words were taken for, where they can be read by themselves.
    pub(super) fn understood(&self, typed: &Typed) -> Option<String> {
        let text = typed.text(self.flag);
        if text.trim().is_empty() {
            return None;
        }
        let units = Units::parse(typed.text("--units")).ok();
        let shown = units.unwrap_or(if text.contains("in") || text.contains(['"', '\'']) {
            Units::INCHES
        } else {
            Units::Millimetres
        });
        match self.kind {
            Kind::Tube => {
                let size = parse_tube_size(text, units).ok()?;
                Some(tube_words(&size, units.unwrap_or(size.units)))
            }
            Kind::Body => {
                let size = parse_size(text, units).ok()?;
                Some(header_words(&size, units.unwrap_or(size.units)))
            }
            Kind::Length | Kind::Scribe => parse_length(text, units).ok().map(|mm| shown.show(mm)),
            Kind::Angle | Kind::Saw => parse_angle(text).ok().map(show_angle),
            Kind::Text | Kind::Choice(_) => None,
        }
    }
}

/// What can be said of the sheets of every joint.
pub(super) const SHEET: [Gap; 7] = [
    Gap::new("--paper", "Paper", Kind::Choice(PAPERS), ""),
    Gap::new("--units", "Units", Kind::Choice(UNITS), ""),
    Gap::new("--fractions", "Fractions", Kind::Choice(FRACTIONS), ""),
    Gap::new("--label", "Label", Kind::Text, "a line of your own for the sheets"),
    Gap::new("--stations", "Stations", Kind::Text, "for marking by hand, 4 to 360"),
    Gap::new("--seam", "Seam", Kind::Angle, "degrees from the front to the right"),
    Gap::new(
        "--paper-thickness",
        "Paper thickness",
        Kind::Length,
        "the paper lies outside the tube",
    ),
];

/// What the printer's rulers read: remembered by the browser, so not a gap of any sentence.
pub(super) const RULER_READS: &str = "--ruler-reads";

/// The papers of `shared/sizes/paper.json`, which a test holds this against.
const PAPERS: &[(&str, &str)] = &[
    ("", "letter for inches, else A4"),
    ("a4", "A4"),
    ("letter", "letter"),
    ("a3", "A3"),
    ("legal", "legal"),
    ("tabloid", "tabloid"),
];

const FRACTIONS: &[(&str, &str)] = &[("", "to 1/32 in (usual)"), ("16", "to 1/16 in"), ("64", "to 1/64 in")];

const UNITS: &[(&str, &str)] = &[("", "as typed"), ("in", "inches"), ("mm", "millimetres")];
