//! Several things at once, in their order.

use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// What each of some things comes to, worked out by several workers; in the order of the things.
pub fn each<T: Sync, V: Send>(
    things: &[T],
    workers: NonZeroUsize,
    of: impl Fn(&T) -> V + Sync,
) -> Vec<V> {
    let next = AtomicUsize::new(0);
    let mut found: Vec<(usize, V)> = thread::scope(|scope| {
        let work = || {
            let mut done = Vec::new();
            loop {
                let index = next.fetch_add(1, Ordering::Relaxed);
                let Some(thing) = things.get(index) else { return done };
                done.push((index, of(thing)));
            }
        };
        let hands: Vec<_> =
            (0..workers.get().min(things.len())).map(|_| scope.spawn(work)).collect();
        let joined = hands.into_iter().map(thread::ScopedJoinHandle::join);
        joined
            .flat_map(|done| done.unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    });
    found.sort_unstable_by_key(|(index, _)| *index);
    found.into_iter().map(|(_, value)| value).collect()
}
