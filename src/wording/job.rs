//! What is said of a whole job: its summary, stacks, drains and clashes.

use super::tight_hole::tight_holes;
use super::{Said, if_round};
use crate::job::{Assembly, Parted, Stack};
use crate::measure::{Units, decimals};
use crate::plan::{Clash, CutList, Drain, JobPlan, Plan};

/// Title, notes and summary.
pub(super) fn said(plan: &Plan, job: &JobPlan) -> Said {
    let (assembly, units) = (&job.assembly, plan.sheet.units);
    let mut notes = plan.warnings.clone();
    notes.extend(if_round::notes(assembly, &job.holes, units));
    notes.extend(tight_holes(assembly, &job.holes, units));
    notes.extend(job.drains.iter().flat_map(|drain| drain_words(drain, units)));
    notes.extend(job.cut_list.clashes.iter().map(|clash| clash_words(clash, units)));
    Said {
        title: assembly.title.clone(),
        notes,
        summary: summary(assembly, &job.cut_list, units),
    }
}

/// How far apart, how far was asked for, and where.
fn clash_words(clash: &Clash, units: Units) -> String {
    let asked = if clash.asked_mm > 0.0 {
        format!(", {} asked for", units.show(clash.asked_mm))
    } else {
        String::new()
    };
    let bound = if clash.is_bound { "at least " } else { "" };
    let at = clash.at;
    format!(
        "clash: {}, {bound}{} apart{asked}, near [{}, {}, {}]",
        clash.what,
        units.show(clash.apart_mm),
        decimals(at.x, 0),
        decimals(at.y, 0),
        decimals(at.z, 0)
    )
}

/// Where a drain lands, what it leaves, and how it falls.
fn drain_words(drain: &Drain, units: Units) -> Vec<String> {
    let left = match drain.left_litres {
        Some(litres) if litres > 0.005 => format!(", {} litres are left standing", decimals(litres, 2)),
        Some(_) => ", nothing is left standing".to_owned(),
        None => String::new(),
    };
    let lip = if drain.lip_mm > drain.low_edge_mm + 5e-3 {
        format!(", the lip of its bore {}", units.show(drain.lip_mm))
    } else {
        String::new()
    };
    // Level is level, not minus nothing.
    let fall_deg = if drain.fall_deg.abs() < 5e-3 {
        0.0
    } else {
        drain.fall_deg
    };
    let slope = fall_deg.to_radians().tan();
    let mut words = vec![format!(
        "drain \"{}\" lands {} along, its hole's low edge {} over the floor{lip}{left}; it falls {}°, {} mm per metre, {} in per foot",
        drain.tube,
        units.show(drain.along_mm),
        units.show(drain.low_edge_mm),
        decimals(fall_deg, 2),
        decimals(1000.0 * slope, 1),
        decimals(12.0 * slope, 3)
    )];
    if fall_deg <= 0.0 {
        words.push(format!(
            "DRAIN \"{}\" DOES NOT FALL: a part of it is level or rises, and liquid stays in it",
            drain.tube
        ));
    }
    words
}

/// `1 tube`, `6 tubes`.
fn counted(count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}

fn summary(assembly: &Assembly, cut_list: &CutList, units: Units) -> Vec<String> {
    let count: usize = cut_list.rows.iter().map(|row| row.quantity).sum();
    let mut lines = vec![
        assembly.title.clone(),
        format!(
            "{}, {} of {}, {}{}",
            counted(assembly.tubes.len(), "tube"),
            counted(count, "piece"),
            counted(cut_list.rows.len(), "kind"),
            counted(cut_list.sticks.len(), "stick"),
            if cut_list.is_proved {
                ""
            } else {
                " (fewer may be possible)"
            }
        ),
        format!(
            "{} of tube, {} kg of steel",
            units.show(cut_list.total_mm),
            decimals(cut_list.steel_kg, 1)
        ),
    ];
    lines.extend(assembly.stacks.iter().flat_map(|stack| stack_words(stack, units)));
    lines
}

/// Ways that are told on the terminal beside the one that is built.
const TOLD: usize = 3;

/// The sum in one line, and the next best ones.
fn stack_words(stack: &Stack, units: Units) -> Vec<String> {
    let sum = way_words(stack, stack.way(), units);
    let mut lines = vec![format!(
        "stack {}: {sum}, of {}: {} left over",
        stack.name,
        units.show(stack.room_mm),
        units.show(stack.room_mm - stack.way().total_mm)
    )];
    let others = stack.ways.iter().enumerate().filter(|(index, _)| *index != stack.taken);
    lines.extend(
        others
            .take(TOLD)
            .map(|(index, way)| format!("  or \"take\": {}: {}", index + 1, way_words(stack, way, units))),
    );
    lines
}

fn way_words(stack: &Stack, way: &Parted, units: Units) -> String {
    let mut sum = String::new();
    for (index, part) in stack.parts.iter().enumerate() {
        let plus = if index > 0 { " + " } else { "" };
        let parted = if way.kept[index].is_parted { "parted" } else { "whole" };
        sum += &format!("{plus}{} {parted} {}", part.name, units.show(way.kept[index].height_mm));
        if part.nests_mm > 0.0 {
            sum += &format!(" - nested {}", units.show(part.nests_mm));
        }
    }
    for (what, adds) in &stack.on_top {
        sum += &format!(" + {what} {}", units.show(*adds));
    }
    format!("{sum} = {}", units.show(way.total_mm))
}
