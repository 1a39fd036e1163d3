//! Page contents to compressed streams, on every core while more pages are made: the same streams whatever the number of
//! cores.

use std::num::NonZero;
use std::panic::resume_unwind;
use std::sync::Arc;
use std::sync::mpsc::{SyncSender, sync_channel};
use std::thread::{self, JoinHandle};

use flate2::{Compress, Compression, FlushCompress, Status};
use lopdf::Stream;

use crate::problem::Problem;

/// One joint at level 6 takes a third longer for a twentieth of the size, 1,000 tubes a tenth for an eighth.
const LEVEL: Compression = Compression::new(2);
/// What is smaller than this, in bytes, wins next to nothing.
const SMALL: usize = 300;
/// What is put into streams together: its operations are large, and gone when the streams are there.
const TOGETHER: usize = 8;
/// Fewer things than these are done where they are: a worker takes a while to start. So are those of one sheet.
const SHARED: usize = 5;
/// So many lots wait for each worker, so that none is idle while a large page is drawn.
const WAITING: usize = 1;

type Made = Result<Vec<Stream>, Problem>;
type Maker<T> = dyn Fn(Vec<T>) -> Made + Send + Sync;

/// Takes things one by one and gives a stream for each, in order. What few things there are is done without workers.
pub(super) struct Streams<T> {
    maker: Arc<Maker<T>>,
    /// Less than a lot, or just one.
    next: Vec<T>,
    threads: Threads,
    workers: Vec<Worker<T>>,
    /// Lots that were dealt to the workers, to each in its turn.
    dealt: usize,
}

/// How many threads work beside the one that gives the work.
#[derive(Debug, Clone, Copy)]
pub(super) enum Threads {
    /// As many as the machine lets this program use; asked when there is work for them, since asking takes a while.
    AllCores,
    /// So many.
    Number(usize),
}

impl Threads {
    fn number(&mut self) -> usize {
        let number = match *self {
            Self::AllCores => thread::available_parallelism().map_or(1, NonZero::get),
            Self::Number(number) => number,
        };
        *self = Self::Number(number);
        number
    }
}

struct Worker<T> {
    lots: SyncSender<Vec<T>>,
    work: JoinHandle<Vec<Made>>,
}

impl<T: Send + 'static> Streams<T> {
    /// `maker` makes the streams of some things, not compressed.
    pub(super) fn new(threads: Threads, maker: impl Fn(Vec<T>) -> Made + Send + Sync + 'static) -> Self {
        Self {
            maker: Arc::new(maker),
            next: Vec::new(),
            threads,
            workers: Vec::new(),
            dealt: 0,
        }
    }

    /// Waits where things come faster than streams are made of them.
    pub(super) fn add(&mut self, thing: T) {
        if self.next.len() == TOGETHER {
            self.deal();
        }
        self.next.push(thing);
    }

    fn deal(&mut self) {
        let lot = std::mem::take(&mut self.next);
        let threads = self.threads.number();
        if self.workers.len() < threads {
            self.workers.push(Worker::new(Arc::clone(&self.maker)));
        }
        let worker = &self.workers[self.dealt % threads];
        // One that takes no more has panicked, which is told when it is joined.
        drop(worker.lots.send(lot));
        self.dealt += 1;
    }

    /// All streams.
    ///
    /// # Errors
    /// The first problem that the maker had, in the order of the things.
    pub(super) fn finish(mut self) -> Made {
        let (has_workers, rest) = (!self.workers.is_empty(), std::mem::take(&mut self.next));
        if !has_workers && rest.len() < SHARED {
            return Compressor::default().compressed((self.maker)(rest));
        }
        let lot = if has_workers { TOGETHER } else { 1 };
        for thing in rest {
            self.next.push(thing);
            if self.next.len() == lot {
                self.deal();
            }
        }
        if !self.next.is_empty() {
            self.deal();
        }
        let threads = self.threads.number();
        let mut made: Vec<_> = self.workers.into_iter().map(Worker::finish).collect();
        let mut streams = Vec::new();
        for lot in 0..self.dealt {
            let lot = made[lot % threads].next();
            streams.append(&mut lot.unwrap_or_else(|| Ok(Vec::new()))?);
        }
        Ok(streams)
    }
}

/// Compresses one stream after another; its tables, large ones, are made once.
pub(super) struct Compressor(Compress);

impl Default for Compressor {
    fn default() -> Self {
        Self(Compress::new(LEVEL, true))
    }
}

impl Compressor {
    fn compressed(&mut self, made: Made) -> Made {
        let mut streams = made?;
        streams.iter_mut().for_each(|stream| self.compress(stream));
        Ok(streams)
    }

    /// A stream without a filter; what can't be made smaller stays as it is.
    pub(super) fn compress(&mut self, stream: &mut Stream) {
        if stream.content.len() < SMALL {
            return;
        }
        if self.0.total_in() > 0 {
            self.0.reset();
        }
        // No more than this can be used: what doesn't fit isn't smaller.
        let mut smaller = Vec::with_capacity(stream.content.len());
        let done = self
            .0
            .compress_vec(&stream.content, &mut smaller, FlushCompress::Finish);
        if matches!(done, Ok(Status::StreamEnd)) {
            smaller.shrink_to_fit();
            stream.dict.set("Filter", "FlateDecode");
            stream.set_content(smaller);
        }
    }
}

impl<T: Send + 'static> Worker<T> {
    fn new(maker: Arc<Maker<T>>) -> Self {
        let (lots, waiting) = sync_channel::<Vec<T>>(WAITING);
        let work = thread::spawn(move || {
            let mut compressor = Compressor::default();
            let made = waiting.iter().map(|lot| compressor.compressed(maker(lot)));
            made.collect()
        });
        Self { lots, work }
    }

    /// What it made of its lots, in order.
    fn finish(self) -> std::vec::IntoIter<Made> {
        drop(self.lots);
        self.work
            .join()
            .unwrap_or_else(|panic| resume_unwind(panic))
            .into_iter()
    }
}

#[cfg(test)]
mod tests {
    use lopdf::Dictionary;

    use super::*;

    fn streams(count: usize, threads: usize) -> Vec<Stream> {
        let page = |page: usize| Stream::new(Dictionary::new(), format!("page {page} ").repeat(99).into_bytes());
        let mut streams = Streams::new(Threads::Number(threads), move |pages: Vec<usize>| {
            Ok(pages.into_iter().map(page).collect())
        });
        (0..count).for_each(|page| streams.add(page));
        streams.finish().unwrap_or_else(|problem| panic!("{problem}"))
    }

    #[test]
    fn streams_are_the_same_and_in_order_whatever_the_number_of_threads() {
        let alone = streams(155, 1);
        assert_eq!(alone.len(), 155);
        for (number, stream) in alone.iter().enumerate() {
            let plain = stream.decompressed_content().expect("a stream");
            assert!(plain.starts_with(format!("page {number} ").as_bytes()));
        }
        for threads in [2, 3, 16, 1000] {
            assert_eq!(streams(155, threads), alone);
        }
    }

    #[test]
    fn no_stream_is_lost_however_many_there_are() {
        for count in [
            0,
            1,
            TOGETHER - 1,
            TOGETHER,
            TOGETHER + 1,
            2 * TOGETHER,
            5 * TOGETHER + 1,
        ] {
            assert_eq!(streams(count, 3).len(), count);
        }
    }

    #[test]
    fn the_first_problem_is_told() {
        let mut streams = Streams::new(Threads::Number(2), |pages: Vec<usize>| {
            match pages.iter().find(|page| **page >= 20) {
                Some(page) => Err(Problem::output(format!("page {page}"))),
                None => Ok(Vec::new()),
            }
        });
        (0..99).for_each(|page| streams.add(page));
        let problem = streams.finish().expect_err("a problem");
        assert!(problem.to_string().contains("page 20"), "{problem}");
    }
}
