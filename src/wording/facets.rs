//! What is said of a faceted end: verdicts, saw settings and the table for the terminal.

use super::Said;
use super::saw::saw_angle;
use crate::job::{Facets, Saddle};
use crate::measure::{Units, decimals, show_angle};
use crate::plan::{FacetStudy, FacetsPlan, MORE_CUTS, Outcome, Plan, Recipe};

/// Title, notes and summary.
pub(super) fn said(plan: &Plan, of: &FacetsPlan) -> Said {
    let (joint, units) = (&of.asked.joint, plan.sheet.units);
    let angle = show_angle(joint.angle_deg);
    let title = format!("Chop-saw facets: {}, {angle}", joint_title(joint, units));
    let mut notes = plan.warnings.clone();
    notes.extend(opinions(&of.asked, &of.study, units));
    Said {
        summary: summary(&title, &of.asked, &of.study, units),
        clashes: Vec::new(),
        questions: plan.questions.clone(),
        notes,
        facts: Vec::new(),
        title,
        ends: Vec::new(),
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

/// Angles nearer than this are the same setting, in degrees.
const SAME_DEG: f64 = 1e-9;

/// Rounding more than this share of the diameter off is no shortcut.
const WORTH_ROUNDING: f64 = 0.06;

/// What the person must know, the verdict first.
fn opinions(asked: &Facets, study: &FacetStudy, units: Units) -> Vec<String> {
    let mut opinions = vec![verdict(asked, study, units)];
    opinions.extend(past_the_limit(asked, study));
    opinions.extend(rule(asked, study, units));
    if let Some(unlimited) = &study.unlimited {
        opinions.push(format!(
            "the saw stops at {}; the best cuts are {} and would leave {}: to reach {} put a wedge of {} between tube and fence (common practice: clamp the tube well)",
            saw_angle(asked.saw_limit_deg),
            settings(&unlimited.recipe),
            units.show(unlimited.gap.largest),
            saw_angle(steepest(&unlimited.recipe)),
            saw_angle(steepest(&unlimited.recipe) - asked.saw_limit_deg)
        ));
    }
    opinions
}

/// Cuts that the saw can't be set to, of those that are to be made: the first one, and those asked for.
fn past_the_limit(asked: &Facets, study: &FacetStudy) -> Vec<String> {
    let limit = asked.saw_limit_deg;
    let wedge = |angle: f64| {
        format!(
            "put a wedge of {} between tube and fence (common practice: clamp the tube well)",
            saw_angle(angle - limit)
        )
    };
    let mut said = Vec::new();
    let first = 90.0 - asked.joint.angle_deg;
    if first > limit + SAME_DEG {
        said.push(format!(
            "the first cut is {} off square, and the saw reaches {}: {}",
            saw_angle(first),
            saw_angle(limit),
            wedge(first)
        ));
    }
    let Recipe { front, back } = &study.as_cut.recipe;
    let past = |side: &str, cuts: &[(f64, f64)]| {
        let cut = cuts.iter().find(|cut| cut.1 > limit + SAME_DEG)?;
        Some(format!("the {side} cut is {} off square", saw_angle(cut.1)))
    };
    let past: Vec<String> = past("front", front).into_iter().chain(past("back", back)).collect();
    if !past.is_empty() {
        said.push(format!(
            "as asked for, {}, and the saw reaches {limit}: ask for {limit} or less, or {}",
            past.join(" and "),
            wedge(steepest(&study.as_cut.recipe)),
            limit = saw_angle(limit),
        ));
    }
    said
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
    let root_gap = match asked.joint.root_gap_mm {
        0.0 => String::new(),
        gap => format!(", {} of it the root gap", units.show(gap)),
    };
    let as_cut = format!(
        "as cut, the largest gap is {}{root_gap}",
        units.show(study.as_cut.gap.largest)
    );
    let best = units.show(study.best.gap.largest);
    if study.as_cut.gap.largest <= limit {
        return format!("{as_cut}: good as it is");
    }
    let push_in = study.push_in_to_limit;
    let round = if push_in <= WORTH_ROUNDING * asked.joint.branch.across_mm() {
        // Where it touched first as much comes off as it is pushed in.
        format!(
            ", or grind off up to {} and push the tube in by as much",
            units.show(push_in)
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
    let more = study.more_cuts.iter().find(|outcome| outcome.gap.largest <= limit);
    match more {
        Some(outcome) => format!(
            "{as_cut}, too wide for {}; even the best pair of cuts leaves {best}, {} leaves {}; use a wrap{round}",
            units.show(limit),
            cuts_words(&outcome.recipe),
            units.show(outcome.gap.largest)
        ),
        None => format!(
            "{as_cut}, too wide for {}; even the best pair of cuts leaves {best}: use a wrap{round}",
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
            "the header is too large for the rule of a third ({ratio:.2} times the tube): a third of the OD and 45° cut too deep"
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
            .map(|cut| saw_angle(cut.1))
            .collect::<Vec<_>>()
            .join(" and ")
    };
    format!("front {}, back {}", side(&recipe.front), side(&recipe.back))
}

/// `a set of 4 cuts, on the front alone,`.
fn cuts_words(recipe: &Recipe) -> String {
    let (front, back) = (recipe.front.len(), recipe.back.len());
    let count = match front + back {
        1 => "a single cut".to_owned(),
        count => format!("a set of {count} cuts"),
    };
    match (front, back) {
        (_, 0) => format!("{count}, on the front alone,"),
        (0, _) => format!("{count}, on the back alone,"),
        _ => format!("{count} ({front} on the front, {back} on the back)"),
    }
}

/// Each way to cut it and what that leaves, by name: as asked for first.
pub(super) fn outcomes(study: &FacetStudy) -> Vec<(String, Outcome)> {
    let rounded = Outcome {
        recipe: study.as_cut.recipe.clone(),
        gap: study.rounded.gap.clone(),
    };
    let pairs = [("as cut", &study.as_cut), ("rounded", &rounded), ("best", &study.best)].into_iter();
    let pairs = pairs.chain(study.best_single.iter().map(|single| ("one setting", single)));
    let pairs = pairs.map(|(name, outcome)| (name.to_owned(), outcome.clone()));
    let more = MORE_CUTS.map(|most| format!("up to {most} cuts"));
    pairs
        .chain(more.into_iter().zip(study.more_cuts.iter().cloned()))
        .collect()
}

/// The table for the terminal.
fn summary(heading: &str, asked: &Facets, study: &FacetStudy, units: Units) -> Vec<String> {
    let columns = outcomes(study);
    let saw = |cut: &(f64, f64)| decimals(cut.1, 2);
    let scribe = |cut: &(f64, f64)| units.show_bare(cut.0);
    // As wide as its widest cell.
    let width = |outcome: &Outcome| {
        let cuts = outcome.recipe.front.iter().chain(&outcome.recipe.back);
        let gaps = [outcome.gap.largest, outcome.gap.mean].map(|gap| units.show_bare(gap));
        let cells = cuts.flat_map(|cut| [saw(cut), scribe(cut)]).chain(gaps);
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0).max(14) + 2
    };
    let widths: Vec<usize> = columns.iter().map(|(_, outcome)| width(outcome)).collect();
    let line = |head: &str, cell: &dyn Fn(&Outcome) -> String| {
        let cells = columns.iter().zip(&widths);
        let cells: String = cells
            .map(|((_, outcome), width)| format!("{:>width$}", cell(outcome)))
            .collect();
        format!("{head:<20}{cells}")
    };
    // A line for each cut of a side.
    type Cuts = fn(&Recipe) -> &[(f64, f64)];
    let each_cut = |head: String, cuts: Cuts, cell: &dyn Fn(&(f64, f64)) -> String| -> Vec<String> {
        let most = columns.iter().map(|(_, outcome)| cuts(&outcome.recipe).len()).max();
        let lines = (0..most.unwrap_or(0).max(1)).map(|place| {
            let head = if place == 0 { head.as_str() } else { "" };
            line(head, &|outcome| match (cuts(&outcome.recipe).get(place), place) {
                (Some(cut), _) => cell(cut),
                (None, 0) => "-".to_owned(),
                (None, _) => String::new(),
            })
        });
        lines.collect()
    };
    let heads: String = columns
        .iter()
        .zip(&widths)
        .map(|((name, _), width)| format!("{name:>width$}"))
        .collect();
    let (front, back): (Cuts, Cuts) = (|recipe| &recipe.front, |recipe| &recipe.back);
    let mut lines = vec![heading.to_owned(), format!("{:<20}{heads}", "")];
    lines.extend(each_cut(format!("scribe front, {}", units.name()), front, &scribe));
    lines.extend(each_cut("saw front °".to_owned(), front, &saw));
    lines.extend(each_cut(format!("scribe back, {}", units.name()), back, &scribe));
    lines.extend(each_cut("saw back °".to_owned(), back, &saw));
    lines.extend([
        line(&format!("gap, {}", units.name()), &|outcome| {
            units.show_bare(outcome.gap.largest)
        }),
        line("at °", &|outcome| format!("{:.0}", outcome.gap.at_deg)),
        line(&format!("mean, {}", units.name()), &|outcome| {
            units.show_bare(outcome.gap.mean)
        }),
        line(&format!("within {}", units.show_bare(asked.gap_limit_mm)), &|outcome| {
            format!("{:.0} %", 100.0 * outcome.gap.share_within)
        }),
        line(&format!("weld, {}", units.volume_name()), &|outcome| {
            units.volume(outcome.gap.volume)
        }),
    ]);
    lines
}
