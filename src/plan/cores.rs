//! Work that several cores share.

use rayon::prelude::*;

/// Fewer things than this are done before another core has begun.
const FEW: usize = 4;

/// What two pieces of work make, at once.
pub(super) fn at_once<T: Send, U: Send>(one: impl FnOnce() -> T + Send, other: impl FnOnce() -> U + Send) -> (T, U) {
    rayon::join(one, other)
}

/// What is made of each of some things, in their order.
pub(super) fn on_all_cores<T: Sync, U: Send>(things: &[T], make: impl Fn(&T) -> U + Send + Sync) -> Vec<U> {
    if things.len() < FEW {
        things.iter().map(make).collect()
    } else {
        things.par_iter().map(make).collect()
    }
}
