//! What a row of the table of commands says.

use egui::{Key, KeyboardShortcut, Modifiers};

/// Where a command is listed: its keys act there and nowhere else. From the list of all commands it can
/// be run anywhere; then the hand comes to the bench for what belongs there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Scope {
    /// It means the same wherever the hand is.
    Everywhere,
    /// At the bench.
    Bench,
    /// At the bench, where it is about the session, and while exploring, where it is about the numbers
    /// moved.
    BenchAndExplore,
    /// At the bench, and where another session is in sight: it is about that one.
    OfSession,
    /// In the entry row, which takes its key itself: Enter in another field means that field.
    EntryRow,
}

/// What must be there for a command to do anything; all but the first need it too.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Need {
    /// An open session.
    Session,
    /// One that can be written to.
    Writing,
    /// A fact that can be taken back.
    SomethingToUndo,
    /// One that was taken back last.
    SomethingToRedo,
    /// No reading was logged yet.
    RingsUntouched,
    /// A reading in the open round.
    Reading,
    /// A unit of practice on the bench.
    InventedUnit,
    /// A reading that stands out.
    StandOut,
    /// A place where the next reading would tell most.
    NextReading,
    /// No examination that is sat: what it gives would answer.
    Told,
}

/// A row.
#[derive(Debug)]
pub(super) struct CommandRow {
    /// What a button or list calls it.
    pub(super) text: &'static str,
    /// What it does, in one sentence.
    pub(super) tip: &'static str,
    /// Its keys: the one that is shown, then those that some keyboards and hands expect; none for what
    /// is found in the list of commands only.
    pub(super) keys: &'static [KeyboardShortcut],
    /// Where it is listed.
    pub(super) scope: Scope,
    /// What it needs, in the order in which it is told.
    pub(super) needs: &'static [Need],
}

pub(super) const fn plain(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

pub(super) const fn shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::SHIFT, key)
}

pub(super) const fn ctrl(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

pub(super) const fn alt(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::ALT, key)
}

pub(super) const fn ctrl_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
}

pub(super) const fn alt_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::ALT.plus(Modifiers::SHIFT), key)
}
