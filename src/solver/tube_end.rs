//! A tube's end: azimuth to cut, and the whole cut as one curve.

use std::cell::{Cell, RefCell};
use std::f64::consts::TAU;

use kurbo::{Point, Vec2};

use super::among::{Among, solve_among};
use super::cut::{Cut, EndCurve};
use super::extrema::{Samples, close_in, highest_among, peak_by_slope};
use super::fit::{Fitted, fit};
use super::line::Lines;
use super::touch::{Decided, Deciding};
use super::trace::{Place, Trace, along_a_grazing_side, farthest_past, passes_beside};
use crate::job::End;
use crate::measure::Tolerance;
use crate::problem::Problem;
use crate::section::Profile;

/// The cut at `azimuth` radians round the girth from the front, growing to the right on the printed face; `None` where
/// that line of the wall misses the body.
pub fn cut_at(end: &End, azimuth: f64) -> Option<Cut> {
    if let Some(parts) = end.landing.parts() {
        return Among::new(end, parts).cut_at(azimuth).map(|(_, cut)| cut);
    }
    let decided = decided_at(end, &Deciding::of(end), azimuth)?;
    Some(Cut {
        t: decided.t,
        per_radian: decided.per_radian,
        radius: decided.radius,
        part: decided.part,
    })
}

/// Which of the bodies that an end is cut to its wall comes to first on some line, by their order; `curve` is the end's.
pub fn deciding_bodies(end: &End, curve: &EndCurve) -> Vec<usize> {
    let Some(parts) = end.landing.parts() else {
        return vec![0];
    };
    let mut found: Vec<usize> = curve.corners.iter().flat_map(|corner| corner.bodies).collect();
    if found.is_empty() {
        // Nothing takes over: one decides all round.
        found.extend(Among::new(end, parts).cut_at(0.0).map(|(body, _)| body));
    }
    found.sort_unstable();
    found.dedup();
    found
}

fn decided_at(end: &End, deciding: &Deciding<'_>, azimuth: f64) -> Option<Decided> {
    let side = |azimuth: f64| end.tube.wall_line(azimuth);
    let mut decided = deciding.on(&side(azimuth))?;
    let t = |azimuth: f64| Some(Vec2::new(0.0, deciding.on(&side(azimuth))?.t));
    if let Some(speed) = along_a_grazing_side(azimuth, decided.facing, side, t) {
        decided.per_radian = speed.y;
    }
    Some(decided)
}

/// Angle in degrees between the body's skin and the tube's, across the weld, at `azimuth` radians
/// (DEVELOPERS.md, "Geometry"); at a miter between the two tubes' skins, 0 to 360. `None` where the tube's outer skin
/// misses the body.
pub fn dihedral_deg(end: &End, azimuth: f64) -> Option<f64> {
    let wall = end.tube.wall_line(azimuth);
    let hit = Lines::new(&end.frame, end.weld_skin.as_ref())
        .through(&wall)
        .meet(wall.outer)?;
    let to_skin = (-hit.normal.dot(end.frame.outward(wall.facing)))
        .clamp(-1.0, 1.0)
        .acos();
    let sides = if end.is_mirrored { 2.0 } else { 1.0 };
    Some(sides * to_skin.to_degrees())
}

/// Solves the whole cut, with the seam at `seam` radians, on a girth of 2 pi `girth_radius_mm`.
///
/// # Errors
/// Where a part of the wall misses the body, however narrow it is.
pub fn solve_end(end: &End, girth_radius_mm: f64, seam: f64) -> Result<EndCurve, Problem> {
    if let Some(parts) = end.landing.parts() {
        return solve_among(end, parts, girth_radius_mm, seam);
    }
    let unrolled = Unrolled {
        end,
        deciding: Deciding::of(end),
        girth_radius_mm,
        seam,
        grazing: RefCell::default(),
    };
    let Fitted { path, solved } = fit(&unrolled, seam..seam + TAU, Tolerance::FILE)?;
    unrolled.require_no_gap()?;
    let decided = |azimuth: f64| decided_at(end, &unrolled.deciding, azimuth);
    let height = |azimuth: f64| Some(decided(azimuth)?.t);
    // The crown lines too: there extrema are exact.
    let crowns = (0..4).map(|quarter| TAU / 4.0 * f64::from(quarter));
    if let Some(missed) = crowns.clone().find(|azimuth| height(*azimuth).is_none()) {
        return Err(unrolled.miss(missed));
    }
    let crowns = crowns.map(|azimuth| (azimuth, height(azimuth)));
    let solved = solved.iter().map(|(azimuth, place)| (*azimuth, Some(place.point.y)));
    let extrema = Samples::new(crowns.chain(solved)).and_then(|samples| {
        let rise = |azimuth: f64| decided(azimuth).map_or(f64::NAN, |decided| decided.per_radian);
        Some([
            highest_along(
                &|azimuth| Some(-height(azimuth)?),
                &|azimuth| -rise(azimuth),
                &samples.upside_down(),
            )?,
            highest_along(&height, &rise, &samples)?,
        ])
    });
    let [lowest, highest] = extrema.ok_or_else(|| {
        Problem::new("the cut has no longest and shortest place")
            .figures("a number in it is not finite")
            .help("change the angle or the offset a little")
    })?;
    Ok(EndCurve {
        path,
        girth_radius_mm,
        seam,
        lowest: (-lowest.0, lowest.1),
        highest,
        corners: Vec::new(),
    })
}

/// The highest place beside `samples`, closed in on by its slope.
fn highest_along(
    height: &impl Fn(f64) -> Option<f64>,
    rise: &impl Fn(f64) -> f64,
    samples: &Samples,
) -> Option<(f64, f64)> {
    let known = |azimuth: f64| height(azimuth).unwrap_or(f64::NAN);
    highest_among(height, samples, |places| peak_by_slope(&known, rise, places))
}

/// Below this cosine between the body's normal and a line of the wall, a line that misses may be within a step of it.
const NEARLY_GRAZING: f64 = 0.3;

/// No two places that were solved are farther from each other, in radians.
const STEP: f64 = 0.08;

/// To where the line nearest to a miss is closed in on, in radians.
const NEAREST: f64 = 1e-9;

struct Unrolled<'a> {
    end: &'a End,
    deciding: Deciding<'a>,
    girth_radius_mm: f64,
    seam: f64,
    /// The azimuths of lines that all but graze the body, with that cosine.
    grazing: RefCell<Vec<(f64, f64)>>,
}

impl Unrolled<'_> {
    /// A part of the wall that misses may be narrower than the steps in which the cut is solved: it is looked for wherever
    /// the lines come nearer to grazing than those beside them.
    fn require_no_gap(&self) -> Result<(), Problem> {
        let mut grazing = self.grazing.take();
        grazing.sort_by(|a, b| a.0.total_cmp(&b.0));
        let value = |index: Option<usize>| {
            index
                .and_then(|index| grazing.get(index))
                .map_or(f64::MAX, |place| place.1)
        };
        let is_nearest = |index: usize| {
            let here = grazing[index].1;
            here <= value(index.checked_sub(1)) && here <= value(Some(index + 1))
        };
        let mut nearest: Vec<f64> = (0..grazing.len())
            .filter(|index| is_nearest(*index))
            .map(|index| grazing[index].0)
            .collect();
        // What is looked for about one is found about those beside it, too.
        nearest.dedup_by(|next, last| *next - *last < STEP / 2.0);
        for nearest in nearest {
            let missed = Cell::new(None);
            // How far a line is from a miss, where that is known: beside a graze the cosine is level.
            let turned_away = |azimuth: f64| {
                let past = self.deciding.passes_by(&self.end.tube.wall_line(azimuth));
                match decided_at(self.end, &self.deciding, azimuth) {
                    Some(decided) => past.unwrap_or(-decided.grazing),
                    None => {
                        missed.set(Some(azimuth));
                        past.unwrap_or(f64::MAX)
                    }
                }
            };
            let farthest = close_in(&turned_away, nearest - STEP, nearest + STEP, NEAREST);
            // The last place is the farthest off, so it is the one that is reported if it misses, too.
            turned_away(farthest);
            if let Some(azimuth) = missed.get() {
                return Err(self.miss(azimuth));
            }
        }
        Ok(())
    }
}

impl Trace for Unrolled<'_> {
    fn joins(&self) -> Vec<f64> {
        self.end.tube.section.joins(self.end.tube.wall_mm)
    }

    fn at(&self, azimuth: f64) -> Option<Place> {
        let decided = decided_at(self.end, &self.deciding, azimuth)?;
        if decided.grazing < NEARLY_GRAZING {
            self.grazing.borrow_mut().push((azimuth, decided.grazing));
        }
        let girth = self.girth_radius_mm * (azimuth - self.seam);
        Some(Place {
            point: Point::new(girth, decided.t),
            speed: Vec2::new(self.girth_radius_mm, decided.per_radian),
            part: decided.part,
            margin: decided.margin,
        })
    }
    fn miss(&self, azimuth: f64) -> Problem {
        let past = |azimuth: f64| self.deciding.passes_by(&self.end.tube.wall_line(azimuth));
        let (azimuth, by) = farthest_past(azimuth, past);
        passes_beside(azimuth, by)
    }
}
