//! All ordinates as lines for the terminal: a joint or a job without a printer.

use super::compass::{compass_place, compass_table, compass_title};
use super::hole_ordinates::{hole_ordinates_of_joint, hole_ordinates_of_kind};
use super::ordinates::ordinates_of_end;
use super::ordinates_of::ordinates_of;
use crate::measure::Units;
use crate::plan::{CompassHole, JobPlan, Kind, Plan, Planned, kinds_of, piece_ends};

/// Those of every end that is not square and of every hole, a table after the other; before them how long the pieces are that are
/// cut square at both ends.
pub fn ordinate_lines(plan: &Plan) -> Vec<String> {
    let units = plan.sheet.units;
    let mut ends = ordinates_of(plan);
    let (mut square, mut holes, mut by_compass) = (Vec::new(), Vec::new(), Vec::new());
    match &plan.of {
        Planned::Saddle(of) => holes.push(hole_ordinates_of_joint(of, units)),
        Planned::Job(job) => {
            ends.extend(job_ends(job, plan));
            let kinds = kinds_of(&job.holes).into_iter();
            holes.extend(kinds.map(|kind| hole_ordinates_of_kind(&kind, &job.assembly, units)));
            square.extend(square_pieces(job, units));
            let compass_holes = job.compass_holes.iter().filter(|hole| !hole.is_made);
            by_compass.extend(compass_holes.flat_map(|hole| compass_lines(hole, units)));
        }
        Planned::Miter(_) | Planned::Facets(_) | Planned::Trial(_) => {}
    }
    let of_ends = ends
        .iter()
        .flat_map(|of| table(&of.title, &of.heads, &of.rows, &of.under));
    let of_holes = holes.iter().flat_map(|of| {
        let lines = table(&of.title, &of.heads, &of.rows, &of.under);
        lines.into_iter().chain(of.places.iter().cloned())
    });
    square
        .into_iter()
        .chain(of_ends)
        .chain(of_holes)
        .chain(by_compass)
        .collect()
}

/// `piece 3, rail: square at both ends, 704.00 mm long, make 2`.
fn square_pieces(job: &JobPlan, units: Units) -> Vec<String> {
    let square = job
        .kinds
        .iter()
        .filter(|kind| (0..2).all(|end| kind.is_square(end) && !kind.piece.ends[end].is_made));
    let lines = square.map(|kind| {
        format!(
            "piece {}, {}: square at both ends, {} long, make {}",
            kind.number,
            Kind::names(&job.assembly, kind.all.iter()),
            units.show(kind.solved.tip_to_tip_mm),
            kind.quantity
        )
    });
    lines.collect()
}

/// A hole that is marked with a compass: where its middle is, and its openings.
fn compass_lines(hole: &CompassHole, units: Units) -> Vec<String> {
    let of = compass_table(hole, units);
    let mut lines = table(&compass_title(hole), &of.heads, &of.rows, &of.under);
    lines.extend(compass_place(hole, units));
    lines
}

/// Those of a job's pieces, equal ones once.
fn job_ends(job: &JobPlan, plan: &Plan) -> Vec<super::Ordinates> {
    let of_kind = job.kinds.iter().flat_map(|kind| {
        let ends = piece_ends(kind, &plan.sheet);
        let marked = (0..2).filter(|end| kind.is_marked(*end));
        let tables = marked.map(|end| ordinates_of_end(&ends[end].name, &ends[end], plan.sheet.units));
        tables.collect::<Vec<_>>()
    });
    of_kind.collect()
}

/// A table in letters of one width: the first column flush left, the rest flush right.
fn table<const N: usize>(title: &str, heads: &[String; N], rows: &[[String; N]], under: &str) -> Vec<String> {
    let mut widths = [0; N];
    for row in rows.iter().chain([heads]) {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = cell.chars().count().max(*width);
        }
    }
    let line = |row: &[String; N]| {
        let cells = row.iter().zip(widths).enumerate();
        let cells = cells.map(|(index, (cell, width))| match index {
            0 => format!("{cell:<width$}"),
            _ => format!("  {cell:>width$}"),
        });
        cells.collect::<String>()
    };
    let mut lines = vec![String::new(), title.to_owned(), line(heads)];
    lines.extend(rows.iter().map(line));
    lines.push(under.to_owned());
    lines
}
