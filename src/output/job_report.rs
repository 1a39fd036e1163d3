//! The part of the report that speaks of a whole job.

use serde::Serialize;
use serde_json::{Value, json};

use super::json::without_empty;
use super::weld_report::all_welds_report;
use crate::job::{Assembly, Parted, SheetOptions, Stack};
use crate::plan::{Clash, CompassHole, HolePlace, IfRound, JobPlan};
use crate::wording::clash_name;

/// Rows and sticks, of which there are many, are no larger than they have to be.
#[derive(Serialize)]
pub(super) struct JobReport<'a> {
    cut_list: Vec<Row<'a>>,
    sticks: Vec<Stick<'a>>,
    fewest_sticks_proved: bool,
    total_mm: f64,
    steel_kg: f64,
    welds: Value,
    clashes: Value,
    stacks: Value,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    compass_holes: Vec<Value>,
}

#[derive(Serialize)]
struct Row<'a> {
    number: usize,
    name: &'a str,
    quantity: usize,
    stock: &'a str,
    length_mm: f64,
    ends: &'a [String; 2],
    weld_mm: f64,
    /// Whether both its ends are cut already.
    made_already: bool,
}

#[derive(Serialize)]
struct Stick<'a> {
    stock: &'a str,
    pieces: &'a [usize],
    offcut_mm: f64,
}

/// Ways to part a stack that the report lists, the closest first, and the one that is built.
const WAYS: usize = 100;

impl<'a> JobReport<'a> {
    pub(super) fn new(job: &'a JobPlan, sheet: &SheetOptions) -> Self {
        let list = &job.cut_list;
        let stock = |index: usize| list.stock[index].0.as_str();
        let rows = list.rows.iter().map(|row| Row {
            number: row.number,
            name: &row.name,
            quantity: row.quantity,
            stock: stock(row.stock),
            length_mm: row.length_mm,
            ends: &row.ends,
            weld_mm: row.weld_mm,
            made_already: row.is_made,
        });
        let sticks = list.sticks.iter().map(|stick| Stick {
            stock: stock(stick.stock),
            pieces: &stick.pieces,
            offcut_mm: stick.offcut_mm,
        });
        let compass_holes = job.compass_holes.iter().map(|hole| compass(hole, sheet));
        Self {
            cut_list: rows.collect(),
            sticks: sticks.collect(),
            fewest_sticks_proved: list.is_proved,
            total_mm: list.total_mm,
            steel_kg: list.steel_kg,
            welds: all_welds_report(&list.welds, sheet),
            clashes: list.clashes.iter().map(|found| clash(&job.assembly, found)).collect(),
            stacks: job.assembly.stacks.iter().map(stack).collect(),
            compass_holes: compass_holes.collect(),
        }
    }
}

fn clash(assembly: &Assembly, clash: &Clash) -> Value {
    let report = json!({
        "what": clash_name(assembly, clash.way),
        "apart_mm": clash.apart_mm,
        "is_bound": clash.is_bound,
        "asked_mm": clash.asked_mm,
        "at_mm": clash.at.to_array(),
    });
    without_empty(["is_bound"], report)
}

/// What is taken counts from 1.
fn stack(stack: &Stack) -> Value {
    let listed = stack.ways.len().min(WAYS.max(stack.taken + 1));
    json!({
        "name": stack.name,
        "height_mm": stack.room_mm,
        "taken": stack.taken + 1,
        "ways": stack.ways[..listed].iter().map(|way| parted(stack, way)).collect::<Value>(),
    })
}

fn parted(stack: &Stack, way: &Parted) -> Value {
    let mut top_mm = 0.0;
    let parts = stack.parts.iter().zip(&way.kept).map(|(part, kept)| {
        let bottom_mm = top_mm - part.nests_mm;
        top_mm = bottom_mm + kept.height_mm;
        json!({
            "name": part.name,
            "kept_mm": kept.height_mm,
            "parted": kept.is_parted,
            "stays": kept.stays.word(),
            "bottom_mm": bottom_mm,
            "top_mm": top_mm,
        })
    });
    let parts: Value = parts.collect();
    json!({ "total_mm": way.total_mm, "left_over_mm": stack.room_mm - way.total_mm, "parts": parts })
}

/// A hole that can't be laid flat: an opening is null where something else covers it, the gores where the hole goes too far
/// round for paper.
fn compass(hole: &CompassHole, sheet: &SheetOptions) -> Value {
    let openings = hole.rows.iter().map(|row| {
        json!({
            "direction_deg": row.angle.to_degrees(),
            "opening_mm": (!row.is_covered).then_some(row.opening_mm),
        })
    });
    let gores = hole.gores(sheet.paper_thickness_mm);
    let gores = gores.map(|gores| json!({ "strips": gores.strips.len(), "off_mm": gores.off_mm }));
    json!({
        "tube": hole.tube,
        "body": hole.body[0],
        "join": hole.join.word(),
        "clearance_mm": hole.clearance_mm,
        "along_mm": hole.along_mm,
        "rim_mm": hole.rim_mm,
        "round_deg": hole.round_deg,
        "apex_opening_mm": hole.apex_opening_mm,
        "apex_deg": hole.apex_deg,
        "openings": openings.collect::<Value>(),
        "gores": gores,
    })
}

/// Where a hole goes.
pub(super) fn hole_place(place: &HolePlace) -> Value {
    let (next, left) = place.ligament.as_ref().map(|(tube, left)| (tube, left)).unzip();
    let report = json!({
        "tube": place.tube,
        "along_mm": place.along_mm,
        "round_mm": place.round_mm,
        "round_deg": place.round_deg,
        "next_hole": next,
        "ligament_mm": left,
        "if_round": place.if_round.map(if_round),
        "made_already": place.is_made,
    });
    without_empty(["if_round"], report)
}

/// Both are null where an end cut for a round body would not reach it.
fn if_round(if_round: IfRound) -> Value {
    let (largest, at) = match if_round {
        IfRound::Gap { largest_mm, at_deg } => (Some(largest_mm), Some(at_deg)),
        IfRound::Misses => (None, None),
    };
    json!({ "largest_gap_mm": largest, "at_deg": at })
}
