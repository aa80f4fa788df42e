//! An audit pack: what was done in a shop in a period, in one folder that `sha256sum -c` checks without this program.
//!
//! - [`asked`]: what it is made of and what became of it; [`making`]: which sessions go in; [`evidence`]: what goes
//!   with them;
//! - [`plain_file`]: the bytes of one; [`filling`]: the folder, filled beside where it is to be and put in place whole; [`telling`]: its page to read.
//!
//! In it: the session files as they lie in the shop, the report of each, the pictures it names and its seals; the
//! shop's ledger, calibrations, checks and hands as they lie there, the keys of its hands in OpenSSH's words; a list
//! with the sums of sessions and reports and what each session says, a list of what is left out and why, a page to
//! read, and `SHA256SUMS` over everything.

mod asked;
mod evidence;
mod filling;
mod making;
mod plain_file;
mod telling;

pub(crate) use asked::{PackAsked, Packed};
pub(crate) use making::pack;
