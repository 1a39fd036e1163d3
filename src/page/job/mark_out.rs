//! A vessel's mark-out for a screen at the vessel: a hole at a time.

use serde::Serialize;

use crate::layout::skin_map;
use crate::measure::Units;
use crate::output::skin_svg;
use crate::plan::{CompassHole, JobPlan, PlacedHole, Plan};
use crate::wording::{TapeMeasure, compass_measures, hole_number, tape_measures};

/// A hole, and what all of its body are known by.
#[derive(Debug, Serialize)]
pub(super) struct MarkOut {
    /// As on the mark-out sheet: `H1`.
    number: String,
    name: String,
    is_made: bool,
    measures: [Measure; 2],
    /// The skin with the hole on it; none of what can't be laid flat.
    svg: Option<String>,
    /// What each hole of the body is known by, in their order, as long as it is marked in the same place.
    holes: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Measure {
    figure: String,
    beside: String,
    words: String,
}

/// The holes of a body, in the order of its mark-out sheet; those in a ball or a head can't be laid flat.
enum Holes<'a> {
    Flat(Vec<&'a PlacedHole>),
    Round(Vec<&'a CompassHole>),
}

impl<'a> Holes<'a> {
    fn of(job: &'a JobPlan, body: &str) -> Self {
        let is_here = |hole: &&PlacedHole| job.assembly.bodies[hole.hole.body].name == body;
        let flat: Vec<&PlacedHole> = job.holes.iter().filter(is_here).collect();
        if flat.is_empty() {
            let round = job.compass_holes.iter().filter(|hole| hole.body[0] == body);
            return Self::Round(round.collect());
        }
        Self::Flat(flat)
    }

    fn count(&self) -> usize {
        match self {
            Self::Flat(holes) => holes.len(),
            Self::Round(holes) => holes.len(),
        }
    }

    fn name(&self, number: usize) -> String {
        match self {
            Self::Flat(holes) => holes[number].name(),
            Self::Round(holes) => format!("{} ({})", holes[number].tube, holes[number].end),
        }
    }

    fn measures(&self, number: usize, units: Units) -> [TapeMeasure; 2] {
        match self {
            Self::Flat(holes) => tape_measures(holes[number], units),
            Self::Round(holes) => compass_measures(holes[number], units),
        }
    }

    fn is_made(&self, number: usize) -> bool {
        match self {
            Self::Flat(holes) => holes[number].hole.is_made,
            Self::Round(holes) => holes[number].is_made,
        }
    }

    fn svg(&self, job: &JobPlan, number: usize) -> Option<String> {
        let Self::Flat(holes) = self else { return None };
        let hole = &holes[number].hole;
        let map = skin_map(job, hole.body, Some((hole.along_mm, hole.round)))?;
        Some(skin_svg(&format!("{} laid flat, seen from outside", map.body), &map))
    }
}

/// How many holes of a body there are to be marked.
pub(super) fn count(job: &JobPlan, body: &str) -> usize {
    Holes::of(job, body).count()
}

/// One of a body's holes, by its place in their order from 0; none where there is none.
pub(super) fn mark_out(plan: &Plan, body: &str, number: usize) -> Option<MarkOut> {
    let (job, units) = (plan.job()?, plan.sheet.units);
    let holes = Holes::of(job, body);
    if number >= holes.count() {
        return None;
    }
    let known_by = |number: usize| {
        let [along, round] = holes.measures(number, units);
        format!(
            "{}: {}, {} {}",
            holes.name(number),
            along.figure,
            round.figure,
            round.words
        )
    };
    let measure = |TapeMeasure { figure, beside, words }| Measure { figure, beside, words };
    Some(MarkOut {
        number: hole_number(number),
        name: holes.name(number),
        is_made: holes.is_made(number),
        measures: holes.measures(number, units).map(measure),
        svg: holes.svg(job, number),
        holes: (0..holes.count()).map(known_by).collect(),
    })
}
