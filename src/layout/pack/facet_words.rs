//! What is said of a faceted end: verdicts, saw settings and the table for the terminal.

use crate::job::Facets;
use crate::layout::Panel;
use crate::layout::table::facts_panel;
use crate::measure::{Units, show_angle};
use crate::plan::{FacetStudy, Outcome};
use crate::solver::{Recipe, TakeOff};

/// A seat this much shallower or deeper than the rule's third is another joint than the rule's, as a
/// share of the diameter.
const RULE_BAND: (f64, f64) = (0.25, 0.40);
/// Past this from square one setting for both sides leaves more than a weld can close, in degrees.
const NEAR_SQUARE_DEG: f64 = 5.0;

/// Rounding more than this share of the diameter off is no shortcut.
const WORTH_ROUNDING: f64 = 0.06;

/// `45.0° off square (45.0° from the tube's side)`: saws are marked either way.
pub(super) fn saw_both_ways(off_square_deg: f64) -> String {
    format!(
        "{} off square ({} from the tube's side)",
        show_angle(off_square_deg),
        show_angle(90.0 - off_square_deg)
    )
}

/// What the person must know, the verdict first.
pub(super) fn opinions(asked: &Facets, study: &FacetStudy, units: Units) -> Vec<String> {
    let mut opinions = vec![verdict(asked, study, units)];
    opinions.extend(rule(asked, study, units));
    if let Some(unlimited) = &study.unlimited {
        opinions.push(format!(
            "the saw's limit of {} binds: without it the best cuts are {}, leaving {}; to reach {} put a wedge of {} between tube and fence (common practice: clamp the tube well)",
            show_angle(asked.saw_limit_deg),
            settings(&unlimited.recipe),
            units.show(unlimited.gap.largest),
            show_angle(steepest(&unlimited.recipe)),
            show_angle(steepest(&unlimited.recipe) - asked.saw_limit_deg)
        ));
    }
    opinions
}

fn steepest(recipe: &Recipe) -> f64 {
    recipe
        .front
        .iter()
        .chain(&recipe.back)
        .map(|cut| cut.1)
        .fold(0.0, f64::max)
}

fn verdict(asked: &Facets, study: &FacetStudy, units: Units) -> String {
    let limit = asked.gap_limit_mm;
    let as_cut = format!("as cut, the largest gap is {}", units.show(study.as_cut.gap.largest));
    let best = units.show(study.best.gap.largest);
    if study.as_cut.gap.largest <= limit {
        return format!("{as_cut}: good as it is");
    }
    let deepest = study
        .rounded
        .take_off
        .iter()
        .map(|part| part.deepest)
        .fold(0.0, f64::max);
    let round = if deepest <= WORTH_ROUNDING * asked.joint.branch.across_mm() {
        format!(
            ", or round up to {} off, pushing the tube in by {}",
            units.show(deepest),
            units.show(study.push_in_to_limit)
        )
    } else {
        String::new()
    };
    if study.best.gap.largest <= limit {
        return format!(
            "{as_cut}, too wide for {}; the best pair of cuts ({}) leaves {best} and needs no rounding",
            units.show(limit),
            settings(&study.best.recipe)
        );
    }
    let more = study
        .more_cuts
        .iter()
        .zip(["four", "six"])
        .find(|(outcome, _)| outcome.gap.largest <= limit);
    match more {
        Some((outcome, count)) => format!(
            "{as_cut}, too wide for {}; even the best pair of cuts leaves {best}, {count} cuts leave {}; a wrap is the way{round}",
            units.show(limit),
            units.show(outcome.gap.largest)
        ),
        None => format!(
            "{as_cut}, too wide for {}; even the best pair of cuts leaves {best}: a wrap is the way{round}",
            units.show(limit)
        ),
    }
}

/// Whether the rule of the trade fits this joint.
fn rule(asked: &Facets, study: &FacetStudy, units: Units) -> Vec<String> {
    let od = asked.joint.branch.across_mm();
    let share = study.true_depth_mm / od;
    let mut said = vec![format!(
        "the true seat is {} deep, {share:.3} of the OD, with this wall{}",
        units.show(study.true_depth_mm),
        if (RULE_BAND.0..=RULE_BAND.1).contains(&share) && 90.0 - asked.joint.angle_deg <= NEAR_SQUARE_DEG {
            ": near the third of the rule"
        } else {
            ""
        }
    )];
    if share < RULE_BAND.0 {
        let ratio = asked.joint.header.od_mm / od;
        said.push(format!(
            "the header is too large for the rule ({ratio:.2} times the tube): a third of the OD and 45° cut too deep"
        ));
    } else if share > RULE_BAND.1 {
        said.push("the seat is deeper than the rule's third: the rule cuts too shallow".to_owned());
    }
    let off = 90.0 - asked.joint.angle_deg;
    if off > NEAR_SQUARE_DEG {
        said.push(format!("the joint is {} from square: too far for one 45° setting on both sides; front and back need angles of their own", show_angle(off)));
    }
    said
}

/// `front 38.3°, back 38.3°, scribe 15.67 mm` without the depth.
fn settings(recipe: &Recipe) -> String {
    let side = |cuts: &[(f64, f64)]| {
        cuts.iter()
            .map(|cut| show_angle(cut.1))
            .collect::<Vec<_>>()
            .join(" and ")
    };
    format!("front {}, back {}", side(&recipe.front), side(&recipe.back))
}

/// Saw settings and rounding, in tables.
pub(super) fn settings_panels(asked: &Facets, study: &FacetStudy, units: Units) -> Vec<Panel> {
    let pair = |name: &str, outcome: &Outcome| {
        let Recipe { front, back } = &outcome.recipe;
        vec![
            [format!("{name}: scribe"), units.show(front[0].0)],
            ["front cut".to_owned(), saw_both_ways(front[0].1)],
            ["back cut".to_owned(), saw_both_ways(back[0].1)],
            ["largest gap".to_owned(), gap_words(outcome, units)],
        ]
    };
    let mut rows = pair("as cut", &study.as_cut);
    rows.extend(pair("best", &study.best));
    rows.extend(
        study
            .best_single
            .iter()
            .flat_map(|single| pair("best, one setting", single)),
    );
    let first = format!(
        "First cut, parallel to the header: {}.",
        saw_both_ways(90.0 - asked.joint.angle_deg)
    );
    let mut panels = vec![facts_panel("Saw settings", &rows, &first)];
    panels.extend(
        study
            .more_cuts
            .iter()
            .zip(["Four cuts", "Six cuts"])
            .map(|(outcome, title)| more_cuts_panel(title, outcome, units)),
    );
    panels.push(rounding_panel(study, units));
    panels
}

fn more_cuts_panel(title: &str, outcome: &Outcome, units: Units) -> Panel {
    let mut rows = Vec::new();
    for (side, cuts) in [("front", &outcome.recipe.front), ("back", &outcome.recipe.back)] {
        rows.extend(
            cuts.iter()
                .map(|(scribe, saw)| [format!("{side}, scribe {}", units.show(*scribe)), show_angle(*saw)]),
        );
    }
    rows.push(["largest gap".to_owned(), gap_words(outcome, units)]);
    facts_panel(title, &rows, "Angles off square; each cut touches a line of its own.")
}

fn rounding_panel(study: &FacetStudy, units: Units) -> Panel {
    let mut rows: Vec<[String; 2]> = study
        .rounded
        .take_off
        .iter()
        .map(|part| {
            [
                stretch(part),
                format!("{} at {}", units.show(part.deepest), show_angle(part.deepest_at_deg)),
            ]
        })
        .collect();
    rows.push(["gap that remains".to_owned(), units.show(study.rounded.gap.largest)]);
    let under = format!(
        "Pushed in by {}. Grind only there, a little at a time.",
        units.show(study.rounded.push_in)
    );
    facts_panel("Round off (as cut)", &rows, &under)
}

fn stretch(part: &TakeOff) -> String {
    let degrees = |at: f64| show_angle(at.rem_euclid(360.0));
    if part.azimuths_deg.end - part.azimuths_deg.start >= 360.0 {
        return "all round".to_owned();
    }
    format!(
        "from {} to {}",
        degrees(part.azimuths_deg.start),
        degrees(part.azimuths_deg.end)
    )
}

fn gap_words(outcome: &Outcome, units: Units) -> String {
    format!(
        "{} at {}",
        units.show(outcome.gap.largest),
        show_angle(outcome.gap.at_deg)
    )
}

/// The table for the terminal.
pub(super) fn summary(heading: &str, asked: &Facets, study: &FacetStudy, units: Units) -> Vec<String> {
    let rounded = Outcome {
        recipe: study.as_cut.recipe.clone(),
        gap: study.rounded.gap.clone(),
    };
    let mut columns: Vec<(&str, &Outcome)> =
        vec![("as cut", &study.as_cut), ("rounded", &rounded), ("best", &study.best)];
    columns.extend(study.best_single.iter().map(|single| ("one setting", single)));
    columns.extend(
        study
            .more_cuts
            .iter()
            .zip(["four cuts", "six cuts"])
            .map(|(outcome, name)| (name, outcome)),
    );
    let line = |head: &str, cell: &dyn Fn(&Outcome) -> String| {
        let cells: Vec<String> = columns
            .iter()
            .map(|(_, outcome)| format!("{:>19}", cell(outcome)))
            .collect();
        format!("{head:<13}{}", cells.concat())
    };
    let heads: Vec<String> = columns.iter().map(|(name, _)| format!("{name:>19}")).collect();
    let saws = |cuts: &[(f64, f64)]| {
        cuts.iter()
            .map(|cut| format!("{:.1}", cut.1))
            .collect::<Vec<_>>()
            .join("/")
    };
    let depths = |outcome: &Outcome| {
        let all: Vec<String> = outcome.recipe.front.iter().map(|cut| short(cut.0, units)).collect();
        all.join("/")
    };
    vec![
        heading.to_owned(),
        format!("{:<13}{}", "", heads.concat()),
        line(&format!("scribe, {}", units.name()), &depths),
        line("saw front °", &|outcome| saws(&outcome.recipe.front)),
        line("saw back °", &|outcome| saws(&outcome.recipe.back)),
        line(&format!("gap, {}", units.name()), &|outcome| {
            short(outcome.gap.largest, units)
        }),
        line("at °", &|outcome| format!("{:.0}", outcome.gap.at_deg)),
        line(&format!("mean, {}", units.name()), &|outcome| {
            short(outcome.gap.mean, units)
        }),
        line(&format!("within {}", short(asked.gap_limit_mm, units)), &|outcome| {
            format!("{:.0} %", 100.0 * outcome.gap.share_within)
        }),
        line("weld, mm3", &|outcome| format!("{:.0}", outcome.gap.volume)),
    ]
}

/// A length for a narrow column: inches as decimals.
fn short(mm: f64, units: Units) -> String {
    match units {
        Units::Millimetres => format!("{mm:.2}"),
        Units::Inches => format!("{:.3}", mm / crate::measure::MM_PER_INCH),
    }
}
