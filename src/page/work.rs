//! The solving: two at a time, the newest question first, and none that nobody waits for any more.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use tokio::sync::oneshot;

use super::kept::Kept;
use super::refused::Refused;

/// As many are solved at once.
const AT_ONCE: usize = 2;
/// More than this wait for nothing: the oldest of them are told to try again.
const WAITING: usize = 128;

/// Where questions wait for their turn, and where the plans lie that were made last.
pub(super) struct Bench {
    queue: Mutex<Queue>,
    pub(super) kept: Kept,
}

struct Queue {
    free: usize,
    /// The newest last.
    waiting: Vec<oneshot::Sender<Turn>>,
}

/// The right to solve, given on when it is dropped.
struct Turn(Option<Arc<Bench>>);

/// Whether somebody still waits for the answer.
#[derive(Clone, Default)]
pub(super) struct Wanted(Arc<AtomicBool>);

impl Wanted {
    /// Asked between the steps of an answer.
    pub(super) fn is_over(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Says so when whoever waited has gone away.
struct Waiting(Wanted);

impl Drop for Waiting {
    fn drop(&mut self) {
        self.0.0.store(true, Ordering::Relaxed);
    }
}

impl Bench {
    pub(super) fn new() -> Arc<Self> {
        let queue = Queue {
            free: AT_ONCE,
            waiting: Vec::new(),
        };
        Arc::new(Self {
            queue: Mutex::new(queue),
            kept: Kept::default(),
        })
    }

    /// Does `work` in its turn, away from the thread that answers. Dropped before its turn, it is never done; dropped
    /// later, `work` is told and its result thrown away.
    ///
    /// # Errors
    /// Busy, or broken where it panicked.
    pub(super) async fn run<T: Send + 'static>(
        self: &Arc<Self>,
        work: impl FnOnce(&Wanted) -> T + Send + 'static,
    ) -> Result<T, Refused> {
        let turn = self.turn().await?;
        let wanted = Wanted::default();
        let _waiting = Waiting(wanted.clone());
        let done = tokio::task::spawn_blocking(move || {
            let _turn = turn;
            work(&wanted)
        });
        done.await.map_err(|_| Refused::Broken)
    }

    async fn turn(self: &Arc<Self>) -> Result<Turn, Refused> {
        let turn = {
            let mut queue = self.queue();
            if queue.free > 0 {
                queue.free -= 1;
                return Ok(Turn(Some(self.clone())));
            }
            queue.waiting.retain(|waiting| !waiting.is_closed());
            if queue.waiting.len() >= WAITING {
                queue.waiting.remove(0);
            }
            let (give, turn) = oneshot::channel();
            queue.waiting.push(give);
            turn
        };
        turn.await.map_err(|_| Refused::Busy)
    }

    /// Gives the turn to the newest that still waits.
    fn give_on(self: Arc<Self>) {
        loop {
            let next = {
                let mut queue = self.queue();
                let next = queue.waiting.pop();
                if next.is_none() {
                    queue.free += 1;
                }
                next
            };
            let Some(next) = next else { return };
            match next.send(Turn(Some(self.clone()))) {
                Ok(()) => return,
                // It has gone away; the turn is given on here, not by its own drop.
                Err(mut turn) => turn.0 = None,
            }
        }
    }

    fn queue(&self) -> MutexGuard<'_, Queue> {
        // Nothing is done under the lock that could leave it half done.
        self.queue.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        if let Some(bench) = self.0.take() {
            bench.give_on();
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc;
    use std::time::Duration;

    use super::*;

    fn runtime() -> tokio::runtime::Runtime {
        let mut builder = tokio::runtime::Builder::new_current_thread();
        builder.enable_all().build().expect("a runtime")
    }

    #[test]
    fn a_panic_is_told_as_broken_and_gives_its_turn_on() {
        runtime().block_on(async {
            let bench = Bench::new();
            for _ in 0..2 * AT_ONCE {
                let broken = bench.run(|_| -> () { panic!("as a test") }).await;
                assert!(matches!(broken, Err(Refused::Broken)));
            }
            assert_eq!(bench.run(|_| 7).await.ok(), Some(7));
        });
    }

    /// Both turns are held until `go` is dropped, one until something is sent.
    fn hold(bench: &Arc<Bench>) -> mpsc::SyncSender<()> {
        let (go, wait) = mpsc::sync_channel::<()>(0);
        let wait = Arc::new(Mutex::new(wait));
        for _ in 0..AT_ONCE {
            let (bench, wait) = (bench.clone(), wait.clone());
            tokio::spawn(async move {
                let held = bench.run(move |_| {
                    let _ = wait.lock().map(|wait| wait.recv());
                });
                held.await.map_err(|_| "held").expect("held");
            });
        }
        go
    }

    #[test]
    fn the_newest_goes_first_and_what_was_dropped_is_never_done() {
        runtime().block_on(async {
            let bench = Bench::new();
            let go = hold(&bench);
            tokio::time::sleep(Duration::from_millis(20)).await;
            let (tell, told) = mpsc::channel();
            let mut asked = Vec::new();
            for number in 0..4 {
                let (bench, tell) = (bench.clone(), tell.clone());
                asked.push(tokio::spawn(async move {
                    let _ = bench.run(move |_| tell.send(number)).await;
                }));
                tokio::task::yield_now().await;
            }
            asked[2].abort();
            tokio::task::yield_now().await;
            drop(tell);
            // One turn ends, the other is held: of two that are done at once the order is open.
            go.send(()).expect("a turn is held");
            for asked in asked {
                let _ = asked.await;
            }
            assert_eq!(told.iter().collect::<Vec<i32>>(), [3, 1, 0]);
            drop(go);
        });
    }

    #[test]
    fn too_many_are_told_to_try_again_the_oldest_first() {
        runtime().block_on(async {
            let bench = Bench::new();
            let go = hold(&bench);
            tokio::time::sleep(Duration::from_millis(20)).await;
            let mut asked = Vec::new();
            for _ in 0..=WAITING {
                let bench = bench.clone();
                asked.push(tokio::spawn(async move { bench.run(|_| ()).await }));
                tokio::task::yield_now().await;
            }
            drop(go);
            for (number, asked) in asked.into_iter().enumerate() {
                let result = asked.await.expect("it ends");
                assert_eq!(matches!(result, Err(Refused::Busy)), number == 0, "{number}");
            }
        });
    }

    #[test]
    fn work_is_told_when_nobody_waits_for_it_any_more() {
        runtime().block_on(async {
            let bench = Bench::new();
            let (tell, told) = mpsc::channel();
            let asked = tokio::spawn(async move {
                let work = bench.run(move |wanted| {
                    while !wanted.is_over() {
                        std::thread::sleep(Duration::from_millis(1));
                    }
                    tell.send(())
                });
                let _ = work.await;
            });
            tokio::time::sleep(Duration::from_millis(20)).await;
            asked.abort();
            let _ = asked.await;
            assert!(told.recv_timeout(Duration::from_secs(5)).is_ok());
        });
    }
}
