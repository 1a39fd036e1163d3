//! What is said of a whole job: its summary, stacks and drains.

use super::clash::clash_notes;
use super::copies::of_copies;
use super::ends::ends_of_pieces;
use super::falls::fall_words;
use super::keep_off::kept_clear_notes;
use super::steep::{doubled_back, steep_pieces};
use super::tight_hole::tight_holes;
use super::weld::{all_welds, tight_welds};
use super::{Said, compass, if_round, made, node};
use crate::job::{Parted, SheetOptions, Stack};
use crate::measure::{Units, decimals};
use crate::plan::{Drain, JobPlan, Plan};

/// Title, notes and summary.
pub(super) fn said(plan: &Plan, job: &JobPlan) -> Said {
    let (assembly, units) = (&job.assembly, plan.sheet.units);
    let mut notes = plan.warnings.clone();
    notes.extend(kept_clear_notes(job, units));
    notes.extend(made::notes(job));
    notes.extend(node::notes(job));
    notes.extend(compass::notes(job));
    notes.extend(compass::seam_note(job));
    notes.extend(if_round::notes(assembly, &job.holes, units));
    notes.extend(doubled_back(&job.doubled_back));
    notes.extend(steep_pieces(&job.kinds));
    notes.extend(tight_welds(&job.kinds, &plan.sheet));
    notes.extend(tight_holes(assembly, &job.holes, units));
    notes.extend(job.falls.iter().map(|fall| fall_words(fall, units)));
    let drained = assembly.tubes.iter().filter(|tube| tube.drain.is_some());
    notes.extend(of_copies(drained.zip(&job.drains), |name, are_many, drain| {
        drain_words(name, are_many, drain, units)
    }));
    Said {
        title: assembly.title.clone(),
        clashes: clash_notes(assembly, &job.cut_list.clashes, units),
        questions: plan.questions.clone(),
        notes,
        facts: Vec::new(),
        summary: summary(job, &plan.sheet),
        ends: ends_of_pieces(job, &plan.sheet),
    }
}

/// Where a drain lands, what it leaves, and how it falls; or each of several that are alike.
fn drain_words(name: &str, are_many: bool, drain: &Drain, units: Units) -> Vec<String> {
    const TOLD_MM: f64 = 5e-3;
    let which = if are_many { "each of the drains" } else { "drain" };
    let falls = drain.fall_deg >= LEVEL_DEG;
    let left = match drain.left_litres {
        Some(litres) if litres > 0.005 => format!(": {} left standing", units.show_liquid(litres)),
        Some(_) if falls => ": it drains dry".to_owned(),
        _ => String::new(),
    };
    let lip = if drain.lip_mm > drain.low_edge_mm + TOLD_MM {
        format!(", the lip of its bore {}", units.show(drain.lip_mm))
    } else {
        String::new()
    };
    let higher = drain.sill_mm.filter(|sill| *sill > drain.lip_mm + TOLD_MM);
    let sill = higher.map_or_else(String::new, |sill| {
        format!(", the low side of its bore up to {}", units.show(sill))
    });
    let low_edge = if drain.low_edge_mm.abs() < TOLD_MM {
        "level with the floor".to_owned()
    } else {
        format!("{} over the floor", units.show(drain.low_edge_mm))
    };
    let mut words = vec![format!(
        "{which} \"{name}\" lands {} along, its hole's low edge {low_edge}{lip}{sill}{left}; {}",
        units.show(drain.along_mm),
        slope_words(drain.fall_deg, units)
    )];
    if drain.stands {
        words.push(format!(
            "drain \"{name}\" stands upright: liquid stays in it up to there"
        ));
    } else if !falls {
        words.push(format!(
            "DRAIN \"{name}\" DOES NOT FALL: a part of it is level or rises, and liquid stays in it"
        ));
    }
    words
}

/// What falls or rises less is level, in degrees.
const LEVEL_DEG: f64 = 5e-3;

/// What falls or rises more is told in degrees alone: over a length it would be much, and upright without end.
const STEEP_DEG: f64 = 60.0;

/// `it falls 2.86°, 50 mm per metre`, of the part that falls least; of one that rises, that.
fn slope_words(fall_deg: f64, units: Units) -> String {
    let told = |deg: f64| {
        let over_a_length = (deg < STEEP_DEG).then(|| format!(", {}", units.show_fall(deg.to_radians().tan())));
        format!("{}°{}", decimals(deg, 2), over_a_length.unwrap_or_default())
    };
    match fall_deg {
        upright if upright.abs() > 90.0 - LEVEL_DEG && upright < 0.0 => "a part of it rises straight up".to_owned(),
        upright if upright.abs() > 90.0 - LEVEL_DEG => "it falls straight down".to_owned(),
        level if level.abs() < LEVEL_DEG => "a part of it lies level".to_owned(),
        rise if rise < 0.0 => format!("it rises by up to {}", told(-rise)),
        fall => format!("it falls {}", told(fall)),
    }
}

/// `1 tube`, `6 tubes`.
fn counted(count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}

fn summary(job: &JobPlan, sheet: &SheetOptions) -> Vec<String> {
    let (assembly, cut_list, units) = (&job.assembly, &job.cut_list, sheet.units);
    let to_make = cut_list.rows.iter().filter(|row| !row.is_made);
    let count: usize = to_make.clone().map(|row| row.quantity).sum();
    let mut lines = vec![
        assembly.title.clone(),
        format!(
            "{}, {} of {}, {}{}",
            counted(assembly.tubes.len(), "tube"),
            counted(count, "piece"),
            counted(to_make.count(), "kind"),
            counted(cut_list.sticks.len(), "stick"),
            if cut_list.is_proved {
                ""
            } else {
                " (fewer may be possible)"
            }
        ),
        format!(
            "{} of tube, {} of steel",
            units.show_stock(cut_list.total_mm),
            units.show_mass(cut_list.steel_kg)
        ),
    ];
    lines.extend(all_welds(&cut_list.welds, sheet));
    lines.extend(assembly.stacks.iter().flat_map(|stack| stack_words(stack, units)));
    lines
}

/// Ways that are told on the terminal beside the one that is built.
const TOLD: usize = 3;

/// The sum in one line, and the next best ones.
fn stack_words(stack: &Stack, units: Units) -> Vec<String> {
    let sum = way_words(stack, stack.way(), units);
    let mut lines = vec![format!(
        "stack {}: {sum}; {} available, {} left over",
        stack.name,
        units.show(stack.room_mm),
        units.show(stack.room_mm - stack.way().total_mm)
    )];
    lines.extend(open_ends(stack));
    let others = stack.ways.iter().enumerate().filter(|(index, _)| *index != stack.taken);
    lines.extend(others.take(TOLD).map(|(index, way)| {
        format!(
            "  or \"take\": {}, which is {}",
            index + 1,
            way_words(stack, way, units)
        )
    }));
    lines.extend(stack.near_misses.first().map(|way| {
        format!(
            "  too high by {}: {}",
            units.show(way.total_mm - stack.room_mm),
            way_words(stack, way, units)
        )
    }));
    lines
}

/// Which end is kept of each parted part of which the job doesn't say it.
fn open_ends(stack: &Stack) -> Option<String> {
    let kept = stack.parts.iter().zip(&stack.way().kept);
    let open = kept.filter(|(part, kept)| part.stays.is_none() && kept.is_parted);
    let words: Vec<String> = open
        .map(|(part, kept)| format!("{} keeps its {}", part.name, kept.stays.word()))
        .collect();
    let said = words.join(", ");
    (!words.is_empty()).then(|| format!("  {said}: the job doesn't say which end \"stays\", so both were tried"))
}

fn way_words(stack: &Stack, way: &Parted, units: Units) -> String {
    let mut sum = String::new();
    for (index, part) in stack.parts.iter().enumerate() {
        let plus = if index > 0 { " + " } else { "" };
        let parted = if way.kept[index].is_parted { "parted" } else { "whole" };
        sum += &format!("{plus}{} {parted} {}", part.name, units.show(way.kept[index].height_mm));
        // Where the job leaves it open, which end is kept is a part of the answer.
        if part.stays.is_none() && way.kept[index].is_parted {
            sum += &format!(", its {} kept,", way.kept[index].stays.word());
        }
        if part.nests_mm > 0.0 {
            sum += &format!(" - nested {}", units.show(part.nests_mm));
        }
    }
    for (what, adds) in &stack.on_top {
        sum += &format!(" + {what} {}", units.show(*adds));
    }
    format!("{sum} = {}", units.show(way.total_mm))
}
