//! What everything of a session carries, so that nobody counts what should not count for want of a join.

use record::review::State;

use super::{Cell, Column};

/// Of which session something is.
#[derive(Clone, Debug)]
pub struct OfSession<'a> {
    /// What the shop is called.
    pub shop: &'a str,
    /// `sessions` or `practice`.
    pub folder: &'static str,
    /// The file's name.
    pub file: &'a str,
    /// The session's own name; empty where it cannot be read.
    pub session: &'a str,
    /// Whether it is practice; `None` where that cannot be read.
    pub practice: Option<bool>,
    /// Whether it is an examination.
    pub examination: Option<bool>,
    /// How it stands.
    pub state: State,
    /// Whether it counts in what is told of its shop.
    pub counts: bool,
}

/// What is of one session.
pub trait InSession {
    /// Which.
    fn of(&self) -> &OfSession<'_>;
}

/// The columns that all of them have, first.
pub fn common<R: InSession>() -> Vec<Column<R>> {
    vec![
        Column::text(
            "shop_name",
            "what the shop is called: its letterhead, else its folder",
            |row| Cell::text(row.of().shop),
        ),
        Column::text("folder", "the folder of the shop it lies in: sessions or practice", |row| {
            Cell::text(row.of().folder)
        }),
        Column::text("file", "the file’s name in that folder", |row| Cell::text(row.of().file)),
        Column::text(
            "session",
            "the session’s own name among all sessions, 32 hex digits",
            |row| Cell::text(row.of().session),
        ),
        Column::truth("practice", "whether the unit is an invented one", |row| {
            Cell::truth(row.of().practice)
        }),
        Column::truth("examination", "whether the practice is sat as an examination", |row| {
            Cell::truth(row.of().examination)
        }),
        Column::truth(
            "damaged",
            "whether the file is damaged, lacks its end or cannot be read",
            |row| Cell::Truth(row.of().state == State::Damaged),
        ),
        Column::text(
            "state",
            "unsigned, signed, countersigned, outdated, returned, does not follow or damaged",
            |row| Cell::text(row.of().state.word()),
        ),
        Column::truth(
            "counts",
            "whether it counts in what is told of a shop: real work, whole, no blind check, no copy, not gone on \
             with elsewhere; what the session came to is another matter (state, signed, follows)",
            |row| Cell::Truth(row.of().counts),
        ),
    ]
}
