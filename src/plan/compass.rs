//! Holes that can't be laid flat, as they are marked with tapes and a compass.

use std::sync::Arc;

use glam::DVec3;
use kurbo::Point;

use super::gores::Gores;
use super::of_copies::{OfCopies, hole_in};
use super::{JobPlan, Plan};
use crate::job::{Assembly, BodyInSpace, Join, RoundHole, Seam, TubeInSpace, front_on_skin};
use crate::problem::Problems;
use crate::solver::{Direction, compass_openings};

/// Directions in which the outline is drawn.
const DRAWN: usize = 120;

/// A hole in a ball or a head.
#[derive(Clone)]
pub struct CompassHole {
    /// The tube's name.
    pub tube: String,
    /// Which of its ends: `start` or `end`.
    pub end: &'static str,
    /// Whether it is cut already.
    pub is_made: bool,
    /// What it is cut into, and its size in words.
    pub body: [String; 2],
    /// How the tube joins.
    pub join: Join,
    /// Added to the tube's radius, in millimetres.
    pub clearance_mm: f64,
    /// What the place from which the first tape measures is called.
    pub apex: &'static str,
    /// From the apex over the skin to the middle, in millimetres.
    pub along_mm: f64,
    /// Straight from the apex to the middle, in millimetres.
    pub apex_opening_mm: f64,
    /// Round the rim, or a ball's widest place, from the zero line to below the middle, to the right as seen from outside, in
    /// millimetres.
    pub rim_mm: f64,
    /// The same in degrees.
    pub round_deg: f64,
    /// The direction of the apex from the middle in degrees; none at the apex.
    pub apex_deg: Option<f64>,
    /// The direction in which the tube's FRONT line comes to stand, in degrees, as the rows have theirs; none where it passes
    /// beside the body.
    pub front_deg: Option<f64>,
    /// The outline at the stations.
    pub rows: Vec<Direction>,
    /// The same in as many directions as are drawn.
    pub outline: Vec<Direction>,
    /// The hole as it is seen along the axis.
    pub seen: SeenAlong,
    /// What else the tube's end is cut to.
    pub covered_by: Vec<String>,
    /// The seam over which it reaches, where it does.
    pub over_seam: Option<Seam>,
    /// The hole itself, of which its paper strips are made when they are wanted.
    pub(super) hole: Arc<RoundHole>,
}

impl CompassHole {
    /// The same hole as it is told in this assembly.
    fn again(&self, assembly: &Assembly, hole: &RoundHole) -> Self {
        Self {
            over_seam: over_seam(&assembly.bodies[hole.body], hole, &self.outline),
            hole: Arc::new(hole.clone()),
            ..self.clone()
        }
    }

    /// Its paper strips, for paper of a thickness in millimetres; `None` where the hole goes too far round its body for paper.
    pub fn gores(&self, paper_mm: f64) -> Option<Gores> {
        Gores::new(&self.hole, paper_mm)
    }
}

/// Which paper strips serve each of some holes: those of the first that is the same but turned about the axis, by its place in
/// the list, and how many they serve.
pub(crate) fn shared_gores(holes: &[&CompassHole]) -> Vec<(usize, usize)> {
    let mut firsts: Vec<usize> = Vec::new();
    let mut counts = vec![0; holes.len()];
    let mut of: Vec<usize> = Vec::with_capacity(holes.len());
    for (index, hole) in holes.iter().enumerate() {
        let like = firsts
            .iter()
            .copied()
            .find(|first| hole.hole.is_turned(&holes[*first].hole));
        let first = like.unwrap_or_else(|| {
            firsts.push(index);
            index
        });
        counts[first] += 1;
        of.push(first);
    }
    of.into_iter().map(|first| (first, counts[first])).collect()
}

/// A hole seen from outside along its body's axis, the apex in the middle and the zero line down: there right on the skin is right
/// in the view. One in a ball's other half is seen from across the pole, the zero line down too: there right on the skin is left.
/// Millimetres, not to scale.
#[derive(Debug, Clone)]
pub struct SeenAlong {
    /// The hole's middle.
    pub middle: Point,
    /// Its outline, closed.
    pub outline: Vec<Point>,
    /// Where the tube's FRONT line comes to stand; none where it passes beside the head.
    pub front: Option<Point>,
    /// From the apex to the rim, or from a ball's pole to its widest place.
    pub rim_radius_mm: f64,
    /// Whether it is seen from across a ball's pole.
    pub is_behind: bool,
}

impl SeenAlong {
    fn new(body: &BodyInSpace, hole: &RoundHole, outline: &[Direction], front: Option<DVec3>) -> Self {
        let by_itself = body.placement.inverse();
        // Only a ball's own coordinates begin in its middle.
        let is_behind = by_itself.transform_point3(hole.middle).y < 0.0 && body.outside.rim_mm().is_none();
        // By itself the axis is y and the zero line at +z; round grows from there towards +x.
        let seen = |place: DVec3| {
            let own = by_itself.transform_point3(place);
            Point::new(if is_behind { -own.x } else { own.x }, -own.z)
        };
        Self {
            middle: seen(hole.middle),
            outline: outline.iter().map(|direction| seen(direction.place)).collect(),
            front: front.map(seen),
            rim_radius_mm: hole.rim_radius_mm,
            is_behind,
        }
    }
}

/// Those of all tubes, `stations` rows each. Some may be known: by the place of a tube in the list, and whether it is for its start.
pub(super) fn compass_holes<'a>(
    known: &dyn Fn(usize, bool) -> Option<&'a CompassHole>,
    assembly: &Assembly,
    stations: usize,
) -> Result<Vec<CompassHole>, Problems> {
    let mut problems = OfCopies::new(assembly);
    let mut found = Vec::new();
    for (index, tube) in assembly.tubes.iter().enumerate() {
        for hole in assembly.round_holes(tube) {
            let made = match known(index, hole.is_at_start) {
                Some(known) => Ok(known.again(assembly, &hole)),
                None => CompassHole::new(assembly, tube, &hole, stations),
            };
            found.extend(problems.take(tube, hole_in(assembly, hole.body), made));
        }
    }
    problems.unless_any(Some(found))
}

impl CompassHole {
    fn new(
        assembly: &Assembly,
        tube: &TubeInSpace,
        hole: &RoundHole,
        stations: usize,
    ) -> Result<Self, crate::problem::Problem> {
        let body = &assembly.bodies[hole.body];
        let direction = |way: glam::DVec3| way.dot(hole.to_right()).atan2(way.dot(hole.to_zero));
        let outline = compass_openings(hole, DRAWN)?;
        let stock = &assembly.stock[tube.stock].tube;
        let front = front_on_skin(stock, &hole.frame, hole.front, hole.outer.as_ref());
        Ok(Self {
            seen: SeenAlong::new(body, hole, &outline, front),
            tube: tube.name.clone(),
            end: if hole.is_at_start { "start" } else { "end" },
            is_made: hole.is_made,
            body: [body.name.clone(), body.size.clone()],
            join: hole.join,
            clearance_mm: hole.clearance_mm,
            apex: if body.outside.rim_mm().is_some() {
                "apex"
            } else {
                "pole"
            },
            along_mm: hole.along_mm,
            apex_opening_mm: hole.middle.distance(hole.apex),
            rim_mm: hole.rim_radius_mm * hole.round,
            round_deg: hole.round.to_degrees(),
            apex_deg: hole.to_apex.map(|way| direction(way).to_degrees().rem_euclid(360.0)),
            front_deg: front.map(|place| direction(place - hole.middle).to_degrees().rem_euclid(360.0)),
            rows: compass_openings(hole, stations)?,
            over_seam: over_seam(body, hole, &outline),
            outline,
            covered_by: hole.covered_by.clone(),
            hole: Arc::new(hole.clone()),
        })
    }
}

/// The seam to the drum over which the hole reaches, where it does.
fn over_seam(body: &BodyInSpace, hole: &RoundHole, outline: &[Direction]) -> Option<Seam> {
    let along = |direction: &Direction| body.surface.place_of(direction.place).0;
    let is_over = |seam: &&Seam| {
        let beyond = |direction: &Direction| along(direction) > seam.along_mm;
        hole.along_mm > seam.along_mm || outline.iter().any(beyond)
    };
    body.seams.iter().find(is_over).cloned()
}

impl Plan {
    /// The holes that can't be laid flat.
    pub fn compass_holes(&self) -> &[CompassHole] {
        self.job().map_or(&[], |job: &JobPlan| &job.compass_holes)
    }
}
