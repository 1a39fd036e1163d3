//! A tube's end that is cut to several bodies: each is asked for itself, and whichever comes first decides.

use std::f64::consts::TAU;
use std::sync::Arc;

use kurbo::{BezPath, PathEl, Point, Vec2};

use super::cut::{Corner, Cut, EndCurve};
use super::extrema::close_in;
use super::fit::fit;
use super::touch::{Decided, Deciding};
use super::trace::{Part, Place, Trace, along_a_grazing_side, passes_beside};
use crate::body::Body;
use crate::job::End;
use crate::measure::Tolerance;
use crate::problem::Problem;
use crate::section::{Profile, WallLine};

/// The bodies that an end is cut to.
pub(super) type Parts = [Arc<dyn Body + Send + Sync>];

/// Samples round the girth between which it is noticed that another body takes over.
const SAMPLES: usize = 1440;

/// Where another body takes over is found to within this, in radians.
const CLOSE: f64 = 1e-13;

/// What is left of a stretch between two bodies' turns below this is none, in radians.
const SHORTEST: f64 = 1e-9;

/// A cut that goes on within this is one without a step, in millimetres.
const STEP: f64 = 1e-6;

/// Peaks are closed in on to this, in radians.
const PEAK: f64 = 1e-11;

/// An end and its bodies.
pub(super) struct Among<'a> {
    end: &'a End,
    each: Vec<Deciding<'a>>,
}

impl<'a> Among<'a> {
    pub(super) fn new(end: &'a End, parts: &'a Parts) -> Self {
        let each = parts.iter().map(|part| Deciding::to(end, part.as_ref())).collect();
        Self { end, each }
    }

    fn wall(&self, azimuth: f64) -> WallLine {
        self.end.tube.wall_line(azimuth)
    }

    /// Which body decides, and how; `None` where a part of the wall that could decide meets none of them.
    fn decided(&self, azimuth: f64) -> Option<(usize, Decided)> {
        let wall = self.wall(azimuth);
        let met = |(index, body): (usize, &Deciding<'_>)| {
            let (decided, stretch) = body.partly_on(&wall)?;
            Some((index, decided, stretch))
        };
        let met: Vec<(usize, Decided, [f64; 2])> = self.each.iter().enumerate().filter_map(met).collect();
        let needed = self.each.first()?.stretch(&wall);
        if !is_covered(needed, met.iter().map(|(_, _, stretch)| *stretch)) {
            return None;
        }
        let first = met.into_iter().max_by(|a, b| a.1.t.total_cmp(&b.1.t))?;
        Some((first.0, first.1))
    }

    /// The cut at an azimuth in radians, and which body decides.
    pub(super) fn cut_at(&self, azimuth: f64) -> Option<(usize, Cut)> {
        let (body, decided) = self.decided(azimuth)?;
        let cut = Cut {
            t: decided.t,
            per_radian: decided.per_radian,
            radius: decided.radius,
            part: decided.part,
        };
        Some((body, cut))
    }

    fn body_at(&self, azimuth: f64) -> Result<usize, f64> {
        self.decided(azimuth).map(|(body, _)| body).ok_or(azimuth)
    }

    /// Stretches of the girth from `seam` once round, each with the body that decides on it.
    fn stretches(&self, seam: f64) -> Result<Vec<(f64, f64, usize)>, f64> {
        let at = |sample: usize| seam + TAU * sample as f64 / SAMPLES as f64;
        let samples: Vec<(f64, usize)> = (0..=SAMPLES)
            .map(|sample| Ok((at(sample), self.body_at(at(sample))?)))
            .collect::<Result<_, f64>>()?;
        let mut changes = Vec::new();
        for (sample, pair) in samples.windows(2).enumerate() {
            if let Some(between) = self.hidden(sample, &samples) {
                let middle = (between, self.body_at(between)?);
                self.change(pair[0], middle, &mut changes)?;
                self.change(middle, pair[1], &mut changes)?;
            } else {
                self.change(pair[0], pair[1], &mut changes)?;
            }
        }
        let (mut found, mut from, mut body) = (Vec::new(), seam, samples[0].1);
        for (before, after, next) in changes {
            found.push((from, before, body));
            (from, body) = (after, next);
        }
        found.push((from, seam + TAU, body));
        found.retain(|(from, to, _)| to - from > SHORTEST);
        Ok(found)
    }

    /// A place between a sample and the next at which another body decides, where both samples are of one: where the lead over
    /// that body is least there.
    fn hidden(&self, sample: usize, samples: &[(f64, usize)]) -> Option<f64> {
        let (from, to) = (samples[sample], samples[sample + 1]);
        if from.1 != to.1 {
            return None;
        }
        let mut others = (0..self.each.len()).filter(|body| *body != from.1);
        others.find_map(|other| {
            let t = |body: usize, azimuth: f64| Some(self.each[body].partly_on(&self.wall(azimuth))?.0.t);
            let lead = |azimuth: f64| Some(t(from.1, azimuth)? - t(other, azimuth)?);
            let step = to.0 - from.0;
            let leads = [from.0 - step, from.0, to.0, to.0 + step].map(lead);
            let [before, low, high, after] = [leads[0]?, leads[1]?, leads[2]?, leads[3]?];
            // It falls towards the middle from both sides, and faster than what is left of it.
            let dips = before > low && after > high && low.min(high) < (before - low) + (after - high);
            let least = |azimuth: f64| -lead(azimuth).unwrap_or(f64::MAX);
            let at = dips.then(|| close_in(&least, from.0, to.0, CLOSE.sqrt()))?;
            (lead(at)? < 0.0).then_some(at)
        })
    }

    /// The changes between two places: just before, just after, and the body that takes over.
    fn change(
        &self,
        mut low: (f64, usize),
        mut high: (f64, usize),
        found: &mut Vec<(f64, f64, usize)>,
    ) -> Result<(), f64> {
        if low.1 == high.1 {
            return Ok(());
        }
        while high.0 - low.0 > CLOSE * high.0.abs().max(1.0) {
            let middle = 0.5 * (low.0 + high.0);
            if middle <= low.0 || middle >= high.0 {
                break;
            }
            match self.body_at(middle)? {
                body if body == low.1 => low.0 = middle,
                body if body == high.1 => high.0 = middle,
                third => {
                    self.change(low, (middle, third), found)?;
                    return self.change((middle, third), high, found);
                }
            }
        }
        found.push((low.0, high.0, high.1));
        Ok(())
    }
}

/// Whether stretches leave nothing of `needed` out.
fn is_covered(needed: [f64; 2], stretches: impl Iterator<Item = [f64; 2]>) -> bool {
    // Both are found by halving.
    const TOUCHING: f64 = 1e-7;
    let mut stretches: Vec<[f64; 2]> = stretches.collect();
    stretches.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let covered = stretches.into_iter().fold(needed[0], |covered, [from, to]| {
        if from <= covered + TOUCHING {
            covered.max(to)
        } else {
            covered
        }
    });
    covered >= needed[1] - TOUCHING
}

/// The whole cut, as [`super::solve_end`] has it of one body.
pub(super) fn solve_among(end: &End, parts: &Parts, girth_radius_mm: f64, seam: f64) -> Result<EndCurve, Problem> {
    let among = Among::new(end, parts);
    let missed = |azimuth: f64| passes_beside(azimuth, None);
    let stretches = among.stretches(seam).map_err(missed)?;
    let (mut path, mut samples) = (BezPath::new(), Vec::new());
    for &(from, to, body) in &stretches {
        let trace = OfOne {
            among: &among,
            body,
            girth_radius_mm,
            seam,
        };
        let fitted = fit(&trace, from..to, Tolerance::FILE)?;
        go_on(&mut path, fitted.path);
        let crowns = (-8..=8).map(|quarter| TAU / 4.0 * f64::from(quarter));
        let crowns = crowns.filter(|crown| (from..=to).contains(crown));
        let mut azimuths: Vec<f64> = fitted.solved.iter().map(|place| place.0).chain(crowns).collect();
        azimuths.sort_by(f64::total_cmp);
        azimuths.dedup();
        let height = |azimuth: f64| trace.at(azimuth).map_or(f64::NAN, |place| place.point.y);
        samples.push(turning_places(&height, &azimuths));
    }
    let places = || samples.iter().flatten().copied().filter(|place| place.0.is_finite());
    let no_place = || {
        Problem::new("the cut has no longest and shortest place")
            .figures("a number in it is not finite")
            .help("change the angle or the offset a little")
    };
    let lowest = places().min_by(|a, b| a.0.total_cmp(&b.0)).ok_or_else(no_place)?;
    let highest = places().max_by(|a, b| a.0.total_cmp(&b.0)).ok_or_else(no_place)?;
    let within = |(t, azimuth): (f64, f64)| (t, azimuth.rem_euclid(TAU));
    Ok(EndCurve {
        path,
        girth_radius_mm,
        seam,
        lowest: within(lowest),
        highest: within(highest),
        corners: corners(&among, &stretches).ok_or_else(no_place)?,
    })
}

/// Where one stretch follows another, and the last the first.
fn corners(among: &Among<'_>, stretches: &[(f64, f64, usize)]) -> Option<Vec<Corner>> {
    let t = |body: usize, azimuth: f64| Some(among.each[body].partly_on(&among.wall(azimuth))?.0.t);
    let next = stretches.iter().skip(1).chain(stretches.first());
    let pairs = stretches.iter().zip(next).filter(|(before, after)| before.2 != after.2);
    let mut corners: Vec<Corner> = pairs
        .map(|(before, after)| {
            Some(Corner {
                azimuth: before.1.rem_euclid(TAU),
                t: [t(before.2, before.1)?, t(after.2, after.0)?],
                bodies: [before.2, after.2],
            })
        })
        .collect::<Option<_>>()?;
    corners.sort_by(|a, b| a.azimuth.total_cmp(&b.azimuth));
    Some(corners)
}

/// Adds a stretch, with a line along the tube where the cut has a step.
fn go_on(path: &mut BezPath, stretch: BezPath) {
    for element in stretch {
        match element {
            PathEl::MoveTo(start) if !path.is_empty() => {
                let end = path.elements().last().and_then(PathEl::end_point).unwrap_or(start);
                if (end.y - start.y).abs() > STEP {
                    path.line_to(start);
                }
            }
            element => path.push(element),
        }
    }
}

/// Heights with their azimuths: all that could be the highest or the lowest of a stretch.
fn turning_places(height: &impl Fn(f64) -> f64, azimuths: &[f64]) -> Vec<(f64, f64)> {
    let heights: Vec<f64> = azimuths.iter().map(|azimuth| height(*azimuth)).collect();
    let mut found: Vec<(f64, f64)> = heights.iter().copied().zip(azimuths.iter().copied()).collect();
    for at in 1..azimuths.len().saturating_sub(1) {
        let [before, here, after] = [heights[at - 1], heights[at], heights[at + 1]];
        for sign in [1.0, -1.0] {
            if sign * here >= sign * before && sign * here > sign * after {
                let signed = |azimuth: f64| sign * height(azimuth);
                let closer = close_in(&signed, azimuths[at - 1], azimuths[at + 1], PEAK);
                found.extend(Some((height(closer), closer)).filter(|(there, _)| sign * there > sign * here + 1e-12));
            }
        }
    }
    found
}

/// The cut for one of the bodies, on a stretch on which it decides.
struct OfOne<'a> {
    among: &'a Among<'a>,
    body: usize,
    girth_radius_mm: f64,
    seam: f64,
}

impl Trace for OfOne<'_> {
    fn joins(&self) -> Vec<f64> {
        let tube = &self.among.end.tube;
        tube.section.joins(tube.wall_mm)
    }

    fn at(&self, azimuth: f64) -> Option<Place> {
        let side = |azimuth: f64| self.among.wall(azimuth);
        let deciding = &self.among.each[self.body];
        let (decided, _) = deciding.partly_on(&side(azimuth))?;
        let t = |azimuth: f64| Some(Vec2::new(0.0, deciding.partly_on(&side(azimuth))?.0.t));
        let grazing = along_a_grazing_side(azimuth, decided.facing, side, t);
        Some(Place {
            point: Point::new(self.girth_radius_mm * (azimuth - self.seam), decided.t),
            speed: Vec2::new(
                self.girth_radius_mm,
                grazing.map_or(decided.per_radian, |speed| speed.y),
            ),
            part: match decided.part {
                Part::Only => Part::Outer,
                part => part,
            },
            margin: decided.margin,
        })
    }
}
