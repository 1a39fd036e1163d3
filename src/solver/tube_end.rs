//! A tube's end: azimuth to cut, and the whole cut as one curve.

use std::f64::consts::TAU;

use kurbo::{BezPath, Point, Vec2};

use super::fit::fit;
use super::line::meet;
use super::touch::deciding_hit;
use super::trace::{Place, Trace};
use crate::job::End;
use crate::measure::Tolerance;
use crate::problem::Problem;

/// Places at which the extremes of a cut are looked for before they are closed in on.
const LOOKS: usize = 720;

/// The cut at one azimuth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Distance from the work point along the tube's axis in millimetres, positive away from the body.
    pub t: f64,
    /// By how much t grows per radian of azimuth, where there is no corner.
    pub per_radian: f64,
    /// The radius at which the wall decides, in millimetres.
    pub radius: f64,
}

/// The cut at `azimuth` radians from the front, growing to the right on the printed face; `None` where
/// that line of the wall misses the body.
pub fn cut_at(end: &End, azimuth: f64) -> Option<Cut> {
    let (hit, radius) = deciding_hit(end, azimuth)?;
    Some(Cut {
        t: hit.t,
        per_radian: radius * hit.slope,
        radius,
    })
}

/// Angle in degrees between the body's skin and the tube's, across the weld, at `azimuth` radians
/// (DEVELOPERS.md, "Geometry"); `None` where the tube's outer skin misses the body.
pub fn dihedral_deg(end: &End, azimuth: f64) -> Option<f64> {
    let hit = meet(&end.frame, end.weld_skin.as_ref(), azimuth, end.tube.radius())?;
    Some(
        (-hit.normal.dot(end.frame.outward(azimuth)))
            .clamp(-1.0, 1.0)
            .acos()
            .to_degrees(),
    )
}

/// A solved end.
#[derive(Debug, Clone, PartialEq)]
pub struct EndCurve {
    /// The cut from the seam once round: x is the girth from the seam on a girth of
    /// 2 pi `girth_radius_mm`, y is t. Millimetres, within [`Tolerance::FILE`] of the solved curve.
    pub path: BezPath,
    /// The girth the path is drawn on, as a radius in millimetres.
    pub girth_radius_mm: f64,
    /// Azimuth of the seam in radians.
    pub seam: f64,
    /// Smallest t: there the tube is longest. With the azimuth in radians.
    pub lowest: (f64, f64),
    /// Largest t: there the tube is shortest. With the azimuth in radians.
    pub highest: (f64, f64),
}

/// Solves the whole cut, with the seam at `seam` radians, on a girth of 2 pi `girth_radius_mm`.
///
/// # Errors
/// Where a part of the wall misses the body.
pub fn solve_end(end: &End, girth_radius_mm: f64, seam: f64) -> Result<EndCurve, Problem> {
    let unrolled = Unrolled {
        end,
        girth_radius_mm,
        seam,
    };
    let path = fit(&unrolled, seam..seam + TAU, Tolerance::FILE)?;
    let height = |azimuth: f64| cut_at(end, azimuth).map_or(f64::NAN, |cut| cut.t);
    let lowest = highest_of(|azimuth| -height(azimuth));
    Ok(EndCurve {
        path,
        girth_radius_mm,
        seam,
        lowest: (-lowest.0, lowest.1),
        highest: highest_of(height),
    })
}

/// The largest value over a turn, and its azimuth in radians.
fn highest_of(height: impl Fn(f64) -> f64) -> (f64, f64) {
    let step = TAU / LOOKS as f64;
    // Of equal ones the first, from the front on.
    let first = (0.0, height(0.0));
    let (best, _) = (1..LOOKS)
        .map(|look| look as f64 * step)
        .map(|azimuth| (azimuth, height(azimuth)))
        .fold(first, |best, look| if look.1 > best.1 + 1e-9 { look } else { best });
    let (mut low, mut high) = (best - step, best + step);
    const SHRINK: f64 = 0.618_033_988_749_895;
    while high - low > 1e-8 {
        let (left, right) = (high - SHRINK * (high - low), low + SHRINK * (high - low));
        if height(left) < height(right) {
            low = left
        } else {
            high = right
        }
    }
    let closed_in = 0.5 * (low + high);
    // The look itself is exact at crown lines and corners; closing in may miss it by rounding.
    let azimuth = if height(closed_in) > height(best) + 1e-12 {
        closed_in
    } else {
        best
    };
    (height(azimuth), azimuth.rem_euclid(TAU))
}

struct Unrolled<'a> {
    end: &'a End,
    girth_radius_mm: f64,
    seam: f64,
}

impl Trace for Unrolled<'_> {
    fn at(&self, azimuth: f64) -> Option<Place> {
        let cut = cut_at(self.end, azimuth)?;
        let girth = self.girth_radius_mm * (azimuth - self.seam);
        Some(Place {
            point: Point::new(girth, cut.t),
            speed: Vec2::new(self.girth_radius_mm, cut.per_radian),
        })
    }
}
