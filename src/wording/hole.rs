//! What a hole is called, and where it goes, in words.

use super::place::{along_words, is_half_round, round_words};
use crate::body::Development;
use crate::job::{Assembly, ZeroLine};
use crate::measure::Units;
use crate::plan::{Datum, Found, PlacedHole};

/// Less than this off a line is on it, in millimetres.
const ON_A_LINE: f64 = 5e-3;

/// `H1`: plain numbers are those of pieces, in the cut list and in pictures.
pub(crate) fn hole_number(index: usize) -> String {
    format!("H{}", index + 1)
}

/// Where the lines of a hole's pattern are on its body, and which way is up: what the pattern itself shows.
pub(super) fn lines_words(hole: &PlacedHole, assembly: &Assembly, units: Units) -> String {
    let (along, round) = hole.place_words(units);
    let up = up_words(hole, assembly);
    format!("{}: line A {round}, line B {along}; {up}.", hole.hole.tube)
}

/// `up is towards the far end`.
pub(super) fn up_words(hole: &PlacedHole, assembly: &Assembly) -> String {
    if assembly.bodies[hole.hole.body].outside.is_flat() {
        "up is towards the plate's zero".to_owned()
    } else {
        format!("up is towards the {}", hole.ends[1].to_lowercase())
    }
}

/// Where the line along the header is, `u` millimetres round it.
pub(crate) fn line_a(u: f64, units: Units) -> String {
    match u {
        0.0 => "the header's line that faces the branch".to_owned(),
        _ => format!(
            "{} round the header to the {} of its line that would face a branch without offset",
            units.show(u.abs()),
            if u > 0.0 { "right" } else { "left" }
        ),
    }
}

impl Datum {
    /// What it is called.
    pub(crate) fn name(self) -> &'static str {
        match self.what {
            Found::BaseLine => "the base line at its START",
            Found::Tip => "the tip of its START",
        }
    }
}

impl PlacedHole {
    /// The tube that it is for, with its piece and which end: `riser (piece 1, start)`.
    pub(crate) fn name(&self) -> String {
        let side = if self.hole.is_at_start { "start" } else { "end" };
        match self.piece {
            Some(piece) => format!("{} (piece {piece}, {side})", self.hole.tube),
            None => format!("{} ({side})", self.hole.tube),
        }
    }

    /// The name of its pattern, unless another's serves.
    pub(crate) fn pattern(&self, assembly: &Assembly) -> String {
        format!("hole in {} for {}", assembly.bodies[self.hole.body].name, self.name())
    }

    /// Where the place under the tube's axis is, in words, as a tape finds it: along the body, and round it or across it.
    pub(crate) fn place_words(&self, units: Units) -> (String, String) {
        let round_deg = self.girth.map(|_| self.round_deg());
        let along = along_words(self.hole.along_mm, self.ends[0], round_deg.is_some(), units);
        let along = match (self.datum, self.shape) {
            (Some(datum), _) => {
                let past = self.hole.along_mm - datum.along_mm;
                let towards = if past < 0.0 { "START" } else { "END" };
                format!("{} from {} towards its {towards}", units.show(past.abs()), datum.name())
            }
            (None, Development::Sector { .. }) => {
                format!(
                    "{} with the tape on the skin ({along}, on the axis)",
                    units.show(self.up_mm)
                )
            }
            (None, _) => along,
        };
        (along, round_words(self.round_mm, round_deg, self.zero_line, units))
    }

    /// How far up from where it is measured it is, along the skin; on a plate from its cross: `up 320.00 mm`.
    pub(crate) fn up_words(&self, units: Units) -> String {
        let from = self.datum.map_or(0.0, |datum| datum.along_mm);
        self.signed(self.up_mm - from, ["up", "down"], units)
    }

    /// How far it is from the zero line, or from a plate's cross: `left 90.15 mm`; on a tube `to LEFT 90.15 mm`.
    pub(crate) fn side_words(&self, units: Units) -> String {
        match self.zero_line {
            ZeroLine::OfBody => self.signed(self.round_mm, ["right", "left"], units),
            ZeroLine::Front if self.is_on_the_zero_line() => "on FRONT".to_owned(),
            ZeroLine::Front if self.is_on_a_line() => "on BACK".to_owned(),
            ZeroLine::Front => {
                let side = self.zero_line.sides()[usize::from(self.round_mm < 0.0)];
                format!("to {side} {}", units.show(self.round_mm.abs()))
            }
        }
    }

    fn is_on_the_zero_line(&self) -> bool {
        self.round_mm.abs() < ON_A_LINE
    }

    /// Whether it is on the zero line, or on a tube's BACK.
    pub(crate) fn is_on_a_line(&self) -> bool {
        self.is_on_the_zero_line() || self.zero_line == ZeroLine::Front && is_half_round(self.round_deg())
    }

    fn signed(&self, mm: f64, [more, less]: [&str; 2], units: Units) -> String {
        if mm.abs() < ON_A_LINE && (self.girth.is_none() || more == "right") {
            return "on the line".to_owned();
        }
        format!("{} {}", if mm < 0.0 { less } else { more }, units.show(mm.abs()))
    }
}
