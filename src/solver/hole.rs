//! The outline of a hole on a body's outer skin, laid flat.

use std::f64::consts::TAU;

use glam::DVec3;
use kurbo::{BezPath, Point};

use super::fit::{fit, joins_within};
use super::line::Lines;
use super::trace::{Part, Place, Trace, along_a_grazing_side, at_azimuth, farthest_past};
use crate::job::{Drilling, Frame, Skin};
use crate::measure::{SAME_MM, Tolerance};
use crate::phrase::Phrase;
use crate::problem::Problem;
use crate::section::{Profile, WallLine};

/// Steps in which the outlines of the two skins are compared.
const STEPS: usize = 720;

/// How far inside the other outline a place must lie to be left out, in millimetres: outlines that
/// touch cross nowhere.
const INSIDE: f64 = 1e-9;

/// What is straight between two places stands off the outline by this at most, in millimetres: ligaments are measured from it.
const CHORD: f64 = 1e-3;

/// So many times what is between two places is halved for that.
const MOST_HALVES: usize = 10;

/// A solved hole.
#[derive(Debug, Clone, PartialEq)]
pub struct HoleOutline {
    /// Closed, u to the right and v up, in millimetres, within [`Tolerance::FILE`] of the solved outline.
    pub path: BezPath,
    /// Solved places on it, in order, at most half a degree apart and so near that what is straight between two stands off
    /// the outline by no more than a thousandth of a millimetre; the first is not repeated.
    pub points: Vec<Point>,
    /// By how much the wall between the two skins still stands into the drilled hole where their
    /// outlines cross, in millimetres: 0 where they don't.
    pub stands_in_mm: f64,
}

/// Solves the hole: one skin's outline, or of a set-in tube's two the outer one everywhere.
///
/// # Errors
/// Where a line of the tube misses a skin, or the two outlines don't overlap.
pub fn hole_outline(drilling: &Drilling) -> Result<HoleOutline, Problem> {
    let made = |arcs: &[Arc<'_>]| Ok((fitted(arcs)?, places_on(arcs)?));
    let ((path, points), stands_in_mm) = on_arcs(drilling, made)?;
    Ok(HoleOutline {
        path,
        points,
        stands_in_mm,
    })
}

/// The solved places of [`HoleOutline::points`] alone.
///
/// # Errors
/// As [`hole_outline`].
pub fn hole_places(drilling: &Drilling) -> Result<Vec<Point>, Problem> {
    Ok(on_arcs(drilling, places_on)?.0)
}

/// What is made of the arcs of which the outline is put together, and [`HoleOutline::stands_in_mm`].
fn on_arcs<T>(drilling: &Drilling, made: impl Fn(&[Arc<'_>]) -> Result<T, Problem>) -> Result<(T, f64), Problem> {
    let outer = SkinOutline::new(drilling, drilling.outer.as_ref());
    let whole = |outline| Ok((made(&[(outline, 0.0, TAU)])?, 0.0));
    let Some((inner, depth)) = &drilling.inner else {
        return whole(&outer);
    };
    let inner = SkinOutline::new(drilling, inner.as_ref());
    let outer_arcs = arcs_outside(&outer, -depth)?;
    let inner_arcs = arcs_outside(&inner, *depth)?;
    match (outer_arcs, inner_arcs) {
        (Arcs::Whole, Arcs::Whole) if outer.coincides(-depth) => whole(&outer),
        (Arcs::Whole, Arcs::Whole) => Err(
            Problem::new("the wall is too thick for one straight hole at this angle")
                .figures(
                    Phrase::from("its outlines on the two skins, ")
                        .length(*depth)
                        .words(" apart, don't overlap"),
                )
                .help("use a wider tube or a steeper angle"),
        ),
        (_, Arcs::Whole) => whole(&inner),
        (Arcs::Whole, _) => whole(&outer),
        (Arcs::Parts(outer_parts), Arcs::Parts(inner_parts)) => {
            let crossings = outer_parts.iter().flat_map(|&(from, to)| [from, to]);
            let stands_in_mm = crossings
                .map(|azimuth| outer.stands_in(azimuth, *depth))
                .fold(0.0, f64::max);
            let mut loose: Vec<Arc<'_>> = outer_parts.into_iter().map(|(from, to)| (&outer, from, to)).collect();
            loose.extend(inner_parts.into_iter().map(|(from, to)| (&inner, from, to)));
            Ok((made(&chain(loose))?, stands_in_mm))
        }
    }
}

/// What the tube cuts out of one skin, laid flat on the outer one.
pub(super) struct SkinOutline<'a> {
    drilling: &'a Drilling,
    lines: Lines<'a>,
    skin: &'a dyn Skin,
    flat: &'a dyn Skin,
}

impl<'a> SkinOutline<'a> {
    pub(super) fn new(drilling: &'a Drilling, skin: &'a dyn Skin) -> Self {
        Self {
            drilling,
            lines: Lines::new(&drilling.frame, skin),
            skin,
            flat: drilling.outer.as_ref(),
        }
    }

    /// The skin of what has to pass; how thick its wall is doesn't matter.
    fn line(&self, azimuth: f64) -> WallLine {
        self.drilling.section.wall_line(azimuth, 0.0)
    }

    /// Where its line at an azimuth meets the skin.
    fn place(&self, azimuth: f64) -> Option<DVec3> {
        let line = self.line(azimuth);
        let rays = self.lines.through(&line);
        Some(rays.point(&rays.meet(line.outer)?, line.outer))
    }

    /// How far outside the tube the place lies when it is carried square through the wall by `lift`.
    fn outside_by(&self, azimuth: f64, lift: f64) -> Option<f64> {
        let carried = self.skin.carry(self.place(azimuth)?, lift);
        let Frame {
            origin,
            axis,
            front,
            right,
        } = self.drilling.frame;
        let from_origin = carried - origin;
        let across = from_origin - from_origin.dot(axis) * axis;
        Some(self.drilling.section.outside_by(across, front, right))
    }

    /// Whether it lies on the other skin's outline, or inside it, all round, as that of a tube square to a plate does.
    fn coincides(&self, lift: f64) -> bool {
        (0..STEPS)
            .map(|step| self.outside_by(TAU * step as f64 / STEPS as f64, lift))
            .all(|by| by.is_some_and(|by| by < SAME_MM))
    }

    /// How far the wall below the place, down to `depth`, reaches into the drilled hole.
    fn stands_in(&self, azimuth: f64, depth: f64) -> f64 {
        const LAYERS: usize = 32;
        let layers = (0..=LAYERS).map(|layer| -depth * layer as f64 / LAYERS as f64);
        layers
            .filter_map(|lift| self.outside_by(azimuth, lift))
            .map(|by| -by)
            .fold(0.0, f64::max)
    }
}

impl Trace for SkinOutline<'_> {
    fn joins(&self) -> Vec<f64> {
        self.drilling.section.joins(0.0)
    }

    fn miss(&self, azimuth: f64) -> Problem {
        let (azimuth, by) = farthest_past(azimuth, |azimuth| {
            let line = self.line(azimuth);
            self.lines.through(&line).passes_by(line.outer)
        });
        Problem::new("a part of the hole runs past the body's side")
            .figures(at_azimuth(azimuth, by))
            .help("use a narrower tube or a wider body, or bring their axes nearer")
            .how_bad(by.unwrap_or(0.0))
    }

    fn at(&self, azimuth: f64) -> Option<Place> {
        let line = self.line(azimuth);
        let rays = self.lines.through(&line);
        let hit = rays.meet(line.outer)?;
        let place = rays.point(&hit, line.outer);
        let speed = line.pace(line.outer) * rays.along_the_cut(&hit);
        let flat = |azimuth: f64| Some(self.flat.lay_flat(self.place(azimuth)?).to_vec2());
        let grazing = along_a_grazing_side(azimuth, hit.facing, |azimuth| self.line(azimuth), flat);
        Some(Place {
            point: self.flat.lay_flat(place),
            speed: grazing.unwrap_or_else(|| self.flat.lay_flat_vector(place, speed)),
            part: Part::Only,
            margin: f64::INFINITY,
        })
    }
}

/// From one azimuth to another, in radians, rising.
pub(super) type Arc<'a> = (&'a SkinOutline<'a>, f64, f64);

enum Arcs {
    /// All of it.
    Whole,
    /// These parts, from and to, in radians; none where the other outline holds all of it.
    Parts(Vec<(f64, f64)>),
}

/// The parts of `outline` that lie outside the tube on the other skin, `lift` away through the wall.
fn arcs_outside(outline: &SkinOutline<'_>, lift: f64) -> Result<Arcs, Problem> {
    let clear = |azimuth: f64| {
        outline
            .outside_by(azimuth, lift)
            .map(|by| by + INSIDE)
            .ok_or_else(|| outline.miss(azimuth))
    };
    let step = TAU / STEPS as f64;
    // Off the crown lines, where the outlines of a square set-in tube touch.
    let at = |index: usize| (index as f64 + 0.29) * step;
    let mut crossings = Vec::new();
    let first = clear(at(0))?;
    let mut before = first;
    for index in 1..=STEPS {
        let here = clear(at(index))?;
        if (before >= 0.0) != (here >= 0.0) {
            crossings.push((crossing(&clear, at(index - 1), at(index), before)?, here >= 0.0));
        }
        before = here;
    }
    if crossings.is_empty() {
        return Ok(if first >= 0.0 {
            Arcs::Whole
        } else {
            Arcs::Parts(Vec::new())
        });
    }
    let starts = crossings.iter().enumerate().filter(|(_, (_, rising))| *rising);
    Ok(Arcs::Parts(
        starts
            .map(|(index, &(from, _))| {
                let to = crossings[(index + 1) % crossings.len()].0;
                (from, if to > from { to } else { to + TAU })
            })
            .collect(),
    ))
}

fn crossing(
    clear: &impl Fn(f64) -> Result<f64, Problem>,
    mut low: f64,
    mut high: f64,
    at_low: f64,
) -> Result<f64, Problem> {
    while high - low > 1e-13 * high.abs().max(1.0) {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if (clear(middle)? >= 0.0) == (at_low >= 0.0) {
            low = middle
        } else {
            high = middle
        }
    }
    Ok(0.5 * (low + high))
}

/// Puts arcs into the order in which they follow each other round the hole.
fn chain(mut loose: Vec<Arc<'_>>) -> Vec<Arc<'_>> {
    let mut chained: Vec<Arc<'_>> = loose.pop().into_iter().collect();
    while let Some(last) = chained.last().and_then(|(outline, _, to)| outline.at(*to)) {
        let gap = |arc: &Arc<'_>| {
            arc.0
                .at(arc.1)
                .map_or(f64::MAX, |start| start.point.distance(last.point))
        };
        let Some(next) = (0..loose.len()).min_by(|&a, &b| gap(&loose[a]).total_cmp(&gap(&loose[b]))) else {
            break;
        };
        chained.push(loose.swap_remove(next));
    }
    chained
}

/// The arcs as one closed curve.
fn fitted(arcs: &[Arc<'_>]) -> Result<BezPath, Problem> {
    let mut path = BezPath::new();
    for &(outline, from, to) in arcs {
        let piece = fit(outline, from..to, Tolerance::FILE)?.path;
        path.extend(piece.into_iter().skip(usize::from(!path.is_empty())));
    }
    path.close_path();
    Ok(path)
}

/// Places on the arcs, half a degree apart or less.
pub(super) fn places_on(arcs: &[Arc<'_>]) -> Result<Vec<Point>, Problem> {
    let mut points = Vec::new();
    for &(outline, from, to) in arcs {
        let steps = ((to - from) / TAU * STEPS as f64).ceil().max(1.0) as usize;
        let mut azimuths: Vec<f64> = (0..steps)
            .map(|step| from + (to - from) * step as f64 / steps as f64)
            .collect();
        azimuths.extend(joins_within(outline, &(from..to)));
        // The crown lines too: there extrema are exact.
        azimuths.extend(
            (0..8)
                .map(|quarter| TAU / 4.0 * f64::from(quarter))
                .filter(|crown| from < *crown && *crown < to),
        );
        azimuths.sort_by(f64::total_cmp);
        azimuths.dedup_by(|next, before| *next - *before < 1e-9);
        azimuths.push(to);
        let mut before = spot(outline, azimuths[0])?;
        for azimuth in &azimuths[1..] {
            let next = spot(outline, *azimuth)?;
            points.push(before.1.point);
            halve(outline, [&before, &next], MOST_HALVES, &mut points)?;
            before = next;
        }
    }
    Ok(points)
}

/// An azimuth in radians, and the place there.
type Spot = (f64, Place);

fn spot(outline: &SkinOutline<'_>, azimuth: f64) -> Result<Spot, Problem> {
    let place = outline.at(azimuth).ok_or_else(|| outline.miss(azimuth))?;
    Ok((azimuth, place))
}

/// Places between two, as many as the outline bends away from what is straight between them.
fn halve(
    outline: &SkinOutline<'_>,
    [from, to]: [&Spot; 2],
    most: usize,
    points: &mut Vec<Point>,
) -> Result<(), Problem> {
    // A cubic with these ends and speeds is in its middle so far beside its chord.
    let chord = to.1.point - from.1.point;
    let off = (to.0 - from.0) / 8.0 * chord.normalize().cross(from.1.speed - to.1.speed).abs();
    if off <= CHORD || most == 0 || chord.hypot() <= CHORD {
        return Ok(());
    }
    let middle = spot(outline, 0.5 * (from.0 + to.0))?;
    halve(outline, [from, &middle], most - 1, points)?;
    points.push(middle.1.point);
    halve(outline, [&middle, to], most - 1, points)
}
