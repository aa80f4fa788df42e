//! How many may read a file whole at the same time.

use std::num::NonZeroUsize;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

/// A gate through which so many are let at a time.
pub(super) struct Gate {
    places: Mutex<usize>,
    left: Condvar,
}

/// A place behind the gate; dropped, it is free again.
pub(super) struct GatePlace<'a>(&'a Gate);

impl Gate {
    pub(super) const fn new(most: NonZeroUsize) -> Self {
        Self { places: Mutex::new(most.get()), left: Condvar::new() }
    }

    /// Waits until a place is free, and takes it.
    pub(super) fn enter(&self) -> GatePlace<'_> {
        let places = self.places();
        let free = self.left.wait_while(places, |places| *places == 0);
        *free.unwrap_or_else(PoisonError::into_inner) -= 1;
        GatePlace(self)
    }

    fn places(&self) -> MutexGuard<'_, usize> {
        self.places.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for GatePlace<'_> {
    fn drop(&mut self) {
        *self.0.places() += 1;
        self.0.left.notify_one();
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::thread;

    use super::*;

    /// Of eight that want to, never more than three are in at once, and each comes in.
    #[test]
    fn never_more_are_in_than_may_be() {
        let gate = Gate::new(NonZeroUsize::new(3).unwrap());
        let (inside, most, came) = (AtomicUsize::new(0), AtomicUsize::new(0), AtomicUsize::new(0));
        thread::scope(|scope| {
            for _ in 0..8 {
                scope.spawn(|| {
                    for _ in 0..50 {
                        let place = gate.enter();
                        most.fetch_max(inside.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                        thread::yield_now();
                        inside.fetch_sub(1, Ordering::SeqCst);
                        drop(place);
                        came.fetch_add(1, Ordering::SeqCst);
                    }
                });
            }
        });
        assert!(most.load(Ordering::SeqCst) <= 3);
        assert_eq!(came.load(Ordering::SeqCst), 400);
    }
}
