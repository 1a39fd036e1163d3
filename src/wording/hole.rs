//! What a hole is called, and where it goes, in words.

use crate::job::Assembly;
use crate::measure::{Units, show_angle};
use crate::plan::PlacedHole;

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

    /// Where the place under the tube's axis is, in words: along the body, and round it or across it.
    pub(crate) fn place_words(&self, units: Units) -> (String, String) {
        let (along, round) = (self.hole.along_mm, self.round_mm);
        if self.girth.is_some() {
            let to_axis = format!("{} along from the {}", units.show(along), self.ends[0].to_lowercase());
            (to_axis, self.round_words(units))
        } else {
            let side = |value: f64, more: &str, less: &str| {
                if value.abs() < 5e-3 {
                    return "through the cross".to_owned();
                }
                let way = if value < 0.0 { less } else { more };
                format!("{} {way} the cross", units.show(value.abs()))
            };
            (
                side(along, "above", "below"),
                side(round, "to the right of", "to the left of"),
            )
        }
    }

    /// `90.15 mm (18°) to the left of the zero line`.
    fn round_words(&self, units: Units) -> String {
        let round = self.round_mm;
        if round.abs() < 5e-3 {
            return "on the zero line".to_owned();
        }
        let side = if round > 0.0 { "right" } else { "left" };
        format!(
            "{} ({}) to the {side} of the zero line",
            units.show(round.abs()),
            show_angle(self.round_deg().abs())
        )
    }

    /// How far up from the end it is, measured along the skin; on a plate from its cross: `up 320.00 mm`.
    pub(crate) fn up_words(&self, units: Units) -> String {
        self.signed(self.up_mm, ["up", "down"], units)
    }

    /// How far it is from the zero line, or from a plate's cross: `left 90.15 mm`.
    pub(crate) fn side_words(&self, units: Units) -> String {
        self.signed(self.round_mm, ["right", "left"], units)
    }

    fn signed(&self, mm: f64, [more, less]: [&str; 2], units: Units) -> String {
        if mm.abs() < 5e-3 && (self.girth.is_none() || more == "right") {
            return "on the line".to_owned();
        }
        format!("{} {}", if mm < 0.0 { less } else { more }, units.show(mm.abs()))
    }
}
