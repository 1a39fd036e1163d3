//! What is said of a root gap.

use crate::job::Saddle;
use crate::measure::Units;

/// That the gap is in the pattern, and how it is held; none where none was asked for.
pub(crate) fn root_gap_note(joint: &Saddle, units: Units) -> Option<String> {
    (joint.root_gap_mm > 0.0).then(|| {
        format!(
            "A root gap of {} is in this pattern: hold the cut end that far off the header all round, square to the header's skin, before you tack it.",
            units.show_given(joint.root_gap_mm)
        )
    })
}
