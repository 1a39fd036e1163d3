//! Where something is, by body and tape.

use crate::job::ZeroLine;
use crate::measure::{Units, show_angle};
use crate::plan::Whereabouts;

/// Less than this off a line is on it, in millimetres.
const ON_THE_LINE: f64 = 5e-3;

/// `on drum, 320.00 mm along from the bottom end, 90.15 mm (18°) to the left of the zero line`; `596.00 mm along riser 1 from
/// its START`.
pub(super) fn whereabouts_words(place: &Whereabouts, units: Units) -> String {
    match place {
        Whereabouts::Body {
            name,
            ends,
            along_mm,
            round_mm,
            round_deg,
        } => {
            let along = along_words(*along_mm, ends[0], round_deg.is_some(), units);
            let round = round_words(*round_mm, *round_deg, ZeroLine::OfBody, units);
            format!("on {name}, {along}, {round}")
        }
        Whereabouts::Tube { name, along_mm } => {
            format!("{} along {name} from its START", units.show(*along_mm))
        }
        Whereabouts::Space(at) => format!("at {}", units.show_place(*at)),
    }
}

/// `320.00 mm along from the bottom end`; on a plate, which is not round, `30.00 mm above the cross`.
pub(super) fn along_words(along_mm: f64, end: &str, is_round: bool, units: Units) -> String {
    match is_round {
        true => format!("{} along from the {}", units.show(along_mm), end.to_lowercase()),
        false => from_cross(along_mm, ["above", "below"], units),
    }
}

/// `90.15 mm (18°) to the left of the zero line`; `90.15 mm (18°) from its FRONT line to its LEFT` of a tube; on a plate, where there are
/// no degrees, `20.00 mm to the right of the cross`.
pub(super) fn round_words(round_mm: f64, round_deg: Option<f64>, zero: ZeroLine, units: Units) -> String {
    let Some(round_deg) = round_deg else {
        return from_cross(round_mm, ["to the right of", "to the left of"], units);
    };
    if round_mm.abs() < ON_THE_LINE {
        return format!("on {}", zero.name());
    }
    if zero == ZeroLine::Front && is_half_round(round_deg) {
        return "on its BACK line".to_owned();
    }
    let round = format!("{} ({})", units.show(round_mm.abs()), show_angle(round_deg.abs()));
    let side = zero.sides()[usize::from(round_mm < 0.0)];
    match zero {
        ZeroLine::OfBody => format!("{round} to the {} of {}", side.to_lowercase(), zero.name()),
        ZeroLine::Front => format!("{round} from {} towards its {side}", zero.name()),
    }
}

/// Whether a place is straight across from the line that it is told from.
pub(super) fn is_half_round(round_deg: f64) -> bool {
    (round_deg.abs() - 180.0).abs() < 5e-3
}

fn from_cross(mm: f64, [more, less]: [&str; 2], units: Units) -> String {
    if mm.abs() < ON_THE_LINE {
        return "through the cross".to_owned();
    }
    let way = if mm < 0.0 { less } else { more };
    format!("{} {way} the cross", units.show(mm.abs()))
}
