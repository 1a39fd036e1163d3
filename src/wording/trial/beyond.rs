//! An end that was cut to leave a gap: what closes is what is beyond that.

use crate::measure::Units;
use crate::plan::TrialPlan;

/// What it was cut to leave; none where it was cut to close.
fn cut_to_leave(of: &TrialPlan) -> Option<&'static str> {
    of.leaves_a_gap.then_some(if of.asked.offered.end.root_gap_mm > 0.0 {
        "the root gap"
    } else {
        "what the handbook's line leaves"
    })
}

/// ` beyond the root gap`, to be put behind a gap; nothing where it was cut to close.
pub(crate) fn beyond(of: &TrialPlan) -> String {
    cut_to_leave(of).map_or_else(String::new, |what| format!(" beyond {what}"))
}

/// `the light that shows is the root gap`: what there is to be seen where nothing is off.
pub(super) fn shows(of: &TrialPlan) -> Option<String> {
    let what = match of.flat {
        Some(_) => "what the flat cuts leave",
        None => cut_to_leave(of)?,
    };
    Some(format!("the light that shows is {what}"))
}

/// `goes in 2.44 mm past its first touch`: where the tube goes when it is ground.
pub(crate) fn goes_in(of: &TrialPlan, units: Units) -> String {
    let by = units.show(of.goes_in_mm.abs());
    let goes = if of.goes_in_mm < 0.0 {
        format!("is drawn back {by} from its first touch")
    } else {
        format!("goes in {by} past its first touch")
    };
    match cut_to_leave(of) {
        Some(what) => format!("{goes}, to leave {what},"),
        None => goes,
    }
}
