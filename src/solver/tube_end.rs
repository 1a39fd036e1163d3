//! A tube's end: azimuth to cut, and the whole cut as one curve.

use std::f64::consts::TAU;

use kurbo::{BezPath, Point, Vec2};

use super::extreme::{Looks, highest_among, peak_by_slope};
use super::fit::{Fitted, fit};
use super::line::Lines;
use super::touch::{Decided, Deciding};
use super::trace::{Part, Place, Trace, along_a_grazing_side};
use crate::job::End;
use crate::measure::Tolerance;
use crate::problem::Problem;
use crate::section::Profile;

/// The cut at one azimuth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Distance from the work point along the tube's axis in millimetres, positive away from the body.
    pub t: f64,
    /// By how much t grows per radian of azimuth, where there is no corner.
    pub per_radian: f64,
    /// The radius at which the wall decides, on its line there ([`crate::section::WallLine`]), in millimetres.
    pub radius: f64,
    /// Which part of the wall that is.
    pub part: Part,
}

/// The cut at `azimuth` radians round the girth from the front, growing to the right on the printed face; `None` where
/// that line of the wall misses the body.
pub fn cut_at(end: &End, azimuth: f64) -> Option<Cut> {
    let decided = decided_at(end, &Deciding::of(end), azimuth)?;
    Some(Cut {
        t: decided.t,
        per_radian: decided.per_radian,
        radius: decided.radius,
        part: decided.part,
    })
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
        deciding: Deciding::of(end),
        girth_radius_mm,
        seam,
    };
    let Fitted { path, solved } = fit(&unrolled, seam..seam + TAU, Tolerance::FILE)?;
    let decided = |azimuth: f64| decided_at(end, &unrolled.deciding, azimuth);
    let height = |azimuth: f64| decided(azimuth).map_or(f64::NAN, |decided| decided.t);
    // The crown lines too: there extremes are exact.
    let crowns = (0..4).map(|quarter| TAU / 4.0 * f64::from(quarter));
    let crowns = crowns.map(|azimuth| (azimuth, height(azimuth)));
    let looks = Looks::new(
        crowns
            .chain(solved.iter().map(|(azimuth, place)| (*azimuth, place.point.y)))
            .collect(),
    );
    let depth = |azimuth: f64| -height(azimuth);
    let rise = |azimuth: f64| decided(azimuth).map_or(f64::NAN, |decided| decided.per_radian);
    let fall = |azimuth: f64| -rise(azimuth);
    let lowest = highest_among(&depth, &looks.upside_down(), |places| {
        peak_by_slope(&depth, &fall, places)
    });
    Ok(EndCurve {
        path,
        girth_radius_mm,
        seam,
        lowest: (-lowest.0, lowest.1),
        highest: highest_among(&height, &looks, |places| peak_by_slope(&height, &rise, places)),
    })
}

struct Unrolled<'a> {
    end: &'a End,
    deciding: Deciding<'a>,
    girth_radius_mm: f64,
    seam: f64,
}

impl Trace for Unrolled<'_> {
    fn joins(&self) -> Vec<f64> {
        self.end.tube.section.joins(self.end.tube.wall_mm)
    }

    fn at(&self, azimuth: f64) -> Option<Place> {
        let decided = decided_at(self.end, &self.deciding, azimuth)?;
        let girth = self.girth_radius_mm * (azimuth - self.seam);
        Some(Place {
            point: Point::new(girth, decided.t),
            speed: Vec2::new(self.girth_radius_mm, decided.per_radian),
            part: decided.part,
            margin: decided.margin,
        })
    }
}
