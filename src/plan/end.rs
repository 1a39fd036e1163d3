//! A tube end as it is known when it is solved, with its marks.

use std::f64::consts::TAU;

use super::marks::{CROWN_LINES, Marks};
use crate::job::{End, SheetOptions, Tube};
use crate::problem::Problem;
use crate::section::Profile;
use crate::solver::{EndCurve, dihedral_deg, solve_end};

/// A tube end with its pattern.
#[derive(Debug, Clone)]
pub struct PlannedEnd {
    /// Its name.
    pub name: String,
    /// The name of the panel that holds its wrap.
    pub pattern: String,
    /// What was solved.
    pub end: End,
    /// The solution.
    pub curve: EndCurve,
    /// Base line and ordinates.
    pub marks: Marks,
    /// 1, or -1 for the far end of a piece, whose own frame has the tube's azimuths running the other way round.
    pub runs: f64,
    /// A miter's t is counted towards the cut, a branch's away from the body.
    pub counts_towards_cut: bool,
    /// Angles across the weld in degrees, at front, right, back and left.
    pub dihedral_deg: [f64; 4],
}

impl PlannedEnd {
    /// Solves `end`, which bears the name of its pattern, with the seam at `seam_deg` unless another is asked for.
    /// `counts_towards_cut` is for miters.
    pub(crate) fn solve(
        name: &str,
        end: End,
        sheet: &SheetOptions,
        seam_deg: f64,
        counts_towards_cut: bool,
    ) -> Result<Self, Problem> {
        let girth = printed_girth(&end.tube, sheet.paper_thickness_mm);
        let seam = sheet.seam_deg.unwrap_or(seam_deg).to_radians();
        let curve = solve_end(&end, girth / TAU, seam)?;
        Ok(Self::new(name, end, curve, 1.0, counts_towards_cut, sheet))
    }

    /// A solved end. `runs` is -1 for the far end of a piece.
    pub(crate) fn new(
        name: &str,
        end: End,
        curve: EndCurve,
        runs: f64,
        counts_towards_cut: bool,
        sheet: &SheetOptions,
    ) -> Self {
        let marks = Marks::new(&end, &curve, runs, sheet.stations, sheet.units);
        let angle = |azimuth: f64| dihedral_deg(&end, runs * azimuth.to_radians()).unwrap_or(f64::NAN);
        let dihedral_deg = CROWN_LINES.map(|(_, azimuth)| angle(azimuth));
        let name = name.to_owned();
        Self {
            pattern: name.clone(),
            name,
            end,
            curve,
            marks,
            runs,
            counts_towards_cut,
            dihedral_deg,
        }
    }

    /// Printed girth in millimetres.
    pub(crate) fn girth_mm(&self) -> f64 {
        TAU * self.curve.girth_radius_mm
    }

    /// Azimuth of the seam in degrees.
    pub(crate) fn seam_deg(&self) -> f64 {
        self.curve.seam.to_degrees()
    }
}

/// Half a sheet of paper lies outside the skin all round.
pub(crate) fn printed_girth(tube: &Tube, paper_thickness_mm: f64) -> f64 {
    tube.section.grown(paper_thickness_mm / 2.0).girth()
}
