//! What a report is called by: the session it was drawn from, and the state it was drawn in.
//!
//! Nothing is kept for it. Whoever has the session's file finds it there again: the session's own name begins with
//! its first half, and the hash of the last line, at the foot of every page, with its second. Whatever is signed,
//! countersigned or added gives another number.

use record::Account;

/// Letters of each half.
const HALF: usize = 8;

/// `0152a3c4-5e01fb22`.
pub(super) fn of(account: &Account) -> String {
    let start = |text: &str| text.chars().take(HALF).collect::<String>();
    let session = account.header().map_or("", |header| header.session.as_str());
    match session {
        "" => start(&account.last_hash),
        session => format!("{}-{}", start(session), start(&account.last_hash)),
    }
}
