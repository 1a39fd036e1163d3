//! A tube end as it is known when it is solved, with its marks.

use std::f64::consts::TAU;

use super::marks::{CROWN_LINES, Marks};
use super::weld::EndWeld;
use kurbo::Shape;

use crate::job::{End, SheetOptions, Tube, WhichEnd};
use crate::phrase::Phrase;
use crate::problem::{Place, Problem};
use crate::section::Profile;
use crate::solver::{EndCurve, cut_at, dihedral_deg, solve_end};

/// No length of a cut is more, in millimetres: 1000 km.
const MOST_MM: f64 = 1e9;

fn is_told(mm: f64) -> bool {
    mm.is_finite() && mm.abs() < MOST_MM
}

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
    /// Which end of its piece it is.
    pub which: WhichEnd,
    /// A miter's t is counted towards the cut, a branch's away from the body.
    pub counts_towards_cut: bool,
    /// Angles across the weld in degrees, at front, right, back and left; `None` where the outer skin misses the body.
    pub dihedral_deg: [Option<f64>; 4],
    /// The weld at it, where it is welded to something.
    pub weld: Option<EndWeld>,
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
        let tell = |problem: Problem| {
            let problem = problem.at(Place::found(format!("pattern \"{name}\""), None));
            problem.told(|mm| sheet.units.show_telling(mm))
        };
        let curve = solve_end(&end, girth / TAU, seam).map_err(tell)?;
        let which = WhichEnd::Near;
        let marks = Marks::new(&end, &curve, which, sheet.stations, sheet.units);
        let planned = Self {
            counts_towards_cut,
            ..Self::new(name.to_owned(), end, curve, which, marks)
        };
        planned.require_numbers().map_err(tell)?;
        Ok(planned)
    }

    /// Makes sure that whatever is drawn and told of it are numbers that a shop can have.
    ///
    /// # Errors
    /// What isn't finite, or is past [`MOST_MM`].
    pub(crate) fn require_numbers(&self) -> Result<(), Problem> {
        let (curve, marks) = (&self.curve, &self.marks);
        let extrema = [
            curve.lowest.0,
            curve.highest.0,
            marks.base_t,
            marks.longest_mm,
            marks.shortest_mm,
        ];
        let sides = marks.folds.iter().chain(&marks.bends);
        let stations = marks.stations.iter().chain(sides).chain(&marks.corners);
        let mut told = extrema.into_iter().chain(stations.map(|station| station.from_base_mm));
        let drawn = curve.path.bounding_box();
        let corners = [drawn.x0, drawn.y0, drawn.x1, drawn.y1];
        match told
            .find(|mm| !is_told(*mm))
            .or(corners.into_iter().find(|mm| !is_told(*mm)))
        {
            None => Ok(()),
            Some(mm) => Err(Problem::new("the cut can't be told in numbers")
                .figures(Phrase::from("one of its lengths is ").length(mm))
                .help("change the angle or the offset a little: a part of the wall all but grazes what it lands on")),
        }
    }

    /// A solved end with its marks, `which` of its piece it is.
    pub(crate) fn new(name: String, end: End, curve: EndCurve, which: WhichEnd, marks: Marks) -> Self {
        let angle = |azimuth: f64| dihedral_deg(&end, which.turned(azimuth.to_radians()));
        let dihedral_deg = CROWN_LINES.map(|(_, azimuth)| angle(azimuth));
        Self {
            pattern: name.clone(),
            name,
            end,
            curve,
            marks,
            which,
            counts_towards_cut: false,
            dihedral_deg,
            weld: None,
        }
    }

    /// The same with its weld.
    pub(crate) fn welded(self, sheet: &SheetOptions) -> Self {
        let weld = EndWeld::new(&self.end, sheet.weld, self.which);
        Self { weld, ..self }
    }

    /// From the work point to the cut along the tube's axis in millimetres, at `azimuth_deg` of the tube: away from the
    /// body, of a miter towards the cut.
    pub fn t_mm(&self, azimuth_deg: f64) -> f64 {
        let cut = cut_at(&self.end, self.which.turned(azimuth_deg.to_radians()));
        self.counted(cut.map_or(f64::NAN, |cut| cut.t))
    }

    /// Where the base line is, counted alike.
    pub fn base_t_mm(&self) -> f64 {
        self.counted(self.marks.base_t)
    }

    fn counted(&self, t: f64) -> f64 {
        // Nothing is minus nothing.
        if self.counts_towards_cut { 0.0 - t } else { t + 0.0 }
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
