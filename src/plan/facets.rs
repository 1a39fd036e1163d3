//! What is known of a faceted end: as cut, rounded, and with better settings.

use std::f64::consts::FRAC_PI_2;

use super::cores::at_once;
use super::end::PlannedEnd;
use super::saddle::{NAME, SEAM_DEG};
use super::{Plan, Planned};
use crate::job::resolve::Resolved;
use crate::job::{End, Facets};
use crate::problem::{Problem, Problems};
use crate::solver::{
    FacetedEnd, FlatCut, Gap, Recipe, Round, best_cuts, best_recipe, best_single, gap, round_off, true_depth,
};

/// The steepest cut that is looked at to tell what a limited saw would have wanted, in degrees.
const UNLIMITED_DEG: f64 = 80.0;

/// How many cuts there may be, front and back together, where a pair is not enough.
pub(crate) const MORE_CUTS: [usize; 2] = [4, 6];

/// A recipe and the gap that it leaves.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// How it is cut.
    pub recipe: Recipe,
    /// What is left.
    pub gap: Gap,
}

/// Everything that is known of a faceted end.
#[derive(Debug, Clone)]
pub struct FacetStudy {
    /// As asked for.
    pub as_cut: Outcome,
    /// The same pushed in, and where metal comes off for it.
    pub rounded: Round,
    /// How far it must be pushed in for the whole girth to be within the limit, in millimetres.
    pub push_in_to_limit: f64,
    /// The best within the saw's limit.
    pub best: Outcome,
    /// The best with one setting for both sides, on a square joint.
    pub best_single: Option<Outcome>,
    /// What the search wanted without the saw's limit, where the limit costs something.
    pub unlimited: Option<Outcome>,
    /// With at most as many cuts as [`MORE_CUTS`] says, shared out between front and back as is best.
    pub more_cuts: Vec<Outcome>,
    /// The scribe depth that the true seat asks for, in millimetres.
    pub true_depth_mm: f64,
}

impl FacetStudy {
    /// Everything that can be said of the end before it is cut; `None` where a part of its wall misses the header.
    fn new(job: &Facets, end: &End) -> Option<Self> {
        let angle = job.joint.angle_deg.to_radians();
        let outcome = |recipe: Recipe| {
            let gap = gap(end, &recipe.end(end.tube.radius(), angle), job.gap_limit_mm);
            Some(Outcome { recipe, gap: gap? })
        };
        let as_cut = outcome(Recipe::pair(job.scribe_mm, job.saw_front_deg, job.saw_back_deg))?;
        let push_in_to_limit = (as_cut.gap.largest - job.gap_limit_mm).max(0.0);
        let facets = as_cut.recipe.end(end.tube.radius(), angle);
        let push_in = job.round_mm.unwrap_or(push_in_to_limit);
        let is_square = (angle - FRAC_PI_2).abs() < 1e-9;
        let pairs = || {
            (
                outcome(best_recipe(end, angle, job.saw_limit_deg)),
                outcome(best_recipe(end, angle, UNLIMITED_DEG)),
            )
        };
        let others = || {
            (
                is_square.then(|| outcome(best_single(end, angle, job.saw_limit_deg))),
                MORE_CUTS.map(|cuts| outcome(best_cuts(end, angle, job.saw_limit_deg, cuts))),
            )
        };
        let ((best, unlimited), (best_single, more_cuts)) = at_once(pairs, others);
        let (best, unlimited) = (best?, unlimited?);
        Some(Self {
            rounded: round_off(end, &facets, &as_cut.gap, push_in, job.gap_limit_mm),
            push_in_to_limit,
            best_single: best_single.flatten(),
            unlimited: Some(unlimited).filter(|unlimited| unlimited.gap.largest < 0.98 * best.gap.largest - 0.01),
            more_cuts: more_cuts.into_iter().collect::<Option<_>>()?,
            true_depth_mm: true_depth(end, angle)?,
            as_cut,
            best,
        })
    }
}

/// A faceted end, solved.
pub struct FacetsPlan {
    /// What was asked.
    pub asked: Facets,
    /// The true end.
    pub end: PlannedEnd,
    /// Facets against it.
    pub study: FacetStudy,
}

impl FacetsPlan {
    fn radius(&self) -> f64 {
        self.end.end.tube.radius()
    }

    fn angle(&self) -> f64 {
        self.asked.joint.angle_deg.to_radians()
    }

    /// The end as cut, before it is rounded: t in millimetres at `azimuth` radians.
    pub(crate) fn as_cut(&self) -> impl Fn(f64) -> f64 {
        let (radius, facets) = (self.radius(), self.study.as_cut.recipe.end(self.radius(), self.angle()));
        move |azimuth| facets.t(radius * azimuth.cos())
    }

    /// The same after the first cut only, parallel to the header.
    pub(crate) fn after_first_cut(&self) -> impl Fn(f64) -> f64 {
        let first = FacetedEnd {
            cuts: vec![FlatCut::first(self.angle())],
        };
        let radius = self.radius();
        move |azimuth| first.t(radius * azimuth.cos())
    }
}

/// Studies the end.
///
/// # Errors
/// Where a part of the tube misses the header.
pub fn facets(job: &Resolved<Facets>) -> Result<Plan, Problems> {
    job.asking(solved(job))
}

fn solved(job: &Resolved<Facets>) -> Result<Plan, Problem> {
    let end = PlannedEnd::solve(NAME, job.joint.joint.end(), &job.sheet, SEAM_DEG, false)?;
    let study = FacetStudy::new(&job.joint, &end.end).ok_or_else(|| {
        Problem::new("a part of the tube's wall passes beside the header")
            .help("use a narrower tube or a wider header, or bring their axes nearer")
    })?;
    Ok(Plan {
        pieces: Vec::new(),
        of: Planned::Facets(Box::new(FacetsPlan {
            study,
            asked: job.joint.clone(),
            end,
        })),
        sheet: job.sheet.clone(),
        questions: job.questions.clone(),
        warnings: job.warnings.clone(),
    })
}
