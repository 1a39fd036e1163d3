//! What a joint's pack holds: its patterns and tables, and what the report says of them.

mod batch;
mod cover;
mod dimensions;
mod facet_words;
mod facets;
mod if_round;
mod job_hole;
mod job_pack;
mod job_words;
mod mark_out;
mod miter;
mod parting;
mod piece;
mod saddle;
mod skin_sheet;
mod stack;
mod whole;

use std::borrow::Cow;
use std::f64::consts::TAU;

use kurbo::Point;

use self::job_pack::JobPack;

use super::wrap::{CutEdge, Wrap};
use super::{Drawing, Panel};
use crate::job::{End, Join, SheetOptions, Stack, Tube};
use crate::measure::Units;
use crate::plan::{CROWN_LINES, CutList, FacetStudy, IfRound, Marks};
use crate::problem::Problem;
use crate::section::{Profile, Section};
use crate::solver::{EndCurve, dihedral_deg, solve_end};

pub use batch::batch;
pub use facets::facets;
pub use miter::miter;
pub use saddle::saddle;

/// Everything that is made for a job, before it is put on sheets.
pub struct Pack {
    /// Names the job, e.g. for the PDF's title.
    pub title: String,
    of: PackOf,
    /// The pieces of tube.
    pub pieces: Vec<PackedPiece>,
    /// What is known of a faceted end, where one was asked for.
    pub facets: Option<FacetStudy>,
    /// Pieces, sticks and clashes of a whole job.
    pub cut_list: Option<CutList>,
    /// Vessels stacked from parts, of a whole job.
    pub stacks: Vec<Stack>,
    /// What the person must be told.
    pub warnings: Vec<String>,
    /// Lines for the terminal.
    pub summary: Vec<String>,
}

/// What is solved, and drawn or to be drawn.
enum PackOf {
    /// A joint, all drawn.
    Joint {
        panels: Vec<Panel>,
        ends: Vec<PackedEnd>,
        holes: Vec<PackedHole>,
    },
    /// A whole job: its drawings together are many times larger than what they are made of.
    Job(Box<JobPack>),
}

impl Pack {
    /// Heading, patterns and tables, in order. Those of a whole job are drawn when they are asked for, anew each time.
    pub fn panels(&self) -> Box<dyn Iterator<Item = Panel> + '_> {
        match (&self.of, &self.cut_list) {
            (PackOf::Job(job), Some(cut_list)) => Box::new(job.panels(cut_list, &self.warnings)),
            (PackOf::Job(_), None) => Box::new(std::iter::empty()),
            (PackOf::Joint { panels, .. }, _) => Box::new(panels.iter().cloned()),
        }
    }

    /// Each kind of piece of a whole job, with its own panels, drawn when they are asked for.
    pub fn kinds(&self) -> Box<dyn Iterator<Item = (String, Vec<Panel>)> + '_> {
        match &self.of {
            PackOf::Job(job) => Box::new(job.kinds()),
            PackOf::Joint { .. } => Box::new(std::iter::empty()),
        }
    }

    /// The tube ends.
    pub fn ends(&self) -> Box<dyn Iterator<Item = Cow<'_, PackedEnd>> + '_> {
        match &self.of {
            PackOf::Job(job) => Box::new(job.ends().map(Cow::Owned)),
            PackOf::Joint { ends, .. } => Box::new(ends.iter().map(Cow::Borrowed)),
        }
    }

    /// The holes.
    pub fn holes(&self) -> Box<dyn Iterator<Item = Cow<'_, PackedHole>> + '_> {
        match &self.of {
            PackOf::Job(job) => Box::new(job.holes().map(Cow::Owned)),
            PackOf::Joint { holes, .. } => Box::new(holes.iter().map(Cow::Borrowed)),
        }
    }
}

/// A tube end with its pattern.
#[derive(Debug, Clone)]
pub struct PackedEnd {
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

impl PackedEnd {
    /// Solves `end`, which bears the name of its pattern, with the seam at `seam_deg` unless another is asked for.
    /// `counts_towards_cut` is for miters.
    fn solve(
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
    fn new(name: &str, end: End, curve: EndCurve, runs: f64, counts_towards_cut: bool, sheet: &SheetOptions) -> Self {
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
    fn girth_mm(&self) -> f64 {
        TAU * self.curve.girth_radius_mm
    }

    /// Azimuth of the seam in degrees.
    fn seam_deg(&self) -> f64 {
        self.curve.seam.to_degrees()
    }

    /// Its wrap, to be cut along the curve.
    fn wrap(&self, title: String, notes: Vec<String>, stations: usize) -> Wrap {
        Wrap {
            name: self.pattern.clone(),
            title,
            notes,
            girth_mm: self.girth_mm(),
            seam_deg: self.seam_deg(),
            upper: CutEdge::above(&self.curve, self.marks.base_t),
            lower: None,
            stations,
            folds_deg: self.marks.folds.iter().map(|fold| fold.azimuth_deg).collect(),
            also: Vec::new(),
            is_to_be_cut: true,
            is_far_end: self.runs < 0.0,
            up: Some("CUT END"),
            other_end: None,
            overlay: Drawing::default(),
        }
    }
}

/// A hole with its pattern.
#[derive(Debug, Clone)]
pub struct PackedHole {
    /// What it is cut into.
    pub body: String,
    /// How the tube joins.
    pub join: Join,
    /// Added to the tube's radius, in millimetres.
    pub clearance_mm: f64,
    /// On the outer skin, laid flat, closed. In a job, about the place under the tube's axis.
    pub outline: Vec<Point>,
    /// Where it goes, in a job.
    pub place: Option<HolePlace>,
}

/// Where a hole goes on its body.
#[derive(Debug, Clone, PartialEq)]
pub struct HolePlace {
    /// The tube's name.
    pub tube: String,
    /// From the body's end to the tube's axis on the skin, in millimetres.
    pub along_mm: f64,
    /// From the zero line to it, round the skin, to the right as seen from outside with the far end up, in millimetres.
    pub round_mm: f64,
    /// The same in degrees; on a plane 0.
    pub round_deg: f64,
    /// The nearest other hole in the same body: its tube, and what is left between them in millimetres.
    pub ligament: Option<(String, f64)>,
    /// What the tube's end would be like if the body were taken for round; none where it is round.
    pub if_round: Option<IfRound>,
}

/// A piece of tube.
#[derive(Debug)]
pub struct PackedPiece {
    /// Its name.
    pub name: String,
    /// How many are made.
    pub quantity: usize,
    /// Along the centre line between its cuts, or from the tangent point to its cut, in millimetres, where it is known.
    pub centre_line_mm: Option<f64>,
    /// From tip to tip, in millimetres, where it is known.
    pub tip_to_tip_mm: Option<f64>,
    /// Each cut's angle off square, in degrees.
    pub cut_off_square_deg: Vec<f64>,
    /// From one end's front to the other's, in degrees, where both have one.
    pub twist_deg: Option<f64>,
}

/// Half a sheet of paper lies outside the skin all round.
fn printed_girth(tube: &Tube, paper_thickness_mm: f64) -> f64 {
    tube.section.grown(paper_thickness_mm / 2.0).girth()
}

/// The line that tells a wrong tube from a right one.
fn girth_note(tube: &Tube, girth: f64, units: Units) -> String {
    format!(
        "Printed girth {}. If the edges don't meet at the seam, measure the tube's {}.",
        units.show(girth),
        if tube.has_sides() {
            "sides and corners and give them"
        } else {
            "girth and give that as its size"
        }
    )
}

/// What the wrap of a tube with sides says besides.
fn side_notes(tube: &Tube, units: Units) -> Option<String> {
    let sides = tube.section.sides()?;
    let folds = if sides.corner > 0.0 {
        format!(
            "the middles of the corners, rounded {} outside",
            units.show(sides.corner)
        )
    } else {
        "the sharp corners".to_owned()
    };
    Some(format!(
        "FOLD lines (short dashes) lie on {folds}; FRONT, RIGHT, BACK and LEFT on the middles of the four sides. Drawn for the finished \
         tube or can: nothing is allowed for bending sheet."
    ))
}

/// What to call a place round the girth: its crown line, or how far it is from the front; on round tube in degrees.
fn place_name(section: &Section, azimuth: f64, units: Units) -> String {
    let azimuth_deg = azimuth.to_degrees();
    let crown = CROWN_LINES
        .iter()
        .find(|(_, azimuth)| (azimuth - azimuth_deg).abs() < 1e-9);
    match crown {
        Some((name, _)) => (*name).to_owned(),
        None if section.sides().is_some() => {
            let round = units.show(azimuth / TAU * section.girth());
            format!("{round} round from the front")
        }
        None => crate::measure::show_angle(azimuth_deg),
    }
}
