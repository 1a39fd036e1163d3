//! What a job's pack says of drains and clashes.

use crate::measure::Units;
use crate::plan::{Clash, Drain};

/// How far apart, how far was asked for, and where.
pub(super) fn clash_words(clash: &Clash, units: Units) -> String {
    let asked = if clash.asked_mm > 0.0 {
        format!(", {} asked for", units.show(clash.asked_mm))
    } else {
        String::new()
    };
    let at = clash.at;
    format!(
        "clash: {}, {} apart{asked}, near [{:.0}, {:.0}, {:.0}]",
        clash.what,
        units.show(clash.apart_mm),
        at.x,
        at.y,
        at.z
    )
}

/// Where a drain lands, what it leaves, and how it falls.
pub(super) fn drain_words(drain: &Drain, units: Units) -> Vec<String> {
    let left = match drain.left_litres {
        Some(litres) if litres > 0.005 => format!(", {litres:.2} litres are left standing"),
        Some(_) => ", nothing is left standing".to_owned(),
        None => String::new(),
    };
    // Level is level, not minus nothing.
    let fall_deg = if drain.fall_deg.abs() < 5e-3 {
        0.0
    } else {
        drain.fall_deg
    };
    let slope = fall_deg.to_radians().tan();
    let mut words = vec![format!(
        "drain \"{}\" lands {} along, its hole's low edge {} over the floor{left}; it falls {:.2}°, {:.1} mm per metre, {:.3} in per foot",
        drain.tube,
        units.show(drain.along_mm),
        units.show(drain.low_edge_mm),
        fall_deg,
        1000.0 * slope,
        12.0 * slope
    )];
    if fall_deg <= 0.0 {
        words.push(format!(
            "DRAIN \"{}\" DOES NOT FALL: a part of it is level or rises, and liquid stays in it",
            drain.tube
        ));
    }
    words
}
