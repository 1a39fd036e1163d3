//! The report: what was made, as JSON for other programs. A stable interface; DEVELOPERS.md documents it.

use std::collections::BTreeMap;
use std::io::{self, Write};

use serde::{Serialize, Serializer};
use serde_json::{Value, json};

use super::contents::Contents;
use super::facet_report::facet_report;
use super::job_report::{JobReport, hole_place};
use super::trial_report::trial_report;
use super::weld_report::weld_report;
use crate::job::WhichEnd;
use crate::layout::Laid;
use crate::plan::{CROWN_LINES, Plan, PlannedEnd, PlannedHole, PlannedPiece, Station};
use crate::section::Profile;
use crate::wording::Said;

/// Raised when a field changes its meaning or goes away.
const VERSION: u32 = 1;

#[derive(Serialize)]
struct Report<'a, E: Serialize, H: Serialize> {
    report: u32,
    program: &'static str,
    units: &'static str,
    title: &'a str,
    ends: E,
    holes: H,
    pieces: &'a [PlannedPiece],
    #[serde(skip_serializing_if = "Option::is_none")]
    facets: Option<Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    trial: Option<Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    job: Option<JobReport<'a>>,
    warnings: Vec<&'a String>,
    sheets: Value,
}

#[derive(Serialize)]
struct End {
    name: String,
    od_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sides: Option<Value>,
    wall_mm: f64,
    touch: &'static str,
    #[serde(skip_serializing_if = "is_none")]
    root_gap_mm: f64,
    printed_girth_mm: f64,
    seam_deg: f64,
    azimuths_run: &'static str,
    turned: bool,
    base_line_t_mm: f64,
    curve: Vec<[f64; 2]>,
    ordinates: Vec<Ordinate>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    folds: Vec<Value>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    corners: Vec<Value>,
    longest_mm: f64,
    shortest_mm: f64,
    dihedral_deg: BTreeMap<&'static str, Option<f64>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    weld: Option<Value>,
}

#[derive(Serialize)]
struct Ordinate {
    station: usize,
    azimuth_deg: f64,
    girth_mm: f64,
    right_mm: f64,
    from_base_mm: f64,
    dihedral_deg: Option<f64>,
}

#[derive(Serialize)]
struct Hole {
    body: String,
    join: &'static str,
    clearance_mm: f64,
    #[serde(flatten)]
    place: Option<Value>,
    outline: Vec<[f64; 2]>,
}

/// The report of a plan, what is said of it, and its sheets. Ends and holes, which are long, are worked out one after the
/// other while it is written.
pub struct ReportOf<'a> {
    /// What is known.
    pub plan: &'a Plan,
    /// What is said of it.
    pub said: &'a Said,
    /// How it lies on sheets.
    pub laid: &'a Laid,
}

impl Contents for ReportOf<'_> {
    fn write_to(&mut self, mut file: &mut dyn Write) -> io::Result<()> {
        let Self { plan, said, laid } = *self;
        let paper = &plan.sheet.paper;
        let report = Report {
            report: VERSION,
            program: concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION")),
            units: "mm",
            title: &said.title,
            ends: Each(|| plan.ends().map(|end| report_end(&end, laid))),
            holes: Each(|| plan.holes().map(report_hole)),
            pieces: &plan.pieces,
            facets: plan.facets().map(facet_report),
            trial: plan.trial().map(trial_report),
            job: plan.job().map(|job| JobReport::new(job, &plan.sheet)),
            warnings: said.all_notes().collect(),
            sheets: json!({
                "paper": paper.name,
                "width_mm": paper.width_mm,
                "height_mm": paper.height_mm,
                "count": laid.frames.len(),
            }),
        };
        serde_json::to_writer_pretty(&mut file, &report)?;
        file.write_all(b"\n")
    }
}

/// A list of which each is made when its turn comes to be written.
struct Each<F>(F);

impl<F: Fn() -> I, I: Iterator<Item: Serialize>> Serialize for Each<F> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq((self.0)())
    }
}

fn folds(stations: &[Station], girth: f64) -> Vec<Value> {
    let fold = |station: &Station| {
        json!({
            "azimuth_deg": station.azimuth_deg,
            "girth_mm": station.azimuth_deg / 360.0 * girth,
            "right_mm": station.right_mm,
            "from_base_mm": station.from_base_mm,
        })
    };
    stations.iter().map(fold).collect()
}

/// A root gap of 0 is none.
#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes a reference")]
fn is_none(root_gap_mm: &f64) -> bool {
    *root_gap_mm == 0.0
}

fn report_end(packed: &PlannedEnd, laid: &Laid) -> End {
    let section = &packed.end.tube.section;
    End {
        name: packed.name.clone(),
        od_mm: section.od_mm(),
        sides: section.sides().map(|sides| {
            json!({
                "width_mm": sides.width,
                "height_mm": sides.height,
                "corner_radius_mm": sides.corner,
                "girth_mm": section.girth(),
            })
        }),
        wall_mm: packed.end.tube.wall_mm,
        touch: packed.end.touch.word(),
        root_gap_mm: packed.end.root_gap_mm,
        printed_girth_mm: std::f64::consts::TAU * packed.curve.girth_radius_mm,
        seam_deg: packed.which.turned(packed.curve.seam.to_degrees()).rem_euclid(360.0) % 360.0,
        azimuths_run: match packed.which {
            WhichEnd::Near => "right",
            WhichEnd::Far => "left",
        },
        turned: laid.turned.contains(packed.pattern.as_str()),
        base_line_t_mm: packed.base_t_mm(),
        curve: (0..=360)
            .map(|degree| [f64::from(degree), packed.t_mm(f64::from(degree))])
            .collect(),
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
        folds: folds(&packed.marks.folds, section.girth()),
        corners: folds(&packed.marks.corners, section.girth()),
        longest_mm: packed.marks.longest_mm,
        shortest_mm: packed.marks.shortest_mm,
        dihedral_deg: CROWN_LINES
            .iter()
            .map(|(name, _)| *name)
            .zip(packed.dihedral_deg)
            .collect(),
        weld: packed.weld.as_ref().map(weld_report),
    }
}

fn report_hole(hole: PlannedHole) -> Hole {
    let first = hole.outline.first().copied();
    Hole {
        place: hole.place.as_ref().map(hole_place),
        body: hole.body,
        join: hole.join.word(),
        clearance_mm: hole.clearance_mm,
        // Closed: the first place comes again at the end.
        outline: hole
            .outline
            .into_iter()
            .chain(first)
            .map(|place| [place.x, place.y])
            .collect(),
    }
}
