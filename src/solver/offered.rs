//! An end as it was cut, offered up to what it really meets: the gap along the tube after it first touches.

use std::f64::consts::TAU;

use super::extrema::{Samples, close_in, highest_beside};
use super::facet::{FacetedEnd, clearance, gap};
use super::line::Lines;
use super::low::least_between;
use super::touch::Deciding;
use super::tube_end::cut_at;
use crate::body::Body;
use crate::job::{End, Touch};
use crate::section::WallLine;

/// Places round the girth at which the first touch is looked for while many guesses are tried.
const SAMPLES: usize = 120;

/// Places at which a gap is given, and every so many of them make a degree.
const PLACES: usize = 1440;

/// To what share of a radius the part of a wall that still meets the body is found.
const HALVINGS: usize = 40;

/// So many places an end is brought to before the best is closed in on, in degrees or millimetres.
const TRIES: usize = 24;
const CLOSE: f64 = 1e-4;

/// An end as it was cut, with the azimuths at which its gap is asked for.
pub struct Offered {
    stations: Vec<Place>,
    samples: Vec<Place>,
    /// Where a gap may have a sharp low between two samples.
    ridges: Vec<Place>,
    end: End,
    cut: Cut,
}

/// How it was cut.
enum Cut {
    /// To the curve along which it meets what it was cut for.
    Coped,
    /// Flat.
    Flat {
        cuts: FacetedEnd,
        /// How far it can be pushed in past its first touch by what was rounded off, in millimetres.
        rounded: f64,
        /// How far it is pushed in, as it is cut for, until it first touches without that.
        touches: f64,
    },
}

/// A place round the girth.
#[derive(Clone, Copy)]
struct Place {
    /// In radians.
    azimuth: f64,
    /// t of the coped edge; of a flat end what was rounded off, in millimetres along the tube.
    t: f64,
}

/// The gap all round after the first touch.
#[derive(Debug, Clone, PartialEq)]
pub struct OfferedGap {
    /// At every quarter of a degree from 0, in millimetres; infinite where no part of the wall there would meet the body.
    pub gaps: Vec<f64>,
    /// The largest that has an end, in millimetres.
    pub largest: f64,
    /// Where, in degrees.
    pub at_deg: f64,
    /// How far the tube moved along its axis, from where it was asked to be, until it touched, in millimetres.
    pub moved_in: f64,
}

impl OfferedGap {
    /// Between the places, in millimetres.
    pub fn at(&self, azimuth_deg: f64) -> f64 {
        let place = azimuth_deg.rem_euclid(360.0) / 360.0 * PLACES as f64;
        let (before, share) = (place.floor() as usize % PLACES, place.fract());
        let [from, to] = [before, (before + 1) % PLACES].map(|place| self.gaps[place]);
        if share == 0.0 { from } else { from + share * (to - from) }
    }
}

impl Offered {
    /// `end` as it was coped, asked for its gap at `stations`, azimuths in radians. None where a part of its wall misses the
    /// body that it was cut for.
    pub fn new(end: &End, stations: &[f64]) -> Option<Self> {
        Self::cut(end, Cut::Coped, stations)
    }

    /// The same of an end that was cut flat, its corners rounded off so far that it can be pushed in by `rounded` millimetres
    /// past its first touch.
    pub fn cut_flat(end: &End, cuts: FacetedEnd, rounded: f64, stations: &[f64]) -> Option<Self> {
        let touches = gap(end, &cuts, f64::INFINITY)?.shift;
        let cut = Cut::Flat { cuts, rounded, touches };
        Self::cut(end, cut, stations)
    }

    fn cut(end: &End, cut: Cut, stations: &[f64]) -> Option<Self> {
        let mut offered = Self {
            stations: Vec::new(),
            samples: Vec::new(),
            ridges: Vec::new(),
            end: end.clone(),
            cut,
        };
        let places = |azimuths: &mut dyn Iterator<Item = f64>| -> Option<Vec<Place>> {
            azimuths.map(|azimuth| offered.place(azimuth)).collect()
        };
        let stations = places(&mut stations.iter().copied())?;
        let samples = places(&mut (0..SAMPLES).map(|sample| turn(sample, SAMPLES)))?;
        let ridges = places(&mut offered.ridges_at().into_iter())?;
        (offered.stations, offered.samples, offered.ridges) = (stations, samples, ridges);
        Some(offered)
    }

    fn place(&self, azimuth: f64) -> Option<Place> {
        let t = match &self.cut {
            Cut::Coped => cut_at(&self.end, azimuth)?.t,
            Cut::Flat { rounded, .. } if *rounded == 0.0 => 0.0,
            Cut::Flat { cuts, rounded, touches } => {
                let lines = Lines::at_the_body(&self.end.frame, self.end.landing.as_ref());
                let gap = clearance(&self.end, &lines, cuts, azimuth) - touches;
                (rounded - gap).max(0.0)
            }
        };
        Some(Place { azimuth, t })
    }

    /// Where the ridges between flat cuts cross the wall, in radians.
    fn ridges_at(&self) -> Vec<f64> {
        let Cut::Flat { cuts, .. } = &self.cut else {
            return Vec::new();
        };
        let (bore, skin) = (self.end.tube.bore_radius(), self.end.tube.radius());
        let at = |y: f64, radius: f64| (y.abs() < radius).then(|| (y / radius).acos());
        let ridges = cuts.ridges().into_iter();
        ridges
            .flat_map(|y| [bore, 0.5 * (bore + skin), skin].map(|radius| at(y, radius)))
            .flatten()
            .flat_map(|azimuth| [azimuth, TAU - azimuth])
            .collect()
    }

    /// How far the end stands off what it meets at a place before it is pushed in, in millimetres along the tube. None where
    /// nothing is met there.
    fn off(&self, place: Place, meets: &Meets<'_>) -> Option<f64> {
        Some(match &self.cut {
            Cut::Coped => place.t - meets.t(place.azimuth)?,
            Cut::Flat { cuts, .. } => place.t + meets.clear_of(cuts, place.azimuth)?,
        })
    }

    /// The same at any azimuth in radians; infinite where nothing is met.
    fn off_at(&self, azimuth: f64, meets: &Meets<'_>) -> f64 {
        let off = self.place(azimuth).and_then(|place| self.off(place, meets));
        off.unwrap_or(f64::INFINITY)
    }

    /// t of the edge on the outer skin as it was cut, in millimetres, at an azimuth in radians. None where its wall misses the
    /// body that it was cut for.
    pub fn edge_t(&self, azimuth: f64) -> Option<f64> {
        let place = self.place(azimuth)?;
        Some(match &self.cut {
            Cut::Coped => place.t,
            Cut::Flat { cuts, .. } => place.t + cuts.t(self.end.tube.radius() * azimuth.cos()),
        })
    }

    /// How far the end stands off what it meets at the stations, in millimetres along the tube, before it is pushed in, and
    /// of all round the least. `met` is the end where it really is. None where nothing is met at a station.
    pub fn stands_off(&self, met: &End) -> Option<(Vec<f64>, f64)> {
        let meets = Meets::new(met);
        let off = |place: &Place| self.off(*place, &meets);
        let stations: Vec<f64> = self.stations.iter().map(off).collect::<Option<_>>()?;
        let known = |place: &Place| off(place).unwrap_or(f64::INFINITY);
        let round: Vec<f64> = self.samples.iter().map(known).collect();
        let single = stations.iter().copied().chain(self.ridges.iter().map(known));
        let least = single.fold(least_between(&round, &|azimuth| self.off_at(azimuth, &meets)), f64::min);
        least.is_finite().then_some((stations, least))
    }

    /// The gap at the stations after the first touch, in millimetres.
    pub fn gaps(&self, met: &End) -> Option<Vec<f64>> {
        let (off, least) = self.stands_off(met)?;
        Some(off.into_iter().map(|off| off - least).collect())
    }

    /// The largest gap all round after the first touch, roughly: to be made small.
    pub fn largest(&self, met: &End) -> Option<f64> {
        let [least, most] = self.extremes(met)?;
        Some(most - least)
    }

    /// How far the end stands off what it meets before it is pushed in, least and most, in millimetres along the tube, roughly.
    /// None where a part of its wall meets nothing.
    pub fn extremes(&self, met: &End) -> Option<[f64; 2]> {
        let meets = Meets::new(met);
        let off = |place: &Place| self.off(*place, &meets);
        let round: Vec<f64> = self.samples.iter().map(off).collect::<Option<_>>()?;
        let ridges: Vec<f64> = self.ridges.iter().map(off).collect::<Option<_>>()?;
        let upside_down: Vec<f64> = round.iter().map(|off| -off).collect();
        let least = least_between(&round, &|azimuth| self.off_at(azimuth, &meets));
        let most = -least_between(&upside_down, &|azimuth| -self.off_at(azimuth, &meets));
        let least = ridges.iter().copied().fold(least, f64::min);
        let most = ridges.iter().copied().fold(most, f64::max);
        Some([least, most])
    }

    /// How far the end can be pushed in until it touches when so much metal has come off, in millimetres along the tube at an
    /// azimuth in degrees, roughly. None where nothing is met.
    pub fn goes_in(&self, met: &End, comes_off: impl Fn(f64) -> f64) -> Option<f64> {
        let meets = Meets::new(met);
        let places = self.samples.iter().chain(&self.ridges);
        let off = |place: &Place| Some(self.off(*place, &meets)? + comes_off(place.azimuth.to_degrees()));
        places.filter_map(off).min_by(f64::total_cmp)
    }

    /// Which of the places that the end may be brought to, from `low` to `high`, leaves the least largest gap, and that gap, in
    /// millimetres. `met` is the end at each.
    pub fn least_gap(&self, met: impl Fn(f64) -> Option<End>, low: f64, high: f64) -> Option<(f64, f64)> {
        let smallness = |at: f64| met(at).and_then(|met| self.largest(&met)).map_or(f64::MIN, |gap| -gap);
        let step = (high - low) / TRIES as f64;
        let tries = (0..=TRIES).map(|number| low + step * number as f64);
        let near = tries.max_by(|a, b| smallness(*a).total_cmp(&smallness(*b)))?;
        let at = close_in(&smallness, (near - step).max(low), (near + step).min(high), CLOSE);
        Some((at, -smallness(at))).filter(|(_, gap)| *gap < f64::MAX)
    }

    /// The gap all round after the first touch. None where nothing is met.
    pub fn gap(&self, met: &End) -> Option<OfferedGap> {
        let meets = Meets::new(met);
        let off = |azimuth: f64| self.off(self.place(azimuth)?, &meets);
        let places: Vec<(f64, Option<f64>)> = (0..PLACES)
            .map(|place| turn(place, PLACES))
            .map(|at| (at, off(at)))
            .collect();
        let met: Vec<(f64, Option<f64>)> = places.iter().filter(|place| place.1.is_some()).copied().collect();
        let samples = Samples::new(met.iter().copied())?;
        let is_whole = met.len() == places.len();
        let extremum = |value: &dyn Fn(f64) -> Option<f64>, samples: &Samples| {
            if is_whole {
                return highest_beside(&value, samples);
            }
            met.iter()
                .filter_map(|(at, _)| Some((value(*at)?, *at)))
                .max_by(|a, b| a.0.total_cmp(&b.0))
        };
        let least = -extremum(&|azimuth| Some(-off(azimuth)?), &samples.upside_down())?.0;
        let (most, at) = extremum(&off, &samples)?;
        Some(OfferedGap {
            gaps: places
                .iter()
                .map(|(_, off)| off.map_or(f64::INFINITY, |off| (off - least).max(0.0)))
                .collect(),
            largest: most - least,
            at_deg: at.to_degrees(),
            moved_in: least,
        })
    }

    /// The gap of an end that isn't pushed in, but stands as `met` has it: the widest, and how deep its wall would reach into
    /// the body, 0 where it doesn't, in millimetres. None where a part of its wall meets nothing.
    pub fn as_it_stands(&self, met: &End) -> Option<(f64, f64)> {
        let gap = self.gap(met)?;
        let is_whole = gap.gaps.iter().all(|gap| gap.is_finite());
        is_whole.then(|| ((gap.moved_in + gap.largest).max(0.0), (-gap.moved_in).max(0.0)))
    }

    /// By how much what the end meets moves off it as one thing changes, from place to place: the most less the least, in
    /// millimetres. What is the same all round is pushed in. None where a part of its wall meets nothing.
    pub fn changes(&self, one: &End, other: &End) -> Option<f64> {
        let [one, other] = [one, other].map(Meets::new);
        let moved = |place: &Place| Some(self.off(*place, &one)? - self.off(*place, &other)?);
        let all: Vec<f64> = self.samples.iter().map(moved).collect::<Option<_>>()?;
        let (least, most) = all.iter().fold((f64::MAX, f64::MIN), |(least, most), by| {
            (least.min(*by), most.max(*by))
        });
        Some(most - least)
    }

    /// t of the edge at every quarter of a degree from 0, in millimetres, when metal has come off so that the tube can go in
    /// by `push_in` past the first touch at which its gap is `gap`: nothing where the gap is as large.
    pub fn ground(&self, gap: &OfferedGap, push_in: f64) -> Option<Vec<f64>> {
        let places = gap.gaps.iter().enumerate();
        places
            .map(|(place, gap)| Some(self.edge_t(turn(place, PLACES))? + (push_in - gap).max(0.0)))
            .collect()
    }
}

fn turn(place: usize, places: usize) -> f64 {
    TAU * place as f64 / places as f64
}

/// What an end's wall meets, even where a part of it passes beside.
struct Meets<'a> {
    end: &'a End,
    /// Each of the bodies for itself.
    bodies: Vec<MeetsOne<'a>>,
}

impl<'a> Meets<'a> {
    fn new(end: &'a End) -> Self {
        let of = |body: &'a dyn Body| MeetsOne {
            touch: end.touch,
            deciding: Deciding::to(end, body),
            lines: Lines::at_the_body(&end.frame, body),
        };
        Self {
            end,
            bodies: match end.landing.parts() {
                Some(parts) => parts.iter().map(|part| of(part.as_ref())).collect(),
                None => vec![of(end.landing.as_ref())],
            },
        }
    }

    /// Where the wall first meets a body at an azimuth; None where none of it does.
    fn t(&self, azimuth: f64) -> Option<f64> {
        let wall = self.end.tube.wall_line(azimuth);
        let met = self.bodies.iter().filter_map(|body| body.t(&wall));
        met.max_by(f64::total_cmp)
    }
}

impl Meets<'_> {
    /// How far a flat end stands off the nearest of the bodies at an azimuth, over the whole wall, in millimetres along the
    /// tube; None where none of it meets one.
    fn clear_of(&self, cuts: &FacetedEnd, azimuth: f64) -> Option<f64> {
        let off = self
            .bodies
            .iter()
            .map(|body| clearance(self.end, &body.lines, cuts, azimuth));
        off.filter(|off| off.is_finite()).min_by(f64::total_cmp)
    }
}

/// What a wall meets of one body.
struct MeetsOne<'a> {
    touch: Touch,
    deciding: Deciding<'a>,
    lines: Lines<'a>,
}

impl MeetsOne<'_> {
    fn t(&self, wall: &WallLine) -> Option<f64> {
        let whole = self.deciding.on(wall);
        let decided = whole.or_else(|| self.deciding.on(&self.what_meets(wall)?));
        decided.map(|decided| decided.t)
    }

    /// The part of the wall that meets the body, where one of its two skins does and the other passes beside.
    fn what_meets(&self, wall: &WallLine) -> Option<WallLine> {
        if self.touch != Touch::Wall {
            return None;
        }
        let rays = self.lines.through(wall);
        let meets = |radius: f64| rays.meet(radius).is_some();
        let (mut met, mut missed) = match (meets(wall.inner), meets(wall.outer)) {
            (true, false) => (wall.inner, wall.outer),
            (false, true) => (wall.outer, wall.inner),
            _ => return None,
        };
        for _ in 0..HALVINGS {
            let middle = 0.5 * (met + missed);
            *(if meets(middle) { &mut met } else { &mut missed }) = middle;
        }
        let (inner, outer) = if missed > met {
            (wall.inner, met)
        } else {
            (met, wall.outer)
        };
        Some(WallLine { inner, outer, ..*wall })
    }
}
