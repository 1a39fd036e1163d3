//! The size of the fillets that metal and wire are told for.

use super::Reader;
use crate::job::WeldSize;
use crate::job::raw::{self, Word};
use crate::problem::{Problem, quoted};

/// Nobody lays smaller or larger fillets on tube, in millimetres.
const SIZES_MM: [f64; 2] = [0.5, 50.0];

impl Reader {
    /// The size, nothing within where none is said; `None` where it was refused.
    pub(super) fn weld_size(&mut self, raw: &raw::Sheet) -> Option<Option<WeldSize>> {
        let (size, of): (_, fn(f64) -> WeldSize) = match (&raw.weld_leg, &raw.weld_throat) {
            (None, None) => return Some(None),
            (Some(leg), Some(throat)) => {
                self.refuse_both(leg, throat);
                return None;
            }
            (Some(leg), None) => (self.weld_length(leg, "leg")?, WeldSize::Leg),
            (None, Some(throat)) => (self.weld_length(throat, "throat")?, WeldSize::Throat),
        };
        Some(Some(of(size)))
    }

    fn weld_length(&mut self, word: &Word, what: &str) -> Option<f64> {
        let length = self.length(word)?;
        let problem = Problem::new(format!("a fillet with this {what} can't be right"));
        self.within(word, length, SIZES_MM, problem, |range| {
            format!("give {range}, or leave it out where metal and wire need not be told")
        })
    }

    fn refuse_both(&mut self, leg: &Word, throat: &Word) {
        let problem = Problem::new("a fillet's size is given twice")
            .figures(format!(
                "a leg of {} and a throat of {}",
                quoted(leg.text.trim()),
                quoted(throat.text.trim())
            ))
            .against(leg)
            .help("give the leg or the throat: at 90 degrees a throat is 0.707 of its leg");
        self.refuse(throat, problem);
    }
}
