//! Which things can be told at all by the gaps of an end.

use crate::job::{Misfit, OfferedUp, Thing, Trial};
use crate::solver::Offered;

/// What a thing is changed by to see whether it tells, as a share of the most that it may be off.
const SHARE: f64 = 1.0 / 3.0;

/// Less than this from place to place nobody reads, in millimetres.
const NOTHING_MM: f64 = 0.01;

/// The same without the things that change no gap, by however much they are off: a tube that is turned square on a plate, or
/// stands aside on it, still fits.
pub(super) fn what_tells(asked: &Trial, offered: &Offered) -> Trial {
    let mut told = asked.clone();
    for thing in Thing::ALL {
        if !tells(&asked.offered, offered, thing) {
            told.offered.asked[thing as usize] = None;
        }
    }
    told
}

fn tells(up: &OfferedUp, offered: &Offered, thing: Thing) -> bool {
    let off = |by: f64| up.met(&Misfit::default().with(thing, by));
    let by = SHARE * *up.limits(thing).end();
    let Some(stands) = off(0.0) else { return true };
    let changes = [by, -by].map(|by| offered.changes(&off(by)?, &stands));
    // Where it would meet nothing it tells.
    changes.iter().any(|by| by.is_none_or(|by| by > NOTHING_MM))
}
