//! One place for the newest of many: what nobody took is forgotten when another comes.

use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

/// Where it waits. Clones are the same place.
#[derive(Debug)]
pub(crate) struct Latest<T>(Arc<LatestHeld<T>>);

#[derive(Debug)]
struct LatestHeld<T> {
    inside: Mutex<LatestInside<T>>,
    changed: Condvar,
}

#[derive(Debug)]
struct LatestInside<T> {
    newest: Option<T>,
    closed: bool,
}

impl<T> Clone for Latest<T> {
    fn clone(&self) -> Self {
        Self(self.0.clone())
    }
}

impl<T> Default for Latest<T> {
    fn default() -> Self {
        let inside = Mutex::new(LatestInside { newest: None, closed: false });
        Self(Arc::new(LatestHeld { inside, changed: Condvar::new() }))
    }
}

impl<T> Latest<T> {
    fn inside(&self) -> MutexGuard<'_, LatestInside<T>> {
        // Whoever panicked here left a whole value behind: there is no step between.
        self.0.inside.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Puts one there; the one before it is forgotten.
    pub(crate) fn put(&self, newest: T) {
        self.inside().newest = Some(newest);
        self.0.changed.notify_all();
    }

    /// Takes the one that is there.
    pub(crate) fn take(&self) -> Option<T> {
        self.inside().newest.take()
    }

    /// Waits for one; `None` once it is closed.
    pub(crate) fn wait(&self) -> Option<T> {
        let mut inside = self.inside();
        loop {
            if inside.closed {
                return None;
            }
            if let Some(newest) = inside.newest.take() {
                return Some(newest);
            }
            inside = self.0.changed.wait(inside).unwrap_or_else(PoisonError::into_inner);
        }
    }

    /// Nothing more is waited for.
    pub(crate) fn close(&self) {
        self.inside().closed = true;
        self.0.changed.notify_all();
    }

    /// Whether it is closed.
    pub(crate) fn is_closed(&self) -> bool {
        self.inside().closed
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_newest_is_kept() {
        let place = Latest::default();
        assert_eq!(place.take(), None);
        place.put(1);
        place.clone().put(2);
        assert_eq!((place.take(), place.take()), (Some(2), None));
        place.put(3);
        assert_eq!(place.wait(), Some(3));
        place.close();
        assert_eq!((place.wait(), place.is_closed()), (None, true));
    }
}
