//! The cut list: pieces with quantities, sticks, steel.

use super::clash::Clash;
use super::sticks::plan_sticks;
use super::weld::{AllWelds, STEEL};
use crate::job::{Assembly, StockTube};
use crate::problem::Problem;
use crate::section::Profile;

/// A row of the cut list.
#[derive(Debug, Clone, PartialEq)]
pub struct CutRow {
    /// Its number on the sheets, from 1.
    pub number: usize,
    /// The first of its like.
    pub name: String,
    /// What all of them are called, or as many as can be told.
    pub names: String,
    /// How many are made.
    pub quantity: usize,
    /// What it is cut from, by index.
    pub stock: usize,
    /// From tip to tip, in millimetres.
    pub length_mm: f64,
    /// What its ends are.
    pub ends: [String; 2],
    /// In degrees, where both ends have a front.
    pub twist_deg: Option<f64>,
    /// Of weld at its ends, in millimetres; of a seam between two pieces half.
    pub weld_mm: f64,
    /// Whether both its ends are cut already: it is not sawn from a stick.
    pub is_made: bool,
    /// The names of its patterns.
    pub patterns: Vec<String>,
}

/// What is cut from one stick.
#[derive(Debug, Clone, PartialEq)]
pub struct StickRow {
    /// What it is, by index.
    pub stock: usize,
    /// Numbers of the cut list's rows.
    pub pieces: Vec<usize>,
    /// What is left, in millimetres.
    pub offcut_mm: f64,
}

/// Everything that is to be sawn.
#[derive(Debug, Clone, PartialEq)]
pub struct CutList {
    /// A row for each kind of piece.
    pub rows: Vec<CutRow>,
    /// The sticks to buy.
    pub sticks: Vec<StickRow>,
    /// Whether fewer sticks were shown to be impossible.
    pub is_proved: bool,
    /// Names and sizes of the stock.
    pub stock: Vec<(String, String)>,
    /// Of all pieces, in millimetres.
    pub total_mm: f64,
    /// Of all pieces, in kilograms of steel.
    pub steel_kg: f64,
    /// Of all pieces, those that are made already too.
    pub welds: AllWelds,
    /// What is in the way of what.
    pub clashes: Vec<Clash>,
}

impl CutList {
    /// Plans the sticks for `rows`.
    pub(crate) fn new(
        assembly: &Assembly,
        rows: Vec<CutRow>,
        welds: AllWelds,
        clashes: Vec<Clash>,
        units: crate::measure::Units,
    ) -> Result<Self, Problem> {
        let (mut sticks, mut is_proved) = (Vec::new(), true);
        for (index, stock) in assembly.stock.iter().enumerate() {
            let (stock_sticks, proved) = sticks_of(index, stock, &rows, units)?;
            sticks.extend(stock_sticks);
            is_proved &= proved;
        }
        let to_saw = || rows.iter().filter(|row| !row.is_made);
        let length = |row: &CutRow| row.quantity as f64 * row.length_mm;
        let kilograms = |row: &CutRow| {
            let tube = &assembly.stock[row.stock].tube;
            length(row) * tube.section.wall_area(tube.wall_mm) * STEEL
        };
        Ok(Self {
            // Of nothing the sum is -0.
            total_mm: to_saw().map(length).sum::<f64>() + 0.0,
            steel_kg: to_saw().map(kilograms).sum::<f64>() + 0.0,
            stock: assembly
                .stock
                .iter()
                .map(|stock| (stock.name.clone(), stock.tube.describe(units)))
                .collect(),
            rows,
            sticks,
            is_proved,
            welds,
            clashes,
        })
    }
}

fn sticks_of(
    index: usize,
    stock: &StockTube,
    rows: &[CutRow],
    units: crate::measure::Units,
) -> Result<(Vec<StickRow>, bool), Problem> {
    let of_stock = rows.iter().filter(|row| row.stock == index && !row.is_made);
    let each: Vec<(usize, f64)> = of_stock
        .flat_map(|row| std::iter::repeat_n((row.number, row.length_mm), row.quantity))
        .collect();
    let lengths: Vec<f64> = each.iter().map(|piece| piece.1).collect();
    let plan = plan_sticks(&lengths, stock.stick_mm, stock.kerf_mm).ok_or_else(|| {
        let longest = each
            .iter()
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map_or(0.0, |piece| piece.1);
        Problem::new(format!("a piece is longer than a stick of \"{}\"", stock.name))
            .at(stock.place.clone())
            .figures(format!(
                "{} against {}",
                units.show(longest),
                units.show(stock.stick_mm)
            ))
            .help("part the tube with a coupling or a corner, or give the stick's true length under \"stick\"")
    })?;
    let stick = |pieces: &Vec<usize>| {
        let used: f64 = pieces.iter().map(|&piece| lengths[piece] + stock.kerf_mm).sum();
        StickRow {
            stock: index,
            pieces: pieces.iter().map(|&piece| each[piece].0).collect(),
            offcut_mm: (stock.stick_mm - used).max(0.0),
        }
    };
    Ok((plan.sticks.iter().map(stick).collect(), plan.is_proved))
}
