//! The cover of a job: what is made, a picture of it, the cut list and the sticks.

use super::table::{Table, rows_panel};
use super::whole::picture;
use crate::job::{Assembly, SheetOptions};
use crate::layout::Panel;
use crate::layout::label::heading_panel;
use crate::measure::{Units, decimals, show_angle};
use crate::plan::CutList;

/// Rows of a table.
const ROWS: usize = 40;

/// Heading with picture, cut list, stick plan.
pub(super) fn cover(
    assembly: &Assembly,
    sheet: &SheetOptions,
    cut_list: &CutList,
    warnings: &[String],
    numbers: &[usize],
) -> Vec<Panel> {
    let shown: Vec<String> = if warnings.len() > 12 {
        let more = format!("and {} more notes, see the terminal or the report", warnings.len() - 12);
        warnings.iter().take(12).cloned().chain([more]).collect()
    } else {
        warnings.to_vec()
    };
    let mut panels = vec![heading_panel(
        &assembly.title,
        &shown,
        &picture(assembly, numbers),
        sheet,
    )];
    panels.extend(cut_list_panels(cut_list, sheet.units));
    panels.extend(stick_panels(cut_list, sheet.units));
    panels
}

fn cut_list_panels(cut_list: &CutList, units: Units) -> Vec<Panel> {
    let heads = ["", "piece", "make", "stock", "tip to tip", "start", "end", "twist"].map(str::to_owned);
    let rows: Vec<[String; 8]> = cut_list
        .rows
        .iter()
        .map(|row| {
            [
                row.number.to_string(),
                row.name.clone(),
                row.quantity.to_string(),
                cut_list.stock[row.stock].0.clone(),
                units.show(row.length_mm),
                row.ends[0].clone(),
                row.ends[1].clone(),
                row.twist_deg.map_or_else(|| "-".to_owned(), show_angle),
            ]
        })
        .collect();
    let under = format!(
        "{} of tube in all, {} kg of steel.",
        units.show(cut_list.total_mm),
        decimals(cut_list.steel_kg, 1)
    );
    let patterns: Vec<Vec<String>> = cut_list.rows.iter().map(|row| row.patterns.clone()).collect();
    rows.chunks(ROWS)
        .zip(patterns.chunks(ROWS))
        .map(|(rows, patterns)| {
            Table {
                title: "Cut list",
                heads: Some(&heads),
                rows,
                under: &under,
                patterns: Some(patterns),
            }
            .panel()
        })
        .collect()
}

fn stick_panels(cut_list: &CutList, units: Units) -> Vec<Panel> {
    let heads = ["", "stock", "pieces, by number", "left over"].map(str::to_owned);
    let rows: Vec<[String; 4]> = cut_list
        .sticks
        .iter()
        .enumerate()
        .map(|(index, stick)| {
            [
                (index + 1).to_string(),
                cut_list.stock[stick.stock].0.clone(),
                counted(&stick.pieces),
                units.show(stick.offcut_mm),
            ]
        })
        .collect();
    let under = if cut_list.is_proved {
        "No plan needs fewer sticks."
    } else {
        "Fewer sticks may be possible."
    };
    rows.chunks(ROWS)
        .map(|rows| rows_panel("Sticks", &heads, rows, under))
        .collect()
}

/// `2 of 1, 3` for pieces 1, 1, 3.
fn counted(pieces: &[usize]) -> String {
    let mut sorted = pieces.to_vec();
    sorted.sort_unstable();
    let runs = sorted.chunk_by(|a, b| a == b);
    let words = runs.map(|run| {
        if run.len() == 1 {
            run[0].to_string()
        } else {
            format!("{} of {}", run.len(), run[0])
        }
    });
    words.collect::<Vec<_>>().join(", ")
}
