//! Files that are open and that facts may wait for.

/// A file that is open and that facts may wait for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// The session on the bench.
    Session,
    /// The check file that a sheet shows.
    Checks,
    /// The open study.
    Study,
}

impl Held {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Session, Self::Checks, Self::Study];
}
