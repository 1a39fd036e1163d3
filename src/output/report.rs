//! The report: what was made, as JSON for other programs. A stable interface; DEVELOPERS.md documents it.

use std::collections::BTreeMap;

use serde::Serialize;

use super::facet_report::FacetReport;
use super::job_report::{HolePlaceReport, JobReport};
use crate::layout::Laid;
use crate::plan::{CROWN_LINES, Plan, PlannedEnd, PlannedHole, PlannedPiece};
use crate::problem::Problem;
use crate::section::Profile;
use crate::solver::cut_at;
use crate::wording::Said;

/// Raised when a field changes its meaning or goes away.
const VERSION: u32 = 1;

#[derive(Serialize)]
struct Report<'a> {
    report: u32,
    program: &'static str,
    units: &'static str,
    title: &'a str,
    ends: Vec<End>,
    holes: Vec<Hole>,
    pieces: Vec<Piece<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    facets: Option<FacetReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    job: Option<JobReport<'a>>,
    warnings: &'a [String],
    sheets: SheetCount<'a>,
}

#[derive(Serialize)]
struct End {
    name: String,
    od_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sides: Option<Sides>,
    wall_mm: f64,
    touch: &'static str,
    printed_girth_mm: f64,
    seam_deg: f64,
    azimuths_run: &'static str,
    turned: bool,
    base_line_t_mm: f64,
    curve: Vec<[f64; 2]>,
    ordinates: Vec<Ordinate>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    folds: Vec<Fold>,
    longest_mm: f64,
    shortest_mm: f64,
    dihedral_deg: BTreeMap<&'static str, f64>,
}

#[derive(Serialize)]
struct Sides {
    width_mm: f64,
    height_mm: f64,
    corner_radius_mm: f64,
    girth_mm: f64,
}

#[derive(Serialize)]
struct Fold {
    azimuth_deg: f64,
    girth_mm: f64,
    right_mm: f64,
    from_base_mm: f64,
}

#[derive(Serialize)]
struct Ordinate {
    station: usize,
    azimuth_deg: f64,
    girth_mm: f64,
    right_mm: f64,
    from_base_mm: f64,
    dihedral_deg: f64,
}

#[derive(Serialize)]
struct Hole {
    body: String,
    join: &'static str,
    clearance_mm: f64,
    #[serde(flatten)]
    place: Option<HolePlaceReport>,
    outline: Vec<[f64; 2]>,
}

#[derive(Serialize)]
struct Piece<'a> {
    name: &'a str,
    quantity: usize,
    centre_line_mm: Option<f64>,
    tip_to_tip_mm: Option<f64>,
    cut_off_square_deg: &'a [f64],
    #[serde(skip_serializing_if = "Option::is_none")]
    twist_deg: Option<f64>,
}

#[derive(Serialize)]
struct SheetCount<'a> {
    paper: &'a str,
    width_mm: f64,
    height_mm: f64,
    count: usize,
}

/// The report of a plan, what is said of it, and its sheets.
///
/// # Errors
/// Where it can't be put into bytes.
pub fn report_bytes(plan: &Plan, said: &Said, laid: &Laid) -> Result<Vec<u8>, Problem> {
    let paper = &plan.sheet.paper;
    let report = Report {
        report: VERSION,
        program: concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION")),
        units: "mm",
        title: &said.title,
        ends: plan.of_ends(|end| report_end(end, laid)),
        holes: plan.of_holes(report_hole),
        pieces: plan.pieces.iter().map(report_piece).collect(),
        facets: plan.facets().map(FacetReport::new),
        job: plan.job().map(JobReport::new),
        warnings: &said.notes,
        sheets: SheetCount {
            paper: &paper.name,
            width_mm: paper.width_mm,
            height_mm: paper.height_mm,
            count: laid.frames.len(),
        },
    };
    let mut bytes = serde_json::to_vec_pretty(&report)
        .map_err(|error| Problem::output("the report can't be written").figures(error.to_string()))?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn report_end(packed: &PlannedEnd, laid: &Laid) -> End {
    let sign = if packed.counts_towards_cut { -1.0 } else { 1.0 };
    let t = |degree: u32| {
        cut_at(&packed.end, packed.runs * f64::from(degree).to_radians()).map_or(f64::NAN, |cut| sign * cut.t + 0.0)
    };
    let section = &packed.end.tube.section;
    End {
        name: packed.name.clone(),
        od_mm: section.od_mm(),
        sides: section.sides().map(|sides| Sides {
            width_mm: sides.width,
            height_mm: sides.height,
            corner_radius_mm: sides.corner,
            girth_mm: section.girth(),
        }),
        wall_mm: packed.end.tube.wall_mm,
        touch: packed.end.touch.word(),
        printed_girth_mm: std::f64::consts::TAU * packed.curve.girth_radius_mm,
        seam_deg: (packed.runs * packed.curve.seam.to_degrees()).rem_euclid(360.0) % 360.0,
        azimuths_run: if packed.runs > 0.0 { "right" } else { "left" },
        turned: laid.turned.contains(&packed.pattern),
        base_line_t_mm: sign * packed.marks.base_t,
        curve: (0..=360).map(|degree| [f64::from(degree), t(degree)]).collect(),
        ordinates: packed
            .marks
            .stations
            .iter()
            .map(|station| Ordinate {
                station: station.number,
                azimuth_deg: station.azimuth_deg,
                girth_mm: station.azimuth_deg / 360.0 * section.girth(),
                right_mm: station.right_mm,
                from_base_mm: station.from_base_mm,
                dihedral_deg: station.dihedral_deg,
            })
            .collect(),
        folds: packed
            .marks
            .folds
            .iter()
            .map(|fold| Fold {
                azimuth_deg: fold.azimuth_deg,
                girth_mm: fold.azimuth_deg / 360.0 * section.girth(),
                right_mm: fold.right_mm,
                from_base_mm: fold.from_base_mm,
            })
            .collect(),
        longest_mm: packed.marks.longest_mm,
        shortest_mm: packed.marks.shortest_mm,
        dihedral_deg: CROWN_LINES
            .iter()
            .map(|(name, _)| *name)
            .zip(packed.dihedral_deg)
            .collect(),
    }
}

fn report_hole(hole: &PlannedHole) -> Hole {
    let first = hole.outline.first();
    Hole {
        body: hole.body.clone(),
        join: hole.join.word(),
        clearance_mm: hole.clearance_mm,
        place: hole.place.as_ref().map(HolePlaceReport::new),
        // Closed: the first place comes again at the end.
        outline: hole
            .outline
            .iter()
            .chain(first)
            .map(|place| [place.x, place.y])
            .collect(),
    }
}

fn report_piece(piece: &PlannedPiece) -> Piece<'_> {
    Piece {
        name: &piece.name,
        quantity: piece.quantity,
        centre_line_mm: piece.centre_line_mm,
        tip_to_tip_mm: piece.tip_to_tip_mm,
        cut_off_square_deg: &piece.cut_off_square_deg,
        twist_deg: piece.twist_deg,
    }
}
