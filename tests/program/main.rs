//! The real program, from its arguments to its exit code.
//!
//! - `solve`: every file of readings in `demo-data`, in words and as JSON
//! - `refusals`: malformed files and arguments: exit code 2, one message, nothing on standard output
//! - `review`: every exit code of `samepoint review`
//! - `read_again`: pictures of readings, read again by a review, and attacked
//! - `report`: what is written, what is refused, what is never overwritten
//! - `faces`: names in letters that only the system has
//! - `shop`: every exit code of `samepoint shop`, and its table
//! - `audit`: an audit pack, checked by the real `sha256sum`, and a month on paper
//! - `shelf`: every exit code of `samepoint shelf`, its words and its table
//! - `tables`: `samepoint tables`, handed over to the program beside it
//! - `exam`: nothing of an examination is worked out before it is signed
//! - `seal`: `samepoint seal`, with the real `ssh-keygen` and with others
//! - `salvage`: a new session of what verifies in a damaged one
//! - `set_aside`: going on in a file whose end is missing, on a hand's word alone
//! - `picture`: `samepoint picture`, every kind of file and every refusal
//! - `hostile`: pipes, devices, terabytes, names that mislead, links that lead elsewhere
//! - `man_page`: the man page is current
//! - `crash`: what a panic leaves
//! - `bench`: what the program says where there is no display
//! - `words`: numbers by the digits that mean something
//! - `run`: runs it
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod audit;
mod bench;
mod check_self;
mod crash;
mod exam;
#[cfg(target_os = "linux")]
mod faces;
#[cfg(unix)]
mod hostile;
#[cfg(unix)]
#[path = "../shared/hostile_texts.rs"]
mod hostile_texts;
mod man_page;
mod picture;
mod read_again;
mod refusals;
mod report;
mod review;
mod run;
mod salvage;
#[cfg(unix)]
mod seal;
mod set_aside;
mod shelf;
mod shop;
mod solve;
mod tables;
#[path = "../shared/told_numbers.rs"]
mod told_numbers;
mod words;
