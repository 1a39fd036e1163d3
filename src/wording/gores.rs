//! What is said of a hole's paper strips.

use super::node::listed;
use crate::measure::Units;
use crate::plan::{CompassHole, Gores};

/// The heading of a hole's strips, which serve so many holes with it.
pub(crate) fn gores_title(hole: &CompassHole, serves: usize) -> String {
    let (more, make) = match serves {
        0 | 1 => (String::new(), String::new()),
        all => (format!(" and {} more", all - 1), format!(", make {all}")),
    };
    format!(
        "HOLE in {} for {} ({}){more}: paper strips{make}",
        hole.body[0], hole.tube, hole.end
    )
}

/// Where the holes are that strips serve, if there are several.
pub(crate) fn gores_places(all: &[&CompassHole]) -> Option<String> {
    /// More holes than these are not told one by one.
    const MOST: usize = 6;
    let names: Vec<String> = all.iter().map(|hole| format!("{} ({})", hole.tube, hole.end)).collect();
    let which = match names.len() {
        0 | 1 => return None,
        2..=MOST => listed(&names),
        many => format!("all {many} of {}", all[0].body[0]),
    };
    Some(format!(
        "For {which}: each hole has its middle and its line to the {} by its own compass drawing.",
        all[0].apex
    ))
}

/// What one strip is called on itself and on those beside it: numbers from the left.
pub(crate) fn gore_number(index: usize) -> String {
    (index + 1).to_string()
}

/// How they are used.
pub(crate) fn gores_words(hole: &CompassHole, gores: &Gores, units: Units) -> Vec<String> {
    let count = gores.strips.len();
    let middle = gores.strips.iter().position(|gore| gore.beside == 0).unwrap_or(0);
    let (line, up) = match hole.apex_deg {
        Some(_) => (format!("the line to the {}", hole.apex), format!("the {}", hole.apex)),
        None => (
            "the line to the zero line's mark".to_owned(),
            "the zero line's mark".to_owned(),
        ),
    };
    let whole = if hole.apex == "apex" { "head" } else { "ball" };
    let number = gore_number(middle);
    let (pieces, first, others) = match count {
        1 => ("ONE PIECE", "Tape it on".to_owned(), ""),
        _ => (
            "STRIPS",
            format!("Tape {number} on first"),
            ", then the others edge to edge by the numbers at their edges, cross lines in one line",
        ),
    };
    let count = if count == 1 { String::new() } else { format!("{count} ") };
    vec![
        format!(
            "{count}{pieces}: cut out along the thin edges. On the {whole} draw the middle, {line} and one square to it."
        ),
        format!(
            "{first}, dashed line on {line}, UP towards {up}{others}. The bold line is the hole's edge: punch through it."
        ),
        format!(
            "Bent along its middle {} is nowhere more than {} off the place that it marks.",
            if count.is_empty() { "it" } else { "a strip" },
            units.show_least(gores.off_mm)
        ),
    ]
}

/// That there are none.
pub(crate) fn no_gores() -> &'static str {
    "No paper strips: this hole goes too far round for paper. Mark it with the compass."
}
