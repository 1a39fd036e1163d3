//! The part of the report that speaks of a whole job.

use serde::Serialize;

use super::weld_report::AllWeldsReport;
use crate::job::{Parted, SheetOptions, Stack};
use crate::plan::{CompassHole, HolePlace, IfRound, JobPlan};
use crate::wording::clash_name;

#[derive(Serialize)]
pub(super) struct JobReport<'a> {
    cut_list: Vec<Row<'a>>,
    sticks: Vec<Stick<'a>>,
    fewest_sticks_proved: bool,
    total_mm: f64,
    steel_kg: f64,
    welds: AllWeldsReport,
    clashes: Vec<ClashReport>,
    stacks: Vec<StackReport<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    compass_holes: Vec<CompassReport<'a>>,
}

/// A hole that can't be laid flat.
#[derive(Serialize)]
struct CompassReport<'a> {
    tube: &'a str,
    body: &'a str,
    join: &'static str,
    clearance_mm: f64,
    along_mm: f64,
    rim_mm: f64,
    round_deg: f64,
    apex_opening_mm: f64,
    apex_deg: Option<f64>,
    openings: Vec<OpeningReport>,
    /// Null where the hole goes too far round for paper.
    gores: Option<GoresReport>,
}

/// Its paper strips.
#[derive(Serialize)]
struct GoresReport {
    strips: usize,
    off_mm: f64,
}

#[derive(Serialize)]
struct OpeningReport {
    direction_deg: f64,
    /// Null where something else covers it.
    opening_mm: Option<f64>,
}

impl<'a> CompassReport<'a> {
    fn new(hole: &'a CompassHole, sheet: &SheetOptions) -> Self {
        let openings = hole.rows.iter().map(|row| OpeningReport {
            direction_deg: row.angle.to_degrees(),
            opening_mm: (!row.is_covered).then_some(row.opening_mm),
        });
        Self {
            tube: &hole.tube,
            body: &hole.body[0],
            join: hole.join.word(),
            clearance_mm: hole.clearance_mm,
            along_mm: hole.along_mm,
            rim_mm: hole.rim_mm,
            round_deg: hole.round_deg,
            apex_opening_mm: hole.apex_opening_mm,
            apex_deg: hole.apex_deg,
            openings: openings.collect(),
            gores: hole.gores(sheet.paper_thickness_mm).map(|gores| GoresReport {
                strips: gores.strips.len(),
                off_mm: gores.off_mm,
            }),
        }
    }
}

#[derive(Serialize)]
struct StackReport<'a> {
    name: &'a str,
    height_mm: f64,
    /// From 1.
    taken: usize,
    ways: Vec<WayReport<'a>>,
}

#[derive(Serialize)]
struct WayReport<'a> {
    total_mm: f64,
    left_over_mm: f64,
    parts: Vec<PartReport<'a>>,
}

#[derive(Serialize)]
struct PartReport<'a> {
    name: &'a str,
    kept_mm: f64,
    parted: bool,
    stays: &'static str,
    bottom_mm: f64,
    top_mm: f64,
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

#[derive(Serialize)]
struct ClashReport {
    what: String,
    apart_mm: f64,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    is_bound: bool,
    asked_mm: f64,
    at_mm: [f64; 3],
}

/// Where a hole goes.
#[derive(Serialize)]
pub(super) struct HolePlaceReport {
    tube: String,
    along_mm: f64,
    round_mm: f64,
    round_deg: f64,
    next_hole: Option<String>,
    ligament_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    if_round: Option<IfRoundReport>,
    /// Whether it is cut already.
    made_already: bool,
}

/// Both null where an end cut for a round body would not reach it.
#[derive(Serialize)]
struct IfRoundReport {
    largest_gap_mm: Option<f64>,
    at_deg: Option<f64>,
}

impl IfRoundReport {
    fn new(if_round: IfRound) -> Self {
        match if_round {
            IfRound::Gap { largest_mm, at_deg } => Self {
                largest_gap_mm: Some(largest_mm),
                at_deg: Some(at_deg),
            },
            IfRound::Misses => Self {
                largest_gap_mm: None,
                at_deg: None,
            },
        }
    }
}

/// Ways to part a stack that the report lists, the closest first, and the one that is built.
const WAYS: usize = 100;

impl<'a> StackReport<'a> {
    fn new(stack: &'a Stack) -> Self {
        let listed = stack.ways.len().min(WAYS.max(stack.taken + 1));
        Self {
            name: &stack.name,
            height_mm: stack.room_mm,
            taken: stack.taken + 1,
            ways: stack.ways[..listed]
                .iter()
                .map(|way| WayReport::new(stack, way))
                .collect(),
        }
    }
}

impl<'a> WayReport<'a> {
    fn new(stack: &'a Stack, way: &Parted) -> Self {
        let mut bottom_mm = 0.0;
        let parts = stack.parts.iter().zip(&way.kept).map(|(part, kept)| {
            bottom_mm -= part.nests_mm;
            let report = PartReport {
                name: &part.name,
                kept_mm: kept.height_mm,
                parted: kept.is_parted,
                stays: kept.stays.word(),
                bottom_mm,
                top_mm: bottom_mm + kept.height_mm,
            };
            bottom_mm = report.top_mm;
            report
        });
        Self {
            parts: parts.collect(),
            total_mm: way.total_mm,
            left_over_mm: stack.room_mm - way.total_mm,
        }
    }
}

impl<'a> JobReport<'a> {
    pub(super) fn new(job: &'a JobPlan, sheet: &SheetOptions) -> Self {
        let (list, stacks) = (&job.cut_list, &job.assembly.stacks);
        let stock = |index: usize| list.stock[index].0.as_str();
        Self {
            cut_list: list
                .rows
                .iter()
                .map(|row| Row {
                    number: row.number,
                    name: &row.name,
                    quantity: row.quantity,
                    stock: stock(row.stock),
                    length_mm: row.length_mm,
                    ends: &row.ends,
                    weld_mm: row.weld_mm,
                    made_already: row.is_made,
                })
                .collect(),
            sticks: list
                .sticks
                .iter()
                .map(|stick| Stick {
                    stock: stock(stick.stock),
                    pieces: &stick.pieces,
                    offcut_mm: stick.offcut_mm,
                })
                .collect(),
            fewest_sticks_proved: list.is_proved,
            total_mm: list.total_mm,
            steel_kg: list.steel_kg,
            welds: AllWeldsReport::new(&list.welds, sheet),
            clashes: list
                .clashes
                .iter()
                .map(|clash| ClashReport {
                    what: clash_name(&job.assembly, clash.way),
                    apart_mm: clash.apart_mm,
                    is_bound: clash.is_bound,
                    asked_mm: clash.asked_mm,
                    at_mm: clash.at.to_array(),
                })
                .collect(),
            stacks: stacks.iter().map(StackReport::new).collect(),
            compass_holes: job
                .compass_holes
                .iter()
                .map(|hole| CompassReport::new(hole, sheet))
                .collect(),
        }
    }
}

impl HolePlaceReport {
    pub(super) fn new(place: &HolePlace) -> Self {
        Self {
            tube: place.tube.clone(),
            along_mm: place.along_mm,
            round_mm: place.round_mm,
            round_deg: place.round_deg,
            next_hole: place.ligament.as_ref().map(|(tube, _)| tube.clone()),
            ligament_mm: place.ligament.as_ref().map(|(_, left)| *left),
            if_round: place.if_round.map(IfRoundReport::new),
            made_already: place.is_made,
        }
    }
}
