//! The house rules that a compiler does not check, proved from manifests and sources.
//!
//! - `arrows`: solver ← record ← paper ← samepoint, solver ← reader ← samepoint, record ← tables and no other way; one place for versions and lints
//! - `circles`: no circle of files in any crate; `contents`: every file stands in its folder's contents
//! - `purity`: solver and reader know no files, clock, threads or network; record and paper no screen
//! - `map`: DEVELOPERS.md names what is there; `package`: what a desktop is given with the program fits together
//! - `sentences`: each stands once; `grammar`: forms are chosen in one place, logic says nothing; `errors`: none is a bare sentence; `lists`: those of all variants forget none
//! - `rooms`: one user of the plot library, one place that names screen colours, one that starts
//!   threads, one painter of charts; no room that reaches into another
//! - `order`: what lies at the top, how long a file may be, nothing left unfinished
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod arrows;
mod circles;
mod contents;
mod errors;
mod grammar;
mod lists;
mod map;
mod order;
mod package;
mod purity;
mod rooms;
mod sentences;
mod tree;
