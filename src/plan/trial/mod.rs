//! What is known of a trial fit: what is off, what closes it, what to grind.

mod allowed;
mod end_of_job;
mod explain;
mod grind;
mod guess;
mod least_squares;
mod other_end;
mod put_right;
mod told;

use std::f64::consts::TAU;

pub use end_of_job::trial_of_job;
pub use explain::Stray;
pub use grind::Grind;
pub use guess::Guess;
pub use other_end::{OtherEnd, Stands};
pub use put_right::PutRight;

use super::end::PlannedEnd;
use super::saddle::{NAME, SEAM_DEG};
use super::{Plan, Planned};
use crate::job::resolve::Resolved;
use crate::job::{Misfit, OfferedUp, Thing, Touch, Trial};
use crate::problem::{Problem, Problems};
use crate::solver::{FacetedEnd, Offered, OfferedGap, Recipe};
use allowed::Allowed;
use explain::{Explained, explain, with_one_more};
use grind::Doubt;
use other_end::Other;
use put_right::ways_to_put_right;
use told::what_tells;

/// The name of the grinding strip's panel.
const STRIP: &str = "grinding strip";

/// A trial fit, explained.
pub struct TrialPlan {
    /// What was asked.
    pub asked: Trial,
    /// The end as it was cut.
    pub end: PlannedEnd,
    /// What is off, or of a cut that strays what is nearest to that.
    pub guess: Guess,
    /// Other guesses that explain the readings as well, the best of them first.
    pub others: Vec<Guess>,
    /// What flat cuts leave by themselves; of an end that was cut flat.
    pub flat: Option<FlatEnd>,
    /// Which reading would decide between them.
    pub deciding: Option<Deciding>,
    /// Where the cut itself strays, where nothing explains the readings.
    pub stray: Option<Stray>,
    /// The gap all round by the guess, at every degree from 0 to 360, in millimetres; of a cut that strays, as it was read.
    pub gap_mm: Vec<f64>,
    /// The same beyond what the end was cut to leave, in millimetres: a root gap, or what the handbook's line leaves. What
    /// closes it and what to grind are told of this.
    pub beyond_mm: Vec<f64>,
    /// Whether it was cut to leave a gap.
    pub leaves_a_gap: bool,
    /// How far the tube is in from where it was asked to be, in millimetres; below 0 it stands out.
    pub is_in_mm: f64,
    /// How far it goes in from its first touch when what is to be ground is off, in millimetres; below 0 it is drawn back, to leave
    /// the gap that it was cut to leave.
    pub goes_in_mm: f64,
    /// What closes it, or most of it, without grinding.
    pub ways: Vec<PutRight>,
    /// What to grind.
    pub grind: Grind,
    /// What becomes of the tube's other end when that is ground off and the tube pushed in; of a job.
    pub other_end: Option<OtherEnd>,
}

/// An end that was cut flat, against what it was cut for.
#[derive(Debug, Clone, PartialEq)]
pub struct FlatEnd {
    /// How it was sawn.
    pub recipe: Recipe,
    /// The end that this makes.
    pub cuts: FacetedEnd,
    /// The widest gap that it leaves with nothing off, in millimetres.
    pub leaves_mm: f64,
    /// Where, in degrees.
    pub at_deg: f64,
    /// How far in it stands then, in millimetres.
    pub is_in_mm: f64,
}

/// The reading at which guesses differ most.
#[derive(Debug, Clone, PartialEq)]
pub struct Deciding {
    /// From the front to the right with the cut end up, in degrees.
    pub azimuth_deg: f64,
    /// The gap there by each guess, the best one's first, in millimetres.
    pub gaps_mm: Vec<f64>,
    /// Whether readings as good as these tell them apart there.
    pub is_told: bool,
}

impl TrialPlan {
    fn new(asked: &Trial, end: PlannedEnd) -> Option<Self> {
        let stations: Vec<f64> = asked
            .readings
            .iter()
            .map(|reading| reading.azimuth_deg.to_radians())
            .collect();
        let (offered, flat) = as_cut(&asked.offered, &stations)?;
        let asked = &what_tells(asked, &offered);
        let (guess, others, stray) = match explain(asked, &offered)? {
            Explained::By(guess, others) => (guess, others, None),
            Explained::Nothing(guess, stray) => (guess, Vec::new(), Some(stray)),
        };
        let gap_of = |offered: &Offered, guess: &Guess| offered.gap(&asked.offered.met(&guess.misfit)?);
        let explained = gap_of(&offered, &guess)?;
        let other_gaps: Vec<OfferedGap> = others
            .iter()
            .map(|other| gap_of(&offered, other))
            .collect::<Option<_>>()?;
        let one_more = with_one_more(asked, &offered, &guess);
        let without_gap = without_gap(&asked.offered, &stations)?;
        let leaves_a_gap = without_gap.is_some();
        let closing = without_gap.as_ref().unwrap_or(&offered);
        let beyond = gap_of(closing, &guess)?;
        let possible: Vec<(&Guess, OfferedGap)> = one_more
            .iter()
            .chain(&others)
            .filter_map(|guess| Some((guess, gap_of(closing, guess)?)))
            .collect();
        let doubt = Doubt::new(asked, closing, &guess, &beyond, &possible, stray.is_some())?;
        let [explained_or_read, gap] = [&explained, &beyond].map(|gap| match &stray {
            Some(_) => as_read(asked, &guess, &explained, gap),
            None => gap.clone(),
        });
        let other = Other::of(asked);
        let grind = Grind::new(asked, &offered, &gap, &doubt, &end)?;
        let allowed = Allowed::new(&guess, one_more.iter().chain(&others));
        Some(Self {
            other_end: other.as_ref().and_then(|other| {
                let stands = (&guess.misfit, gap.moved_in);
                let ground = (&guess.misfit, gap.moved_in + grind.moves_in_mm);
                other.moved(stands, ground, &allowed, |misfit| {
                    let met = asked.offered.met(misfit)?;
                    let stands = closing.goes_in(&met, |_| 0.0)?;
                    let ground = closing.goes_in(&met, |degrees| grind.depth_mm(degrees))?;
                    Some([(*misfit, stands), (*misfit, ground)])
                })
            }),
            deciding: deciding(asked, &explained, &other_gaps),
            gap_mm: every_degree(|degree| explained_or_read.at(degree).min(explained_or_read.largest)),
            beyond_mm: every_degree(|degree| gap.at(degree).min(gap.largest)),
            leaves_a_gap,
            is_in_mm: explained.moved_in,
            goes_in_mm: gap.moved_in + grind.moves_in_mm - explained_or_read.moved_in,
            ways: if stray.is_some() {
                Vec::new()
            } else {
                ways_to_put_right(
                    asked,
                    closing,
                    (&guess, &beyond),
                    other.as_ref().map(|other| (other, &allowed)),
                )
            },
            grind,
            asked: asked.clone(),
            end,
            guess,
            others,
            stray,
            flat,
        })
    }

    /// The gap at a reading by the guess, in millimetres.
    pub fn explained_mm(&self, reading: usize) -> f64 {
        self.guess.gaps_mm[reading]
    }

    /// What the guess leaves of the readings: the most, in millimetres, and at which reading.
    pub fn unexplained(&self) -> (f64, usize) {
        let off = |reading: usize| (self.asked.readings[reading].gap_mm - self.explained_mm(reading)).abs();
        let all = 0..self.asked.readings.len();
        all.map(|reading| (off(reading), reading))
            .fold((0.0, 0), |most, next| if next.0 > most.0 { next } else { most })
    }

    /// What a guess makes of a thing that is off: what was asked for, and what is, in its own unit.
    pub fn asked_and_is(&self, guess: &Guess, thing: Thing) -> [f64; 2] {
        let asked = self.asked.offered.asked(thing).unwrap_or(0.0);
        [asked, asked + guess.misfit.of(thing)]
    }
}

/// The end as it was cut, and what it leaves where that was flat.
fn as_cut(up: &OfferedUp, stations: &[f64]) -> Option<(Offered, Option<FlatEnd>)> {
    let Some(flat) = &up.flat else {
        return Some((Offered::new(&up.end, stations)?, None));
    };
    let recipe = Recipe::sawn(flat);
    let angle = up.asked(Thing::Angle)?.to_radians();
    let cuts = recipe.end(up.end.tube.radius(), angle);
    let offered = Offered::cut_flat(&up.end, cuts.clone(), flat.rounded_mm, stations)?;
    let leaves = offered.gap(&up.met(&Misfit::default())?)?;
    let flat = FlatEnd {
        recipe,
        cuts,
        leaves_mm: leaves.largest,
        at_deg: leaves.at_deg,
        is_in_mm: leaves.moved_in,
    };
    Some((offered, Some(flat)))
}

/// A value for every degree from 0 to 360.
fn every_degree(value: impl Fn(f64) -> f64) -> Vec<f64> {
    (0..=360).map(|degree| value(f64::from(degree))).collect()
}

/// The end as it would be had it been cut to close all round where it was asked to stand; none where it was.
fn without_gap(up: &OfferedUp, stations: &[f64]) -> Option<Option<Offered>> {
    let is_cut_to_close = up.end.root_gap_mm == 0.0 && up.end.touch != Touch::Inside;
    if is_cut_to_close || up.flat.is_some() {
        return Some(None);
    }
    Offered::new(&up.met(&Misfit::default())?, stations).map(Some)
}

/// A gap with what the guess leaves of the readings, which it explains by `explained`; between them that is taken as even.
fn as_read(asked: &Trial, guess: &Guess, explained: &OfferedGap, gap: &OfferedGap) -> OfferedGap {
    let readings = &asked.readings;
    let left = |index: usize| readings[index].gap_mm - explained.at(readings[index].azimuth_deg);
    debug_assert!(guess.gaps_mm.len() == readings.len());
    let held_off = guess.gaps_mm[0] - explained.at(readings[0].azimuth_deg);
    let between = |degrees: f64| {
        let count = readings.len();
        let after = readings.partition_point(|reading| reading.azimuth_deg <= degrees) % count;
        let before = (after + count - 1) % count;
        let [from, to] = [before, after].map(|index| readings[index].azimuth_deg);
        let share = (degrees - from).rem_euclid(360.0) / (to - from).rem_euclid(360.0);
        left(before) + share * (left(after) - left(before))
    };
    let degrees = |place: usize| 360.0 * place as f64 / gap.gaps.len() as f64;
    let gaps = gap.gaps.iter().enumerate();
    let gaps: Vec<f64> = gaps.map(|(place, gap)| gap + between(degrees(place))).collect();
    let (least, most) = gaps
        .iter()
        .filter(|gap| gap.is_finite())
        .fold((f64::MAX, f64::MIN), |(low, high), gap| (low.min(*gap), high.max(*gap)));
    let at = gaps.iter().position(|gap| *gap == most).unwrap_or(0);
    OfferedGap {
        gaps: gaps.iter().map(|gap| gap - least).collect(),
        largest: most - least,
        at_deg: degrees(at),
        // Metal that stands out holds the tube off.
        moved_in: gap.moved_in - held_off,
    }
}

/// So many times as far apart as readings are good, two gaps are told apart.
const TOLD_APART: f64 = 3.0;

/// Where the best guess differs most from the others, from that one which is nearest to it there.
fn deciding(asked: &Trial, best: &OfferedGap, others: &[OfferedGap]) -> Option<Deciding> {
    if others.is_empty() {
        return None;
    }
    let apart = |degree: f64| {
        others
            .iter()
            .map(|other| (other.at(degree) - best.at(degree)).abs())
            .fold(f64::MAX, f64::min)
    };
    let degrees = (0..360).map(f64::from).filter(|degree| apart(*degree).is_finite());
    let azimuth_deg = degrees.max_by(|a, b| apart(*a).total_cmp(&apart(*b)))?;
    Some(Deciding {
        azimuth_deg,
        gaps_mm: std::iter::once(best)
            .chain(others)
            .map(|gap| gap.at(azimuth_deg))
            .collect(),
        is_told: apart(azimuth_deg) >= TOLD_APART * asked.read_within_mm,
    })
}

/// Explains the readings.
///
/// # Errors
/// Where a part of the tube misses the header that it was cut for, or the readings are at places where nothing can be met.
pub fn trial(job: &Resolved<Trial>) -> Result<Plan, Problems> {
    job.asking(solved(job))
}

fn solved(job: &Resolved<Trial>) -> Result<Plan, Problem> {
    let end = PlannedEnd::solve(NAME, job.joint.offered.end.clone(), &job.sheet, SEAM_DEG, false)?;
    let end = PlannedEnd {
        pattern: STRIP.to_owned(),
        ..end
    };
    let plan = TrialPlan::new(&job.joint, end).ok_or_else(|| {
        Problem::new("a part of the tube's wall passes beside the header")
            .help("use a narrower tube or a wider header, or bring their axes nearer")
    })?;
    Ok(Plan {
        pieces: Vec::new(),
        of: Planned::Trial(Box::new(plan)),
        sheet: job.sheet.clone(),
        questions: job.questions.clone(),
        warnings: job.warnings.clone(),
    })
}

/// Radians of a place of `places` round a turn.
fn turn(place: usize, places: usize) -> f64 {
    TAU * place as f64 / places as f64
}
