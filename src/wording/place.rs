//! Where something is, by body and tape.

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
            let (along, round) = on_body(*along_mm, *round_mm, *round_deg, ends[0], units);
            format!("on {name}, {along}, {round}")
        }
        Whereabouts::Tube { name, along_mm } => {
            format!("{} along {name} from its START", units.show(*along_mm))
        }
        Whereabouts::Space(at) => format!("at {}", units.show_place(*at)),
    }
}

/// Along a body, and round it or across it; `round_deg` is none on a plate.
pub(super) fn on_body(
    along_mm: f64,
    round_mm: f64,
    round_deg: Option<f64>,
    end: &str,
    units: Units,
) -> (String, String) {
    let Some(round_deg) = round_deg else {
        return (
            from_cross(along_mm, ["above", "below"], units),
            from_cross(round_mm, ["to the right of", "to the left of"], units),
        );
    };
    let along = format!("{} along from the {}", units.show(along_mm), end.to_lowercase());
    (along, from_zero_line(round_mm, round_deg, units))
}

/// `90.15 mm (18°) to the left of the zero line`.
fn from_zero_line(round_mm: f64, round_deg: f64, units: Units) -> String {
    if round_mm.abs() < ON_THE_LINE {
        return "on the zero line".to_owned();
    }
    let side = if round_mm > 0.0 { "right" } else { "left" };
    format!(
        "{} ({}) to the {side} of the zero line",
        units.show(round_mm.abs()),
        show_angle(round_deg.abs())
    )
}

fn from_cross(mm: f64, [more, less]: [&str; 2], units: Units) -> String {
    if mm.abs() < ON_THE_LINE {
        return "through the cross".to_owned();
    }
    let way = if mm < 0.0 { less } else { more };
    format!("{} {way} the cross", units.show(mm.abs()))
}
