//! The part of the report that speaks of a whole job.

use serde::Serialize;

use crate::layout::pack::{CutList, HolePlace};

#[derive(Serialize)]
pub(super) struct JobReport<'a> {
    cut_list: Vec<Row<'a>>,
    sticks: Vec<Stick<'a>>,
    fewest_sticks_proved: bool,
    total_mm: f64,
    steel_kg: f64,
    clashes: Vec<ClashReport<'a>>,
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
    asked_mm: f64,
    at_mm: [f64; 3],
}

/// Where a hole goes.
#[derive(Serialize)]
pub(super) struct HolePlaceReport<'a> {
    tube: &'a str,
    along_mm: f64,
    round_mm: f64,
    round_deg: f64,
    next_hole: Option<&'a str>,
    ligament_mm: Option<f64>,
}

impl<'a> JobReport<'a> {
    pub(super) fn new(list: &'a CutList) -> Self {
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
                    asked_mm: clash.asked_mm,
                    at_mm: clash.at.to_array(),
                })
                .collect(),
        }
    }
}

impl<'a> HolePlaceReport<'a> {
    pub(super) fn new(place: &'a HolePlace) -> Self {
        Self {
            tube: &place.tube,
            along_mm: place.along_mm,
            round_mm: place.round_mm,
            round_deg: place.round_deg,
            next_hole: place.ligament.as_ref().map(|(tube, _)| tube.as_str()),
            ligament_mm: place.ligament.as_ref().map(|(_, left)| *left),
        }
    }
}
