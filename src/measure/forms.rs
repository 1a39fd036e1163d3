//! How lengths and sizes are written, for the help of an error: with examples in the units of the job, where they are known.

use super::units::Units;

/// Lengths.
pub(super) fn lengths(units: Option<Units>) -> &'static str {
    match units {
        None => "lengths look like 48.3mm, 4.5 cm, 1.9in, 1-7/8in, 1 7/8 in, 1-7/8\", 2ft 3-1/2in",
        Some(Units::Millimetres) => "lengths look like 48.3, 48.3mm, 4.5 cm, 0.5 m",
        Some(Units::Inches(_)) => "lengths look like 1.9, 1.9in, 1-7/8in, 1 7/8 in, 1-7/8\", 2ft 3-1/2in",
    }
}

/// Sizes of what is round.
pub(super) fn sizes(units: Option<Units>) -> &'static str {
    match units {
        None => {
            "sizes look like 48.3mm x 2mm, 1-7/8in x 16ga, NPS 1-1/2 sch 40, DN 40 sch 40, EN DN 65 x 2.9mm, \
             fence 1-7/8 x 0.065in, drum 55 gal, or girth 5-31/32in x 0.065in"
        }
        Some(Units::Millimetres) => {
            "sizes look like 48.3mm x 2mm, NPS 1-1/2 sch 40, DN 40 sch 40, EN DN 65 x 2.9mm, drum 55 gal, or \
             girth 152mm x 2mm"
        }
        Some(Units::Inches(_)) => {
            "sizes look like 1.9in x 0.065in, 1-7/8in x 16ga, NPS 1-1/2 sch 40, fence 1-7/8 x 0.065in, drum 55 gal, or \
             girth 5-31/32in x 0.065in"
        }
    }
}

/// Sizes of tubes with sides.
pub(super) fn sizes_with_sides(units: Option<Units>) -> String {
    let (square, rectangular) = match units {
        None => (
            "square 50mm x 3mm, square 2in x 11ga r 1/4in or SHS 50mm x 50mm x 3mm",
            "rect 60mm x 40mm x 3mm r 6mm or RHS 60mm x 40mm x 3mm",
        ),
        Some(Units::Millimetres) => (
            "square 50mm x 3mm or SHS 50mm x 50mm x 3mm",
            "rect 60mm x 40mm x 3mm r 6mm or RHS 60mm x 40mm x 3mm",
        ),
        Some(Units::Inches(_)) => (
            "square 2in x 11ga r 1/4in or SHS 2in x 2in x 1/8in",
            "rect 3in x 2in x 1/8in r 1/4in or RHS 3in x 2in x 1/8in",
        ),
    };
    format!(
        "square tube looks like {square}; rectangular like {rectangular}: width (from left to right), height (from front to \
         back), wall, outside radius of the corners"
    )
}
