//! The cover of a job: what is made, a picture of it, the cut list and the sticks.

use glam::DVec3;

use super::cut_list::CutList;
use crate::job::{Assembly, Extent, Frame, SheetOptions};
use crate::layout::Panel;
use crate::layout::label::heading_panel;
use crate::layout::picture::{Picture, TubePiece, square_edge};
use crate::layout::table::{Table, rows_panel};
use crate::measure::{Units, show_angle};
use crate::section::{Profile, Section};
use crate::solver::cut_at;

/// More pieces than this make a picture that nobody can read, and take long.
const MOST_DRAWN: usize = 80;
/// Rows of a table.
const ROWS: usize = 40;

/// Heading with picture, cut list, stick plan.
pub(super) fn cover(
    assembly: &Assembly,
    sheet: &SheetOptions,
    cut_list: &CutList,
    warnings: &[String],
    numbers: &[(DVec3, usize)],
) -> Vec<Panel> {
    let labels = numbers
        .iter()
        .take(MOST_DRAWN)
        .map(|(place, number)| (*place, number.to_string()))
        .collect();
    let picture = Picture {
        labels,
        ..picture(assembly)
    }
    .draw(74.0, 62.0);
    let shown: Vec<String> = if warnings.len() > 12 {
        let more = format!("and {} more notes, see the terminal or the report", warnings.len() - 12);
        warnings.iter().take(12).cloned().chain([more]).collect()
    } else {
        warnings.to_vec()
    };
    let mut panels = vec![heading_panel(&assembly.title, &shown, &picture, sheet)];
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
        "{} of tube in all, {:.1} kg of steel.",
        units.show(cut_list.total_mm),
        cut_list.steel_kg
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

/// The whole assembly. Flat and tapering bodies and balls are left out.
fn picture(assembly: &Assembly) -> Picture {
    let mut pieces: Vec<TubePiece> = Vec::new();
    for body in assembly.bodies.iter().filter(|body| body.of_tube.is_none()) {
        let Extent::Round { length, radii } = body.extent else {
            continue;
        };
        if (radii.0 - radii.1).abs() < 1e-9 {
            let frame = Frame::new(
                body.placement.translation,
                body.axis(),
                body.placement.transform_vector3(DVec3::Z),
            );
            pieces.push(TubePiece {
                frame,
                section: Section::round(2.0 * radii.0),
                bore: None,
                near: square_edge(0.0),
                far: square_edge(length),
                is_closed: true,
                front_label: None,
            });
        }
    }
    let tubes = assembly
        .tubes
        .iter()
        .flat_map(|tube| assembly.pieces(tube))
        .take(MOST_DRAWN);
    pieces.extend(tubes.map(|piece| {
        let edge = |end: &crate::job::End, t: &dyn Fn(f64) -> f64, sign: f64| -> Vec<f64> {
            (0..90)
                .map(|step| t(cut_at(end, sign * f64::from(4 * step).to_radians()).map_or(0.0, |cut| cut.t)))
                .collect()
        };
        TubePiece {
            frame: piece.near.frame,
            section: piece.near.tube.section,
            bore: None,
            near: edge(&piece.near, &|t| t, 1.0),
            far: edge(&piece.far, &|t| piece.length_mm - t, -1.0),
            is_closed: false,
            front_label: None,
        }
    }));
    let eye = DVec3::new(0.78, 0.45, 0.42);
    let (middle, shown) = fitting(&pieces, eye);
    Picture {
        pieces,
        eye,
        middle,
        shown,
        labels: Vec::new(),
        caption: format!("the whole, seen from the front right; {} tubes", assembly.tubes.len()),
    }
}

/// The middle of what is seen, and how much must be shown across.
fn fitting(pieces: &[TubePiece], eye: DVec3) -> (DVec3, f64) {
    let eye = eye.normalize();
    let right = DVec3::Z.cross(eye).normalize();
    let up = eye.cross(right);
    let (mut low, mut high) = ((f64::MAX, f64::MAX), (f64::MIN, f64::MIN));
    for piece in pieces {
        for t in piece.near.iter().chain(&piece.far) {
            let point = piece.frame.origin + *t * piece.frame.axis;
            let (x, y) = (point.dot(right), point.dot(up));
            let reach = piece.section.reach();
            low = (low.0.min(x - reach), low.1.min(y - reach));
            high = (high.0.max(x + reach), high.1.max(y + reach));
        }
    }
    if pieces.is_empty() {
        return (DVec3::ZERO, 1.0);
    }
    let middle = 0.5 * (low.0 + high.0) * right + 0.5 * (low.1 + high.1) * up;
    (middle, 1.06 * (high.0 - low.0).max((high.1 - low.1) * 74.0 / 62.0))
}
