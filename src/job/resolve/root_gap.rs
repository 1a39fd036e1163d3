//! Root gaps: what is left between a set-on end and its body for the weld to run through.

use super::Reader;
use crate::job::Join;
use crate::job::raw::Word;
use crate::problem::Problem;

/// No weld bridges more, in millimetres.
const WIDEST_MM: f64 = 10.0;

impl Reader {
    /// A root gap in millimetres; none within where nothing is said, `None` where it was refused.
    pub(super) fn root_gap(&mut self, word: Option<&Word>) -> Option<Option<f64>> {
        let Some(word) = word else { return Some(None) };
        let gap = self.length(word)?;
        let problem = Problem::new("this root gap can't be right");
        let help =
            |range: &str| format!("give {range}, which can be welded, or leave it out where the end is to touch");
        self.within(word, gap, [0.0, WIDEST_MM], problem, help).map(Some)
    }

    /// The root gap of one end that joins like this.
    pub(super) fn root_gap_of(&mut self, word: Option<&Word>, join: Option<Join>) -> Option<Option<f64>> {
        let gap = self.root_gap(word)?;
        let (Some(word), Some(Join::SetIn)) = (word, join) else {
            return Some(gap);
        };
        self.refused(
            word,
            Problem::new("a root gap belongs to an end that is set on its body")
                .figures("this one is set in: it ends flush with the inner skin")
                .help("leave it out; what is left round a tube that is set in is its clearance"),
        )
    }
}
