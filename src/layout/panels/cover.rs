//! The cover of a job: what is made, a picture of it, the cut list and the sticks.

use super::table::{Table, rows_panel};
use crate::job::{Assembly, SheetOptions};
use crate::layout::label::{Heading, heading_panel};
use crate::layout::sheets::rooms;
use crate::layout::{Drawing, Panel};
use crate::measure::Units;
use crate::plan::{CutList, CutRow};
use crate::wording::{Said, TWISTS, all_welds, twist_cell};

/// Of more notes than these the rest is told elsewhere.
const MOST_NOTES: usize = 12;
/// Rows of a table.
const ROWS: usize = 40;

/// Heading with picture, cut list with the sheets of all panels that are `needed` for each piece, stick plan.
pub(super) fn cover(
    assembly: &Assembly,
    sheet: &SheetOptions,
    (cut_list, needed): (&CutList, &[Vec<String>]),
    said: &Said,
    picture: &Drawing,
) -> Vec<Panel> {
    let clashes = &said.clashes[..said.clashes.len().min(MOST_NOTES)];
    let room = MOST_NOTES - clashes.len();
    let more = match said.all_notes().count() {
        all if all > MOST_NOTES => Some(format!(
            "{} more notes are on the terminal and in the report",
            all - MOST_NOTES
        )),
        _ => None,
    };
    let notes = said.questions.iter().chain(&said.notes).take(room);
    let mut panels = heading_panel(
        &Heading {
            title: &assembly.title,
            note: assembly.note.as_deref(),
            clashes,
            notes: notes.chain(&more).collect(),
            may_be_bottle: may_be_bottle(assembly),
        },
        picture,
        sheet,
        rooms(&sheet.paper),
    );
    panels.extend(cut_list_panels(cut_list, needed, sheet));
    panels.extend(stick_panels(cut_list, sheet.units));
    panels
}

/// Whether something in it has a dished head.
pub(super) fn may_be_bottle(assembly: &Assembly) -> bool {
    assembly.bodies.iter().any(|body| body.outside.rim_mm().is_some())
}

/// `needed` are the names of the panels for each piece, of which it tells the sheets.
fn cut_list_panels(cut_list: &CutList, needed: &[Vec<String>], sheet: &SheetOptions) -> Vec<Panel> {
    let units = sheet.units;
    let weld = format!("weld, {}", units.name());
    let heads = [
        "",
        "piece",
        "make",
        "stock",
        "tip to tip",
        "start",
        "end",
        "twist",
        &weld,
    ]
    .map(str::to_owned);
    let rows: Vec<[String; 9]> = cut_list.rows.iter().map(|row| cut_row(cut_list, row, units)).collect();
    let tube = format!(
        "{} of tube in all, {} of steel.",
        units.show_stock(cut_list.total_mm),
        units.show_mass(cut_list.steel_kg)
    );
    let is_any_twisted = cut_list.rows.iter().any(|row| row.twist_deg.is_some());
    let twists = is_any_twisted.then(|| TWISTS.to_owned());
    let under = [Some(tube), weld_words(cut_list, sheet), twists]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" ");
    rows.chunks(ROWS)
        .zip(needed.chunks(ROWS))
        .map(|(rows, needed)| {
            Table {
                title: "Cut list",
                heads: Some(&heads),
                rows,
                under: &under,
                told_of: Some(needed),
            }
            .panel()
        })
        .collect()
}

fn cut_row(cut_list: &CutList, row: &CutRow, units: Units) -> [String; 9] {
    let make = if row.is_made {
        "made".to_owned()
    } else {
        row.quantity.to_string()
    };
    [
        row.number.to_string(),
        row.names.clone(),
        make,
        cut_list.stock[row.stock].0.clone(),
        units.show(row.length_mm),
        row.ends[0].clone(),
        row.ends[1].clone(),
        row.twist_deg.map_or_else(|| "-".to_owned(), twist_cell),
        weld_cell(row.weld_mm, units),
    ]
}

/// What is said of welds under the list.
fn weld_words(cut_list: &CutList, sheet: &SheetOptions) -> Option<String> {
    let welds = all_welds(&cut_list.welds, sheet)?;
    let seams = if cut_list.welds.mitered_mm > 0.0 {
        " In the list a mitered seam counts half at each of its ends."
    } else {
        ""
    };
    Some(format!("{welds}.{seams}"))
}

fn weld_cell(mm: f64, units: Units) -> String {
    if mm == 0.0 { "-".to_owned() } else { units.show_bare(mm) }
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
        "These are the fewest sticks that will do."
    } else {
        "Fewer sticks may be possible."
    };
    rows.chunks(ROWS)
        .map(|rows| rows_panel("Sticks", &heads, rows, under))
        .collect()
}

/// `2 x no. 1, 1 x no. 3` for pieces 1, 1, 3.
fn counted(pieces: &[usize]) -> String {
    let mut sorted = pieces.to_vec();
    sorted.sort_unstable();
    let runs = sorted.chunk_by(|a, b| a == b);
    let words = runs.map(|run| format!("{} x no. {}", run.len(), run[0]));
    words.collect::<Vec<_>>().join(", ")
}
