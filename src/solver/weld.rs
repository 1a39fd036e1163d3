//! The weld along an end: its length on the tube's outer skin, the metal of a fillet in it, and where the skins are too close.

use std::f64::consts::TAU;

use glam::DVec3;

use super::extrema::close_in;
use super::line::Lines;
use super::tube_end::cut_at;
use crate::job::{End, WeldSize};
use crate::section::Profile;

/// Below this angle between the skins a weld needs a mock-up in structural work (AWS D1.1, from memory), in degrees.
const TIGHT_DEG: f64 = 30.0;

/// Stretches of the girth that are always looked at by themselves.
const STRETCHES: usize = 36;
/// A stretch is halved until its two halves are no longer than it by more than this, in millimetres.
const BENT_MM: f64 = 2e-4;
/// Where what the tube meets turns its skin by so much more in one half of a stretch than in the other, in radians, there may be a
/// true corner, however little is gained by halving: there one body takes over from another.
const TAKES_OVER: f64 = 0.02;
/// Such a stretch is halved to this, in millimetres.
const CORNER_MM: f64 = 1e-6;
/// It is halved no more often: what is left is a step along the tube.
const MOST_HALVES: usize = 30;
/// The two sides of a place where the section turns, in radians from it.
const BESIDE: f64 = 1e-9;
/// To where the tightest place is closed in on, in radians.
const PRECISION: f64 = 1e-8;

/// The weld along one end.
#[derive(Debug, Clone, PartialEq)]
pub struct Weld {
    /// Along the place where the tube's outer skin meets the body's, in millimetres; along the edge as it is cut where some of
    /// the outer skin passes beside the body.
    pub length_mm: f64,
    /// Of a fillet of the size that was asked for, in cubic millimetres.
    pub metal_mm3: Option<f64>,
    /// The tightest place of every stretch where the skins are closer than [`TIGHT_DEG`], in the order round the girth.
    pub tight: Vec<Tight>,
}

/// Where the skins are too close to get a weld in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tight {
    /// In the end's own frame, in radians from 0 to a turn.
    pub azimuth: f64,
    /// Between the skins, in degrees.
    pub angle_deg: f64,
}

/// The weld along a solved end; with `size` the metal of its fillet too. `None` where a part of the end has no cut.
///
/// The length is that of chords on the skin, halved until they follow it, with Richardson's step: to 0.01 mm. The metal is
/// Simpson's sum of the fillet's section along them, to a ten-thousandth.
pub fn weld(end: &End, size: Option<WeldSize>) -> Option<Weld> {
    let along = |by_cut| {
        let seam = Seam::new(end, by_cut);
        seam.followed(size)
    };
    along(false).or_else(|| along(true))
}

/// A place on the weld.
#[derive(Debug, Clone, Copy)]
struct Place {
    azimuth: f64,
    point: DVec3,
    /// Between the skins, in degrees: 180 where the tube's skin passes beside the body.
    angle_deg: f64,
    /// Out of what the tube's skin meets there; 0 where it passes beside the body.
    normal: DVec3,
}

struct Seam<'a> {
    end: &'a End,
    lines: Lines<'a>,
    by_cut: bool,
}

/// What was found along the weld so far.
#[derive(Default)]
struct Sum {
    length: f64,
    metal: f64,
    places: Vec<Place>,
}

impl<'a> Seam<'a> {
    fn new(end: &'a End, by_cut: bool) -> Self {
        Self {
            end,
            lines: Lines::at_the_body(&end.frame, end.weld_skin.as_ref()),
            by_cut,
        }
    }

    fn at(&self, azimuth: f64) -> Option<Place> {
        let wall = self.end.tube.wall_line(azimuth);
        let rays = self.lines.through(&wall);
        let hit = rays.meet(wall.outer);
        let sides = if self.end.is_mirrored { 2.0 } else { 1.0 };
        let angle_deg = hit.map_or(180.0, |hit| {
            sides * hit.radial_lean.clamp(-1.0, 1.0).acos().to_degrees()
        });
        let t = match hit {
            Some(hit) if !self.by_cut => hit.t,
            _ if self.by_cut => cut_at(self.end, azimuth)?.t,
            _ => return None,
        };
        Some(Place {
            azimuth,
            point: rays.place(t, wall.outer),
            angle_deg,
            normal: hit.map_or(DVec3::ZERO, |hit| hit.normal),
        })
    }

    /// The same just to one side of an azimuth, for which it stands.
    fn beside(&self, azimuth: f64, by: f64) -> Option<Place> {
        let place = self.at(azimuth + by)?;
        Some(Place { azimuth, ..place })
    }

    fn followed(&self, size: Option<WeldSize>) -> Option<Weld> {
        let section = |place: &Place| size.map_or(0.0, |size| size.section_mm2(place.angle_deg));
        let mut sum = Sum::default();
        for (from, to) in self.stretches() {
            let ends = [self.beside(from, BESIDE)?, self.beside(to, -BESIDE)?];
            // Where the section turns there may be a step along the tube.
            let step = sum
                .places
                .last()
                .map_or(0.0, |last| (ends[0].point - last.point).length());
            sum.length += step;
            sum.metal += step * section(&ends[0]);
            self.follow(ends, MOST_HALVES, &section, &mut sum)?;
        }
        let closing = [sum.places.first()?, sum.places.last()?].map(|place| place.point);
        Some(Weld {
            length_mm: sum.length + (closing[1] - closing[0]).length(),
            metal_mm3: size.filter(|_| !self.end.is_mirrored).map(|_| sum.metal),
            tight: self.tight(&sum.places),
        })
    }

    /// Even stretches, parted where the section turns.
    fn stretches(&self) -> Vec<(f64, f64)> {
        let even = (0..=STRETCHES).map(|step| TAU * step as f64 / STRETCHES as f64);
        let joins = self.end.tube.section.joins(self.end.tube.wall_mm);
        let mut all: Vec<f64> = even.chain(joins.into_iter().map(|join| join.rem_euclid(TAU))).collect();
        all.sort_by(f64::total_cmp);
        all.dedup_by(|next, last| *next - *last < 1e-6);
        all.windows(2).map(|pair| (pair[0], pair[1])).collect()
    }

    fn follow(
        &self,
        [from, to]: [Place; 2],
        halves: usize,
        section: &impl Fn(&Place) -> f64,
        sum: &mut Sum,
    ) -> Option<()> {
        let middle = self.at(0.5 * (from.azimuth + to.azimuth))?;
        let whole = (to.point - from.point).length();
        let halved = (middle.point - from.point).length() + (to.point - middle.point).length();
        let is_cornered = whole > CORNER_MM && (from.normal + to.normal - 2.0 * middle.normal).length() > TAKES_OVER;
        if (is_cornered || halved - whole > BENT_MM) && halves > 0 {
            self.follow([from, middle], halves - 1, section, sum)?;
            return self.follow([middle, to], halves - 1, section, sum);
        }
        let length = halved + (halved - whole) / 3.0;
        sum.length += length;
        sum.metal += length * (section(&from) + 4.0 * section(&middle) + section(&to)) / 6.0;
        sum.places.extend([from, middle, to]);
        Some(())
    }

    /// The tightest place of every stretch below [`TIGHT_DEG`].
    fn tight(&self, places: &[Place]) -> Vec<Tight> {
        let is_tight = |place: &Place| place.angle_deg < TIGHT_DEG;
        // From where it is not tight on, so that no stretch is listed twice.
        let begin = places.iter().position(|place| !is_tight(place)).unwrap_or(0);
        let turned: Vec<Place> = places[begin..].iter().chain(&places[..begin]).copied().collect();
        let runs = turned.split(|place| !is_tight(place)).filter(|run| !run.is_empty());
        let mut tight: Vec<Tight> = runs.filter_map(|run| self.tightest(run)).collect();
        tight.sort_by(|a, b| a.azimuth.total_cmp(&b.azimuth));
        tight
    }

    fn tightest(&self, run: &[Place]) -> Option<Tight> {
        let least = run.iter().min_by(|a, b| a.angle_deg.total_cmp(&b.angle_deg))?;
        let step = TAU / STRETCHES as f64;
        let openness = |azimuth: f64| self.at(azimuth).map_or(f64::NAN, |place| -place.angle_deg);
        let closer = close_in(&openness, least.azimuth - step, least.azimuth + step, PRECISION);
        let angle_deg = -openness(closer);
        // A sample is exact on the crown lines.
        let is_better = angle_deg < least.angle_deg - 1e-9;
        let (azimuth, angle_deg) = if is_better {
            (closer, angle_deg)
        } else {
            (least.azimuth, least.angle_deg)
        };
        Some(Tight {
            azimuth: azimuth.rem_euclid(TAU),
            angle_deg,
        })
    }
}
