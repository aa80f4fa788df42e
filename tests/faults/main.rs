//! The record under every fault we could think of, and what it must be without any.
//!
//! - `support`: an invented session; `fold`: what facts mean;
//! - `attacks`: what a file of any kind must stand; `flips`: any bit; `disk`: a disk that fails on demand; `power`: cuts, failing calls, torn ends;
//! - `missing_end`: what may have been saved once is never called unfinished;
//! - `traps`: links, pipes, devices and strange files where ours belong;
//! - `sharing`: others at the file; `endings`: files not as we wrote them; `mounts`: a disk really full;
//! - `review`: does what was signed follow? `forged`: written by who wants a pass; `verdicts`: what confirm readings come to;
//!   `own_circles`: confirm readings on their circles; `beside`: the shop it lies in; `otherwise`: what that
//!   has otherwise; `caveats`: what limits a verdict; `locks`: what tightening does;
//! - `hands`: who may sign and countersign; `seals`: OpenSSH keys, both ways with the real `ssh-keygen`;
//!   `security_keys`: those that are touched, and kinds that are not checked;
//! - `copied`: a folder copied; `survey`: a shop's sessions, broken ones among them; `survey_cache`: what was read of them, kept;
//!   `kept_ledger`: and of the ledger; `corpus`: what fuzzing found;
//! - `salvage`: what verifies behind a damage; `day`: what is noted of the working day;
//!   `pictures`: those that a session names, read again;
//! - `limit`: the system's limit on a file's size;
//! - `kill`: killed at random moments, and two programs at once;
//! - `ledger`: what was signed, noted in the shop, held against its sessions; `torn_ledger`: one
//!   whose end is torn or first line spoilt;
//! - `known`: shims that were tried and tubes told apart; `differences`: stations that show no more;
//! - `formats`: every word of format 1, and the files kept for ever in `tests/data`;
//! - `rescue`: facts that could not be written, kept and taken back; `failing_disk`: where it fails;

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

#[path = "../shared/attacks.rs"]
mod attacks;
mod beside;
mod caveats;
#[path = "../shared/copied.rs"]
mod copied;
mod corpus;
mod day;
mod differences;
mod disk;
mod endings;
#[path = "../shared/failing_disk.rs"]
mod failing_disk;
mod first_line;
mod flips;
mod fold;
mod forged;
mod formats;
mod hands;
mod kept_ledger;
mod kill;
mod known;
mod ledger;
#[cfg(unix)]
mod limit;
mod locks;
mod missing_end;
mod mounts;
mod off_by;
mod otherwise;
mod own_circles;
mod pictures;
mod power;
mod rescue;
mod review;
mod salvage;
mod seals;
mod security_keys;
mod sharing;
mod support;
mod survey;
mod survey_cache;
mod torn_ledger;
#[cfg(unix)]
mod traps;
mod verdicts;
