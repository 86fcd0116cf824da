//! Work on many inputs, each wholly on one thread, so that no more of them are at hand than threads.
//!
//! A pool that splits the work within an input would begin the next one while it waits.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// What `work` makes of each item, in their order.
pub(super) fn each<I: Sync, T: Send>(items: &[I], work: impl Fn(usize, &I) -> T + Sync) -> Vec<T> {
    let next = AtomicUsize::new(0);
    let made = Mutex::new(Vec::new());
    let work_on = || {
        while let Some((place, item)) = take(&next, items) {
            let one = work(place, item);
            if let Ok(mut made) = made.lock() {
                made.push((place, one));
            }
        }
    };
    thread::scope(|scope| {
        for _ in 0..rayon::current_num_threads().min(items.len()) {
            scope.spawn(|| alone(&work_on));
        }
    });
    let mut made = made.into_inner().unwrap_or_default();
    made.sort_by_key(|(place, _)| *place);
    made.into_iter().map(|(_, one)| one).collect()
}

fn take<'i, I>(next: &AtomicUsize, items: &'i [I]) -> Option<(usize, &'i I)> {
    let place = next.fetch_add(1, Ordering::Relaxed);
    items.get(place).map(|item| (place, item))
}

/// Works where whatever is split into tasks stays on one thread.
fn alone(work: &(dyn Fn() + Sync)) {
    match rayon::ThreadPoolBuilder::new().num_threads(1).build() {
        Ok(pool) => pool.install(work),
        Err(_) => work(),
    }
}
