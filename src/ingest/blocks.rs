//! Rows in blocks, on all threads at once: a thread takes the next block from the reader, makes something of
//! it by itself, and hands it over in its turn.
//!
//! Owns which thread does what. One thread reads at a time, and one takes what was made at a time, in the
//! order of the rows; in between each works alone. It changes nothing of what is read: the same rows, the
//! same errors, in the same order, with any number of threads.

use std::collections::BTreeMap;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

use super::{IngestError, Row, Rows};

/// Rows of a block: enough to make the hand-over cheap, few enough to stay in the cache.
const ROWS: usize = 256;

/// A block of long rows ends when it holds so many bytes.
const BYTES: usize = 256 * 1024;

/// When so many blocks a thread wait for one before them, no thread reads on until it comes.
const MOST_WAITING: usize = 8;

/// Reads the rows that are left. Each thread begins with `worker`, and asks what that gives of each block
/// that it read; `take` is given the blocks and what was made of them, in the order of the rows.
pub fn in_blocks<M, W>(
    rows: &mut dyn Rows,
    worker: impl Fn() -> W + Sync,
    take: impl FnMut(&[Row], M) + Send,
) -> Result<(), IngestError>
where
    M: Send,
    W: FnMut(&[Row]) -> M,
{
    let source = Mutex::new(Source { rows, next: 0, end: None });
    let threads = rayon::current_num_threads();
    let queue = Queue { take, next: 0, waiting: BTreeMap::new(), broken: false };
    let queue = Mutex::new(queue);
    let taken = Condvar::new();
    let work = || {
        let (mut worker, mut block) = (worker(), Block::default());
        let _broken = OnPanic(|| {
            lock(&queue).broken = true;
            taken.notify_all();
        });
        loop {
            // On its own line, so that the reader is let go before the block is looked at.
            let place = lock(&source).fill(&mut block);
            let Some(place) = place else { break };
            let made = worker(block.rows());
            let mut queue = lock(&queue);
            block = queue.hand_over(place, block, made);
            taken.notify_all();
            drop(taken.wait_while(queue, |queue| queue.is_full(threads)));
        }
    };
    rayon::scope(|scope| {
        for _ in 1..threads {
            scope.spawn(|_| work());
        }
        work();
    });
    let source = source.into_inner().unwrap_or_else(PoisonError::into_inner);
    source.end.unwrap_or(Ok(()))
}

/// A thread that panicked is told of by its own; the others end as they can.
fn lock<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Does something when the thread panics.
struct OnPanic<F: FnMut()>(F);

impl<F: FnMut()> Drop for OnPanic<F> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            self.0();
        }
    }
}

/// Rows that were read, and buffers for more.
#[derive(Default)]
struct Block {
    rows: Vec<Row>,
    filled: usize,
}

impl Block {
    fn rows(&self) -> &[Row] {
        &self.rows[..self.filled]
    }
}

/// Where the rows come from.
struct Source<'r> {
    rows: &'r mut dyn Rows,
    /// How many blocks were read.
    next: usize,
    end: Option<Result<(), IngestError>>,
}

impl Source<'_> {
    /// Reads the next block; its place among the blocks, and none behind the last one.
    fn fill(&mut self, block: &mut Block) -> Option<usize> {
        let mut bytes = 0;
        block.filled = 0;
        block.rows.resize_with(ROWS, Row::default);
        for row in &mut block.rows {
            if self.end.is_some() || bytes > BYTES {
                break;
            }
            match self.rows.next(row) {
                Ok(true) => {
                    block.filled += 1;
                    bytes += row.bytes();
                }
                Ok(false) => self.end = Some(Ok(())),
                Err(error) => self.end = Some(Err(error)),
            }
        }
        let place = self.next;
        self.next += 1;
        (block.filled > 0).then_some(place)
    }
}

/// What was made, until its turn comes.
struct Queue<T, M> {
    take: T,
    /// How many blocks were taken.
    next: usize,
    waiting: BTreeMap<usize, (Block, M)>,
    /// Whether a block may never come, since a thread panicked.
    broken: bool,
}

impl<M, T: FnMut(&[Row], M)> Queue<T, M> {
    fn is_full(&self, threads: usize) -> bool {
        self.waiting.len() > MOST_WAITING * threads && !self.broken
    }

    /// Takes a block when its turn has come, with those that waited for it; buffers to be used again.
    fn hand_over(&mut self, place: usize, block: Block, made: M) -> Block {
        self.waiting.insert(place, (block, made));
        let mut spare = Block::default();
        while let Some((block, made)) = self.waiting.remove(&self.next) {
            self.next += 1;
            (self.take)(block.rows(), made);
            spare = block;
        }
        spare
    }
}

#[cfg(test)]
mod tests {
    use std::panic::{AssertUnwindSafe, catch_unwind};
    use std::path::PathBuf;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::Duration;

    use super::*;

    /// So many rows, and an error behind them.
    struct Failing(u32);

    impl Rows for Failing {
        fn next(&mut self, row: &mut Row) -> Result<bool, IngestError> {
            let Some(left) = self.0.checked_sub(1) else {
                return Err(IngestError::Empty { path: PathBuf::from("a.csv") });
            };
            self.0 = left;
            *row = Row::of(left, &["E1-104"]);
            Ok(true)
        }
    }

    #[test]
    fn blocks_come_in_the_order_of_their_rows_with_what_was_made_of_them() {
        let threads = rayon::ThreadPoolBuilder::new().num_threads(4).build().unwrap();
        for count in [0, 1, 255, 256, 257, 5000] {
            let (mut read, mut numbers) = (0, Vec::new());
            let outcome = threads.install(|| {
                in_blocks(
                    &mut Failing(count),
                    || |rows: &[Row]| rows.iter().map(|row| row.number).collect::<Vec<_>>(),
                    |rows, made| {
                        read += rows.len();
                        numbers.extend(made);
                    },
                )
            });
            assert!(matches!(outcome, Err(IngestError::Empty { .. })), "{outcome:?}");
            assert_eq!(read, numbers.len());
            assert_eq!(numbers, (0..count).rev().collect::<Vec<_>>());
        }
    }

    /// Whether a block is the first of so many rows.
    fn is_first(rows: &[Row], of: u32) -> bool {
        rows[0].number == of - 1
    }

    #[test]
    fn few_blocks_wait_for_one_that_is_slow() {
        const ROWS_IN_ALL: u32 = 200_000;
        let threads = rayon::ThreadPoolBuilder::new().num_threads(4).build().unwrap();
        let (waiting, most) = (AtomicUsize::new(0), AtomicUsize::new(0));
        let work = |rows: &[Row]| {
            if is_first(rows, ROWS_IN_ALL) {
                std::thread::sleep(Duration::from_millis(100));
            }
            most.fetch_max(waiting.fetch_add(1, Ordering::Relaxed), Ordering::Relaxed);
        };
        let take = |_: &[Row], ()| {
            waiting.fetch_sub(1, Ordering::Relaxed);
        };
        let outcome = threads.install(|| in_blocks(&mut Failing(ROWS_IN_ALL), || work, take));
        assert!(outcome.is_err());
        let most = most.into_inner();
        assert!((1..=MOST_WAITING * 4 + 4).contains(&most), "{most}");
        assert_eq!(waiting.into_inner(), 0);
    }

    #[test]
    fn no_thread_waits_for_one_that_panicked() {
        const ROWS_IN_ALL: u32 = 200_000;
        let threads = rayon::ThreadPoolBuilder::new().num_threads(4).build().unwrap();
        let work = |rows: &[Row]| assert!(!is_first(rows, ROWS_IN_ALL), "on purpose");
        let run = || in_blocks(&mut Failing(ROWS_IN_ALL), || work, |_, ()| {});
        let outcome = catch_unwind(AssertUnwindSafe(|| threads.install(run)));
        assert!(outcome.is_err());
    }
}
