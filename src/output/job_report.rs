//! The part of the report that speaks of a whole job.

use serde::Serialize;

use crate::job::{Parted, Stack};
use crate::plan::{HolePlace, IfRound, JobPlan};

#[derive(Serialize)]
pub(super) struct JobReport<'a> {
    cut_list: Vec<Row<'a>>,
    sticks: Vec<Stick<'a>>,
    fewest_sticks_proved: bool,
    total_mm: f64,
    steel_kg: f64,
    clashes: Vec<ClashReport<'a>>,
    stacks: Vec<StackReport<'a>>,
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
}

#[derive(Serialize)]
struct Stick<'a> {
    stock: &'a str,
    pieces: &'a [usize],
    offcut_mm: f64,
}

#[derive(Serialize)]
struct ClashReport<'a> {
    what: &'a str,
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
                stays: part.stays.word(),
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
    pub(super) fn new(job: &'a JobPlan) -> Self {
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
            clashes: list
                .clashes
                .iter()
                .map(|clash| ClashReport {
                    what: &clash.what,
                    apart_mm: clash.apart_mm,
                    is_bound: clash.is_bound,
                    asked_mm: clash.asked_mm,
                    at_mm: clash.at.to_array(),
                })
                .collect(),
            stacks: stacks.iter().map(StackReport::new).collect(),
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
        }
    }
}
