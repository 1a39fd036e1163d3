//! What becomes of a tube's other end: it is one piece with the end that is offered up.

use crate::job::{End, EndOfJob, Frame, Misfit, Trial, TrialOf};
use crate::solver::Offered;

/// The other end after the tube was moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OtherEnd {
    /// How far it moves along the tube, away from the end that is offered up, in millimetres.
    pub along_mm: f64,
    /// How far it moves square to the tube, in millimetres.
    pub aside_mm: f64,
    /// How it then stands on what it lands on; none where it lands on nothing that gaps could be read to.
    pub stands: Option<Stands>,
}

/// How an end stands on a body without being pushed against it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stands {
    /// The widest gap, in millimetres; none where a part of its wall would miss the body.
    pub largest_gap_mm: Option<f64>,
    /// How deep its wall would reach into the body along the tube, in millimetres; 0 where it doesn't.
    pub overlap_mm: f64,
    /// Whether the gap is within the limit, and nothing overlaps by more than gaps were read within.
    pub is_within: bool,
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

    /// From where the tube stands, with these things off and so far in, to where it is brought.
    pub(super) fn moved(&self, from: (&Misfit, f64), to: (&Misfit, f64)) -> Option<OtherEnd> {
        let asked = self.asked.offered.end.frame;
        let brought = |(misfit, in_mm): (&Misfit, f64)| {
            let way = asked.way_to(&self.stands(misfit, in_mm)?);
            Some(self.frame.brought(&way))
        };
        let (before, after) = (brought(from)?, brought(to)?);
        let by = after.origin - before.origin;
        // Its own axis leads back to the end that is offered up.
        let along_mm = -by.dot(before.axis);
        Some(OtherEnd {
            along_mm,
            aside_mm: (by + along_mm * before.axis).length(),
            stands: self.lands.as_ref().map(|lands| self.stands_on(lands, after)),
        })
    }

    fn stands_on(&self, (offered, meets): &(Offered, End), frame: Frame) -> Stands {
        let met = End { frame, ..meets.clone() };
        let (largest_gap_mm, overlap_mm) = offered.as_it_stands(&met).unzip();
        let overlap_mm = overlap_mm.unwrap_or(0.0);
        let is_close = largest_gap_mm.is_some_and(|gap| gap <= self.asked.gap_limit_mm);
        Stands {
            largest_gap_mm,
            overlap_mm,
            is_within: is_close && overlap_mm <= self.asked.read_within_mm,
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
