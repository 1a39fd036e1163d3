//! Drains: where a tube must land for its hole's low edge to be at a given height over the floor.

use std::borrow::Cow;

use glam::DVec3;

use super::of_copies::OfCopies;
use crate::job::{Assembly, BodyInSpace, DrainRequest, End, Ending, Touch, TubeInSpace};
use crate::phrase::Phrase;
use crate::problem::{Problem, Problems};
use crate::solver::{hole_places, lowest_of_lip};

/// Rounds of moving the landing by how far the low edge is off; each leaves a small share of it.
const ROUNDS: usize = 60;
/// To where the low edge is brought, in millimetres.
const PRECISION: f64 = 1e-7;
/// What falls by less is level: the sine of its slope.
const LEVEL: f64 = 8.7e-5;
/// A body whose axis is this near to upright holds a flat pool over its floor.
const UPRIGHT: f64 = 0.999_99;

/// A drain, solved.
#[derive(Debug, Clone, PartialEq)]
pub struct Drain {
    /// The tube's name.
    pub tube: String,
    /// Along the body from its end to where the tube's axis lands, in millimetres.
    pub along_mm: f64,
    /// The hole's low edge over the floor, in millimetres.
    pub low_edge_mm: f64,
    /// What liquid must get over on its way out, over the floor, in millimetres: the hole's low edge, or the lowest place of
    /// the bore's lip where that is higher, as the lip of a set-in tube is.
    pub lip_mm: f64,
    /// The same over the whole bore, where the body stands upright: the highest of its low edges on the way out.
    pub sill_mm: Option<f64>,
    /// What is left standing, in litres, where the body stands upright and its wall is known: liquid up to the sill.
    pub left_litres: Option<f64>,
    /// The least fall of its legs on their way from the body, in degrees; negative where one rises.
    pub fall_deg: f64,
    /// Whether a leg rises straight up, as a standpipe does that isn't meant to fall, and all other legs fall.
    pub stands: bool,
}

/// Moves every drain to where it must land; without drains the assembly is as it was, and isn't copied.
///
/// # Errors
/// Every drain whose hole can't be solved on the way, with its tube.
pub fn solve_drains(assembly: &Assembly) -> Result<(Cow<'_, Assembly>, Vec<Drain>), Problems> {
    solve_drains_after(&|_, _| None, assembly)
}

/// A tube as it was moved to where its drain must be, and the drain.
type Moved = (TubeInSpace, Drain);

/// The same, where some may be known: by the place of a tube in the list, it as it was moved, and its drain.
pub(super) fn solve_drains_after<'a>(
    known: &dyn Fn(usize, &TubeInSpace) -> Option<Moved>,
    assembly: &'a Assembly,
) -> Result<(Cow<'a, Assembly>, Vec<Drain>), Problems> {
    let mut solved = Cow::Borrowed(assembly);
    let (mut drains, mut problems) = (Vec::new(), OfCopies::new(assembly));
    for (index, tube) in assembly.tubes.iter().enumerate() {
        let Some(request) = &tube.drain else { continue };
        let found = known(index, tube).map_or_else(|| solve(assembly, tube, request), Ok);
        if let Some((moved, drain)) = problems.take(tube, |name| format!("drain \"{name}\""), found) {
            solved.to_mut().tubes[index] = moved;
            drains.push(drain);
        }
    }
    problems.unless_any(Some((solved, drains)))
}

/// A tube moved over its body until the low edge of its hole is where it was asked for.
struct Landed {
    tube: TubeInSpace,
    /// Where it lands along the body, in millimetres.
    along_mm: f64,
    /// The low edge, upwards along the body from where it begins, in millimetres.
    low_mm: f64,
}

impl Landed {
    fn new(assembly: &Assembly, tube: &TubeInSpace, request: &DrainRequest, axis: DVec3) -> Result<Self, Problem> {
        let (mut tube, mut points) = (tube.clone(), request.points.clone());
        let (mut low_mm, mut along_mm) = (f64::NAN, f64::NAN);
        for _ in 0..ROUNDS {
            let hole = assembly
                .holes(&tube)
                .into_iter()
                .find(|hole| hole.is_at_start == request.is_at_start);
            let hole = hole.ok_or_else(|| {
                Problem::new("a drain needs a body in which a hole can be cut")
                    .help("land it on a cylinder or a cone that stands")
            })?;
            along_mm = hole.along_mm;
            let heights = hole_places(&hole.drilling)?;
            let heights = heights.into_iter().map(|point| request.up * point.y);
            low_mm = heights.fold(f64::MAX, f64::min);
            let step = request.up * request.low_edge_along - low_mm;
            if step.abs() < PRECISION {
                break;
            }
            let shift = request.up * step * axis;
            for (point, _) in points.iter_mut().zip(&request.moves).filter(|(_, moves)| **moves) {
                *point += shift;
            }
            let line = request.shape.centre_line(&points)?;
            (tube.nodes, tube.gaps) = (line.nodes, line.gaps);
        }
        let off = (low_mm - request.up * request.low_edge_along).abs();
        if off > 1e-3 {
            return Err(Problem::new("no place was found for this drain")
                .figures(Phrase::from("its low edge stays ").length(off).words(" off"))
                .help("give its direction with a \"step\", not by a far point")
                .how_bad(off));
        }
        Ok(Self { tube, along_mm, low_mm })
    }
}

fn solve(assembly: &Assembly, tube: &TubeInSpace, request: &DrainRequest) -> Result<Moved, Problem> {
    let ending = if request.is_at_start { &tube.start } else { &tube.end };
    let Ending::Lands { body: index, .. } = *ending else {
        return Err(Problem::new("a drain must land on a body").help("give its point \"on\" a round body"));
    };
    let body = &assembly.bodies[index];
    let Landed { tube, along_mm, low_mm } = Landed::new(assembly, tube, request, body.axis())?;
    let low_edge_mm = low_mm - request.up * request.floor_along;
    let lip_along = lip_along(assembly, &tube, index, request).ok_or_else(|| {
        Problem::new("a part of the drain's wall misses its body")
            .help("move its landing round towards where the drain points, or use a narrower tube")
    })?;
    let lip_mm = low_edge_mm.max(lip_along - request.up * request.floor_along);
    let fall_deg = fall(&tube, request.is_at_start);
    let sill_mm = (body.axis().z.abs() > UPRIGHT).then(|| {
        let highest = highest_low_edge(assembly, &tube, body, request);
        lip_mm.max(highest - request.up * request.floor_along)
    });
    let drain = Drain {
        tube: tube.name.clone(),
        along_mm,
        low_edge_mm,
        lip_mm,
        sill_mm,
        left_litres: sill_mm.and_then(|sill_mm| left(body, sill_mm)),
        fall_deg,
        stands: stands(&tube, request.is_at_start),
    };
    Ok((tube, drain))
}

/// The lowest place of the bore's lip at the end as it is cut, upwards along the body from where it begins, in millimetres.
/// `None` where a part of the wall misses the body.
fn lip_along(assembly: &Assembly, tube: &TubeInSpace, body: usize, request: &DrainRequest) -> Option<f64> {
    let piece = assembly.end_piece(tube, request.is_at_start)?;
    let end = if request.is_at_start { piece.near } else { piece.far };
    let body = &assembly.bodies[body];
    lowest_of_lip(&end, body.placement.translation, request.up * body.axis())
}

/// The highest of the lowest places of the bore's lips at all cuts of the tube, upwards along the body from where it begins, in
/// millimetres: between two cuts the bore is straight, so that nothing in it stands higher than at one of them.
fn highest_low_edge(assembly: &Assembly, tube: &TubeInSpace, body: &BodyInSpace, request: &DrainRequest) -> f64 {
    let pieces = assembly.pieces(tube);
    let ends = pieces.into_iter().flat_map(|piece| [piece.near, piece.far]);
    // The plane of a miter goes straight through the wall: the bore's lip lies on it too.
    let as_sawn = ends.map(|end| End {
        touch: if end.is_mirrored { Touch::Inside } else { end.touch },
        ..end
    });
    // An end that misses what it lands on is a problem of its own.
    let low_edges = as_sawn.filter_map(|end| lowest_of_lip(&end, body.placement.translation, request.up * body.axis()));
    low_edges.fold(f64::MIN, f64::max)
}

/// The least fall of the legs, in degrees.
fn fall(tube: &TubeInSpace, is_at_start: bool) -> f64 {
    let sign = if is_at_start { 1.0 } else { -1.0 };
    let falls = tube.nodes.windows(2).map(|leg| {
        (-sign * (leg[1] - leg[0]).normalize().z)
            .clamp(-1.0, 1.0)
            .asin()
            .to_degrees()
    });
    falls.fold(f64::MAX, f64::min)
}

/// Whether a leg rises straight up on its way from the body, and each of the others falls.
fn stands(tube: &TubeInSpace, is_at_start: bool) -> bool {
    let sign = if is_at_start { 1.0 } else { -1.0 };
    let legs = tube.nodes.windows(2);
    let rises: Vec<f64> = legs.map(|leg| sign * (leg[1] - leg[0]).normalize().z).collect();
    let (upright, others): (Vec<f64>, Vec<f64>) = rises.iter().partition(|rise| **rise > UPRIGHT);
    !upright.is_empty() && others.iter().all(|rise| *rise < -LEVEL)
}

/// What stands over the floor of a body up to `height` mm, in litres.
fn left(body: &BodyInSpace, height: f64) -> Option<f64> {
    Some(body.bore_mm2? * height.max(0.0) / 1e6)
}
