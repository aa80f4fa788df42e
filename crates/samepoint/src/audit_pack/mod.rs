//! An audit pack: what was done in a shop in a period, in one folder that `sha256sum -c` checks without this program.
//!
//! - [`asked`]: what it is made of and what became of it; [`making`]: which files go in;
//! - [`filling`]: the folder, filled beside where it is to be and put in place whole; [`telling`]: its page to read.
//!
//! In it: the session files as they lie in the shop, the report of each, the shop's ledger files, the keys of its
//! hands in OpenSSH's words, a list with the sums of all of these and what each session says, a list of what is left
//! out and why, a page to read, and `SHA256SUMS` over everything.

mod asked;
mod filling;
mod making;
mod telling;

pub(crate) use asked::{PackAsked, Packed};
pub(crate) use making::pack;
