//! Tubes of jobs that stand otherwise than the job has them, moved by rigid motions of this file's own, and what is read of them.

#![allow(dead_code, unreachable_pub, reason = "shared by tests that each use a part")]

pub mod stand;

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use girthline::job::raw::{self, Word};
use girthline::job::resolve::{self, Resolved};
use girthline::job::{Assembly, BodyInSpace, End, EndRequest, Thing, read};
use girthline::plan::{self, Plan, TrialPlan};
use girthline::solver::cut_at;
use glam::{DAffine3, DVec3};

use crate::misfits::Chance;
use stand::{Stand, any_direction, stand};

/// How well gaps are read, in millimetres.
pub const WITHIN: f64 = 0.2;

/// The widest gap that can be welded, in millimetres.
pub const LIMIT: f64 = 0.8;

pub fn resolved(text: &str, end: &str, gaps: &str, within: f64) -> Resolved<EndRequest> {
    let job = read::read_job("job.json", text).unwrap_or_else(|problems| panic!("{text}\n{problems}"));
    let trial = raw::EndTrial {
        tube: Word::flag("--tube", "t"),
        end: Word::flag("--end", end),
        read: raw::Readings {
            gaps: Word::flag("--gaps", gaps),
            apart: Vec::new(),
            read_within: Some(Word::flag("--read-within", format!("{within}mm"))),
            gap: Some(Word::flag("--gap", format!("{LIMIT}mm"))),
        },
    };
    resolve::trial_of_job(&job, &trial, &job.sheet).unwrap_or_else(|problems| panic!("{text}\n{problems}"))
}

/// A tube that stands otherwise than its job has it.
pub struct Case {
    pub text: String,
    pub side: &'static str,
    pub end: End,
    /// Where it is, on what is there.
    pub real: End,
    pub things: Vec<Thing>,
    pub by: BTreeMap<&'static str, f64>,
}

impl Case {
    pub fn assembly(text: &str, side: &str) -> (Assembly, End) {
        let asked = resolved(text, side, "0,0,0,0", WITHIN).joint;
        let assembly = (*asked.assembly).clone();
        let mut pieces = assembly.pieces(&assembly.tubes[asked.tube]);
        let end = if side == "start" {
            pieces.swap_remove(0).near
        } else {
            pieces.swap_remove(0).far
        };
        (assembly, end)
    }

    /// None where the tube would miss what it lands on.
    pub fn invented(chance: &mut Chance, kind: &'static str, count: usize, side: &'static str) -> Option<Self> {
        let stand = stand(kind, chance);
        let (_, normal) = stand.site();
        // Some lean along the axis, some across it, some not at all.
        let lean_deg = [0.0, chance.within(5.0, 40.0)][chance.below(2)];
        let across = normal.cross(any_direction(chance)).normalize();
        let (lean_deg, towards) = match stand.axis {
            Some(axis) if kind == "node" => (chance.within(20.0, 45.0), axis),
            Some(axis) if chance.below(2) == 0 => (lean_deg, axis * chance.sign()),
            _ => (lean_deg, across),
        };
        let out = (normal + f64::to_radians(lean_deg).tan() * towards).normalize();
        let text = stand.with_tube(out, side);
        let job = read::read_job("job.json", &text).ok()?;
        resolve::job_file(&job, &job.sheet).ok()?;
        let (assembly, end) = Self::assembly(&text, side);
        Self::moved(chance, (&stand, text, side), (&assembly, end), count)
    }

    pub fn moved(
        chance: &mut Chance,
        (stand, text, side): (&Stand, String, &'static str),
        (assembly, end): (&Assembly, End),
        count: usize,
    ) -> Option<Self> {
        let body = assembly.bodies.iter().find(|body| body.name == "it")?;
        let mut things = match stand.kind {
            "plate" => vec![Thing::Angle, Thing::Sideways],
            "ball" | "head" => vec![Thing::Angle, Thing::Aside],
            _ => vec![Thing::Angle, Thing::Turned, Thing::Aside, Thing::Radius],
        };
        while things.len() > count {
            things.remove(chance.below(things.len()));
        }
        let ways = Ways::of(stand, body, &end);
        let (mut motion, mut grown) = (DAffine3::IDENTITY, 0.0);
        let mut by = BTreeMap::new();
        for thing in &things {
            let sign = chance.sign();
            let size = sign
                * match thing {
                    Thing::Angle | Thing::Sideways => chance.within(1.0, 4.0),
                    Thing::Turned => chance.within(2.0, 10.0),
                    Thing::Aside => chance.within(0.02, 0.06) * stand.od,
                    Thing::Radius => chance.within(0.03, 0.12) * body.radius_at(end.frame.origin)?,
                };
            by.insert(thing.word(), size);
            match ways.motion(*thing, size) {
                Some(one) => motion = one * motion,
                None => grown = size,
            }
        }
        let surface = body.surface.grown(grown);
        let landing = match assembly.bodies.iter().find(|body| body.name == "post") {
            Some(post) if stand.kind == "node" => {
                std::sync::Arc::new(girthline::body::Several::new(vec![surface, post.surface.clone()])) as _
            }
            _ => surface,
        };
        let real = End {
            frame: end.frame.brought(&motion),
            landing,
            ..end.clone()
        };
        let case = Self {
            text,
            side,
            end,
            real,
            things,
            by,
        };
        // Wider than the radius it would be another joint.
        let widest = case.gap(|_| 0.0)?.into_iter().fold(0.0, f64::max);
        (widest < 0.45 * stand.od).then_some(case)
    }

    /// The gap at every tenth of a degree to the right of the front with the cut end up; None where the tube misses.
    pub fn gap(&self, taken_off: impl Fn(f64) -> f64) -> Option<Vec<f64>> {
        let off = |place: usize| {
            let at = TAU * place as f64 / 3600.0;
            Some(cut_at(&self.end, at)?.t + taken_off(0.1 * place as f64) - cut_at(&self.real, at)?.t)
        };
        let off: Vec<f64> = (0..3600).map(off).collect::<Option<_>>()?;
        let least = off.iter().copied().fold(f64::MAX, f64::min);
        Some(off.into_iter().map(|off| off - least).collect())
    }

    pub fn solved(&self, stations: usize, within: f64, mut noise: impl FnMut(f64) -> f64) -> Plan {
        let gap = self.gap(|_| 0.0).expect("it meets");
        let touches = (0..3600)
            .step_by(10)
            .min_by(|a, b| gap[*a].total_cmp(&gap[*b]))
            .expect("a place");
        let mut places: Vec<usize> = (0..stations).map(|station| 3600 * station / stations).collect();
        places.push(touches);
        places.sort_unstable();
        places.dedup();
        let told = |place: &usize| {
            let gap = if *place == touches { 0.0 } else { noise(gap[*place]) };
            format!("{}deg {gap}", 0.1 * *place as f64)
        };
        let gaps: Vec<String> = places.iter().map(told).collect();
        let job = resolved(&self.text, self.side, &gaps.join(", "), within);
        plan::trial_of_job(&job).unwrap_or_else(|problems| panic!("{}: {problems}", self.text))
    }

    pub fn is_named(&self, found: &TrialPlan) -> bool {
        found.stray.is_none() && found.guess.things == self.things
    }
}

/// Which ways a tube can be off, as whoever holds it sees them.
pub struct Ways {
    /// The landing point, and out of the body along the tube.
    at: DVec3,
    out: DVec3,
    /// To the acute side, square to the tube, and to the right of that.
    acute: DVec3,
    right: DVec3,
}

impl Ways {
    pub fn of(stand: &Stand, body: &BodyInSpace, end: &End) -> Self {
        let (at, out) = (end.frame.origin, end.frame.axis);
        // What the angle is measured to: the axis, or the skin under the tube.
        let (along, round) = body.surface.place_of(at);
        let normal = body.surface.site(along, round).normal;
        let acute = match stand.axis {
            Some(axis) => axis * if axis.dot(out) < -1e-9 { -1.0 } else { 1.0 },
            None if out.cross(normal).length() > 1e-9 => out - out.dot(normal) * normal,
            None => body.axis(),
        };
        let acute = (acute - acute.dot(out) * out).normalize();
        // Whoever looks at the acute side with the cut end up has this to his right.
        let up = -out;
        let right = (-acute).cross(up);
        Self { at, out, acute, right }
    }

    /// None of a radius, which moves nothing.
    pub fn motion(&self, thing: Thing, by: f64) -> Option<DAffine3> {
        let about = |pole: DVec3| {
            DAffine3::from_translation(self.at)
                * DAffine3::from_axis_angle(pole, by.to_radians())
                * DAffine3::from_translation(-self.at)
        };
        Some(match thing {
            // Its far end away from the acute side where it is more.
            Thing::Angle => about(self.out.cross(-self.acute)),
            Thing::Sideways => about(self.out.cross(self.right)),
            // Its front to the right.
            Thing::Turned => about(self.acute.cross(self.right)),
            Thing::Aside => DAffine3::from_translation(by * self.right),
            Thing::Radius => return None,
        })
    }
}
