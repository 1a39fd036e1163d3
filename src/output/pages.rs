//! Page contents to compressed streams, some pages at a time on every core: the same streams whatever the number of cores.

use std::num::NonZero;
use std::panic::resume_unwind;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use lopdf::Stream;

use crate::problem::Problem;

/// Pages that are put into streams together: their operations are large, and gone when the streams are there.
const TOGETHER: usize = 24;

/// The streams of pages 0 to `count`, in order, each compressed. `streams_of` gives those of some of them.
///
/// # Errors
/// The first problem that `streams_of` has, in the order of the pages.
pub(super) fn compressed(
    count: usize,
    threads: usize,
    streams_of: impl Fn(std::ops::Range<usize>) -> Result<Vec<Stream>, Problem> + Sync,
) -> Result<Vec<Stream>, Problem> {
    let parts = count.div_ceil(TOGETHER);
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let part = next.fetch_add(1, Ordering::Relaxed);
            if part >= parts {
                return done;
            }
            let streams = streams_of(part * TOGETHER..count.min((part + 1) * TOGETHER)).map(|mut streams| {
                // What can't be made smaller stays as it is.
                streams.iter_mut().for_each(|stream| drop(stream.compress()));
                streams
            });
            done.push((part, streams));
        }
    };
    let mut done = thread::scope(|scope| {
        let others: Vec<_> = (1..threads.min(parts)).map(|_| scope.spawn(work)).collect();
        let mut done = work();
        for other in others {
            done.extend(other.join().unwrap_or_else(|panic| resume_unwind(panic)));
        }
        done
    });
    done.sort_by_key(|(part, _)| *part);
    let parts: Result<Vec<Vec<Stream>>, Problem> = done.into_iter().map(|(_, streams)| streams).collect();
    Ok(parts?.into_iter().flatten().collect())
}

/// As many as the machine lets this program use.
pub(super) fn cores() -> usize {
    thread::available_parallelism().map_or(1, NonZero::get)
}

#[cfg(test)]
mod tests {
    use lopdf::Dictionary;

    use super::*;

    #[test]
    fn streams_are_the_same_and_in_order_whatever_the_number_of_threads() {
        let page = |page: usize| Stream::new(Dictionary::new(), format!("page {page} ").repeat(99).into_bytes());
        let streams = |threads: usize| {
            compressed(155, threads, |pages| Ok(pages.map(page).collect()))
                .unwrap_or_else(|problem| panic!("{problem}"))
        };
        let alone = streams(1);
        assert_eq!(alone.len(), 155);
        for (number, stream) in alone.iter().enumerate() {
            let plain = stream.decompressed_content().expect("a stream");
            assert!(plain.starts_with(format!("page {number} ").as_bytes()));
        }
        for threads in [2, 3, 16, 1000] {
            assert_eq!(streams(threads), alone);
        }
    }
}
