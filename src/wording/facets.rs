//! What is said of a faceted end: verdicts, saw settings and the table for the terminal.

use super::Said;
use crate::job::{Facets, Saddle};
use crate::measure::{Units, show_angle};
use crate::plan::{FacetStudy, FacetsPlan, Outcome, Plan};
use crate::solver::Recipe;

/// Title, notes and summary.
pub(super) fn said(plan: &Plan, of: &FacetsPlan) -> Said {
    let (joint, units) = (&of.asked.joint, plan.sheet.units);
    let angle = show_angle(joint.angle_deg);
    let title = format!("Chop-saw facets: {}, {angle}", joint_title(joint, units));
    let mut notes = plan.warnings.clone();
    notes.extend(opinions(&of.asked, &of.study, units));
    Said {
        summary: summary(&title, &of.asked, &of.study, units),
        notes,
        title,
    }
}

/// What lands on what.
pub(crate) fn joint_title(joint: &Saddle, units: Units) -> String {
    format!("{} on {}", joint.branch.describe(units), joint.header.describe(units))
}

/// A seat this much shallower or deeper than the rule's third is another joint than the rule's, as a
/// share of the diameter.
const RULE_BAND: (f64, f64) = (0.25, 0.40);
/// Past this from square one setting for both sides leaves more than a weld can close, in degrees.
const NEAR_SQUARE_DEG: f64 = 5.0;

/// Rounding more than this share of the diameter off is no shortcut.
const WORTH_ROUNDING: f64 = 0.06;

/// `45.0° off square (45.0° from the tube's side)`: saws are marked either way.
pub(crate) fn saw_both_ways(off_square_deg: f64) -> String {
    format!(
        "{} off square ({} from the tube's side)",
        show_angle(off_square_deg),
        show_angle(90.0 - off_square_deg)
    )
}

/// What the person must know, the verdict first.
fn opinions(asked: &Facets, study: &FacetStudy, units: Units) -> Vec<String> {
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

/// The table for the terminal.
fn summary(heading: &str, asked: &Facets, study: &FacetStudy, units: Units) -> Vec<String> {
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
