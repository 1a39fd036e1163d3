//! Joints that are built otherwise than they were cut for, and what is read of them: random ones, the same every time.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

use std::f64::consts::TAU;

use girthline::job::resolve::{self, Resolved};
use girthline::job::{Misfit, Reading, Saddle, Thing, Trial, TrialOf, raw};
use girthline::plan::{self, Plan};
use girthline::solver::cut_at;

use crate::plain::leaning;

/// Random numbers: G. L. Steele, D. Lea, C. H. Flood, "Fast Splittable Pseudorandom Number Generators", OOPSLA 2014.
pub struct Chance(pub u64);

impl Chance {
    pub fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub fn below(&mut self, count: usize) -> usize {
        (self.share() * count as f64) as usize
    }

    pub fn sign(&mut self) -> f64 {
        if self.share() < 0.5 { -1.0 } else { 1.0 }
    }

    /// G. E. P. Box, M. E. Muller, Annals of Mathematical Statistics 29 (1958), 610-611.
    pub fn normal(&mut self) -> f64 {
        (-2.0 * (1.0 - self.share()).ln()).sqrt() * (TAU * self.share()).cos()
    }
}

/// A joint that was built otherwise than it was cut for.
pub struct Case {
    pub asked: Saddle,
    /// As it really stands: another joint.
    pub real: Saddle,
    pub misfit: Misfit,
    pub things: Vec<Thing>,
}

pub fn joint(od: f64, wall: f64, header: f64, angle_deg: f64, offset_mm: f64) -> Saddle {
    leaning((od, wall), header, angle_deg, offset_mm)
}

fn random_joint(chance: &mut Chance) -> Saddle {
    let od = chance.within(25.0, 120.0);
    let header = od / chance.within(0.3, 0.85);
    let wall = chance.within(1.0, 0.08 * od);
    let angle = [90.0, chance.within(40.0, 88.0)][chance.below(2)];
    let offset = [0.0, chance.within(-0.1, 0.1) * (header - od)][chance.below(2)];
    joint(od, wall, header, angle, offset)
}

impl Case {
    /// The joint with these things off; none where the tube would miss the header.
    pub fn new(asked: Saddle, off: &[(Thing, f64)]) -> Option<Self> {
        let mut real = asked.clone();
        for (thing, by) in off {
            match thing {
                Thing::Angle => real.angle_deg += by,
                Thing::Turned => real.turned_deg += by,
                Thing::Aside => real.offset_mm += by,
                Thing::Radius => real.header.od_mm += 2.0 * by,
                // On a header that is the same as aside.
                Thing::Sideways => return None,
            }
        }
        let fits = real.half_across() + real.offset_mm.abs() < 0.98 * real.landing_radius();
        fits.then(|| Self {
            asked,
            real,
            misfit: off
                .iter()
                .fold(Misfit::default(), |misfit, (thing, by)| misfit.with(*thing, *by)),
            things: off.iter().map(|(thing, _)| *thing).collect(),
        })
    }

    /// A random joint with so many things off by as much as happens in a shop.
    pub fn invented(chance: &mut Chance, count: usize) -> Self {
        loop {
            let asked = random_joint(chance);
            let mut things = vec![Thing::Angle, Thing::Turned, Thing::Aside, Thing::Radius];
            while things.len() > count {
                things.remove(chance.below(things.len()));
            }
            let mut size = |thing: &Thing| match thing {
                Thing::Angle | Thing::Sideways => chance.within(1.0, 4.0),
                Thing::Turned => chance.within(2.0, 10.0),
                Thing::Aside => chance.within(0.02, 0.06) * asked.branch.across_mm(),
                Thing::Radius => chance.within(0.03, 0.12) * asked.header.radius(),
            };
            let mut off: Vec<(Thing, f64)> = things.iter().map(|thing| (*thing, size(thing))).collect();
            off.iter_mut().for_each(|(_, size)| *size *= chance.sign());
            if let Some(case) = Self::new(asked, &off) {
                return case;
            }
        }
    }

    /// The gap along the tube at every tenth of a degree by the solver: the end as cut, less what is taken off at an azimuth
    /// in degrees, against the joint as it is.
    pub fn gap(&self, taken_off: impl Fn(f64) -> f64) -> Vec<f64> {
        let (cut, met) = (self.asked.end(), self.real.end());
        let off = |place: usize| {
            let at = TAU * place as f64 / 3600.0;
            cut_at(&cut, at).expect("a cut").t + taken_off(0.1 * place as f64) - cut_at(&met, at).expect("a seat").t
        };
        let off: Vec<f64> = (0..3600).map(off).collect();
        let least = off.iter().copied().fold(f64::MAX, f64::min);
        off.into_iter().map(|off| off - least).collect()
    }

    /// A trial fit with the gap at so many even stations and at the degree where it touches; `noise` is added to a gap.
    pub fn read(&self, stations: usize, within: f64, mut noise: impl FnMut(f64) -> f64) -> Trial {
        let gap = self.gap(|_| 0.0);
        let touches = (0..360).map(|degree| 10 * degree);
        let touches = touches.min_by(|a, b| gap[*a].total_cmp(&gap[*b])).expect("a place");
        let mut places: Vec<usize> = (0..stations).map(|station| 3600 * station / stations).collect();
        places.push(touches);
        places.sort_unstable();
        places.dedup();
        let read = |place: usize| Reading {
            azimuth_deg: 0.1 * place as f64,
            gap_mm: if place == touches { 0.0 } else { noise(gap[place]) },
        };
        Trial {
            readings: places.into_iter().map(read).collect(),
            of: TrialOf::Joint(Box::new(self.asked.clone())),
            offered: self.asked.offered_up(None),
            read_within_mm: within,
            gap_limit_mm: 0.8,
        }
    }

    /// The same read with errors of that size by the normal law, to a tenth of a millimetre.
    pub fn read_badly(&self, chance: &mut Chance, stations: usize, within: f64) -> Trial {
        self.read(stations, within, |gap| {
            ((gap + within * chance.normal()).max(0.0) * 10.0).round() / 10.0
        })
    }
}

pub fn solved(trial: Trial) -> Plan {
    let sheet = resolve::sheet(&raw::Sheet::default()).expect("sheets").sheet;
    let job = Resolved {
        joint: trial,
        sheet,
        questions: Vec::new(),
        warnings: Vec::new(),
        doubts: Vec::new(),
    };
    plan::trial(&job).expect("it is explained")
}
