//! What becomes of a tube's other end: it is one piece with the end that is offered up.

use super::allowed::Allowed;
use crate::job::{End, EndOfJob, Frame, Misfit, Trial, TrialOf};
use crate::solver::Offered;

/// The other end after the tube was moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OtherEnd {
    /// How far it moves along the tube, away from the end that is offered up, in millimetres.
    pub along_mm: f64,
    /// It moves no more and no less than by so much of that.
    pub along_within_mm: f64,
    /// How far it moves square to the tube, in millimetres.
    pub aside_mm: f64,
    /// Likewise.
    pub aside_within_mm: f64,
    /// How it then stands on what it lands on; none where it lands on nothing that gaps could be read to.
    pub stands: Option<Stands>,
}

/// How an end stands on a body without being pushed against it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stands {
    /// The widest gap, in millimetres; none where a part of its wall would miss the body.
    pub largest_gap_mm: Option<f64>,
    /// Within so much of that; infinite where a part of its wall may miss the body.
    pub gap_within_mm: f64,
    /// How deep its wall would reach into the body along the tube, in millimetres; 0 where it doesn't.
    pub overlap_mm: f64,
    /// Within so much of that, likewise.
    pub overlap_within_mm: f64,
    /// Whether the gap is within the limit, and nothing overlaps by more than gaps were read within.
    pub is_within: bool,
    /// Whether that holds for all that the readings leave in doubt.
    pub is_sure: bool,
}

/// The other end of a tube as it was asked for, so that it can be moved.
pub(super) struct Other<'a> {
    asked: &'a Trial,
    /// As the job has it.
    frame: Frame,
    /// Where it can be offered up too: as it was cut, and what it meets.
    lands: Option<(Offered, End)>,
}

impl<'a> Other<'a> {
    /// None of a joint, whose branch may have any other end.
    pub(super) fn of(asked: &'a Trial) -> Option<Self> {
        let TrialOf::End(end) = &asked.of else { return None };
        let EndOfJob { piece, side, .. } = &**end;
        Some(Self {
            asked,
            frame: piece.end(1 - side).frame,
            lands: lands(end),
        })
    }

    /// Where the end that is offered up stands with these things off, `in_mm` past where it was asked to be.
    fn stands(&self, misfit: &Misfit, in_mm: f64) -> Option<Frame> {
        Some(self.asked.offered.met(misfit)?.frame.pushed(-in_mm))
    }

    /// Where it is then, of a tube that stands with these things off and so far in.
    fn brought(&self, (misfit, in_mm): (&Misfit, f64)) -> Option<Frame> {
        let way = self.asked.offered.end.frame.way_to(&self.stands(misfit, in_mm)?);
        Some(self.frame.brought(&way))
    }

    /// How far it moves along the tube and aside, and where it is then.
    fn way(&self, from: (&Misfit, f64), to: (&Misfit, f64)) -> Option<([f64; 2], Frame)> {
        let (before, after) = (self.brought(from)?, self.brought(to)?);
        let by = after.origin - before.origin;
        // Its own axis leads back to the end that is offered up.
        let along = -by.dot(before.axis);
        Some(([along, (by + along * before.axis).length()], after))
    }

    /// From where the tube stands, with these things off and so far in, to where it is brought; `either` is the same of
    /// whatever else may be off, which `allowed` tells.
    pub(super) fn moved(
        &self,
        from: (&Misfit, f64),
        to: (&Misfit, f64),
        allowed: &Allowed,
        either: impl Fn(&Misfit) -> Option<[(Misfit, f64); 2]>,
    ) -> Option<OtherEnd> {
        let ([along_mm, aside_mm], after) = self.way(from, to)?;
        let figures = |misfit: &Misfit| {
            let [from, to] = either(misfit)?;
            let ([along, aside], after) = self.way((&from.0, from.1), (&to.0, to.1))?;
            let [gap, overlap] = self.roughly(after);
            Some([along, aside, gap, overlap])
        };
        let [along, aside, gap, overlap] = allowed.ranges(figures)?;
        Some(OtherEnd {
            along_mm,
            along_within_mm: along,
            aside_mm,
            aside_within_mm: aside,
            stands: self
                .lands
                .as_ref()
                .map(|lands| self.stands_on(lands, after, [gap, overlap])),
        })
    }

    /// The widest gap, infinite where a part of its wall misses, and how deep it reaches in, in millimetres, roughly.
    fn roughly(&self, frame: Frame) -> [f64; 2] {
        let extremes = self.lands.as_ref().and_then(|(offered, meets)| {
            let met = End { frame, ..meets.clone() };
            offered.extremes(&met)
        });
        extremes.map_or([f64::INFINITY, 0.0], |[least, most]| [most.max(0.0), (-least).max(0.0)])
    }

    fn stands_on(&self, (offered, meets): &(Offered, End), frame: Frame, within: [f64; 2]) -> Stands {
        let met = End { frame, ..meets.clone() };
        let (largest_gap_mm, overlap_mm) = offered.as_it_stands(&met).unzip();
        let overlap_mm = overlap_mm.unwrap_or(0.0);
        let fits = |sign: f64| {
            let is_close = largest_gap_mm.is_some_and(|gap| gap + sign * within[0] <= self.asked.gap_limit_mm);
            is_close && overlap_mm + sign * within[1] <= self.asked.read_within_mm
        };
        let is_within = fits(0.0);
        Stands {
            largest_gap_mm,
            gap_within_mm: within[0],
            overlap_mm,
            overlap_within_mm: within[1],
            is_within,
            is_sure: is_within == fits(if is_within { 1.0 } else { -1.0 }),
        }
    }
}

/// What the other end lands on, where it is the tube's other end and not a corner.
fn lands(end: &EndOfJob) -> Option<(Offered, End)> {
    if end.tube().nodes.len() > 2 {
        return None;
    }
    let (_, other) = end.assembly.offered_up(end.tube(), 1 - end.side)?;
    let offered = Offered::new(&other.end, &[])?;
    Some((offered, other.met(&Misfit::default())?))
}
