//! What a pack is made of, and what became of it.

use std::path::PathBuf;

use paper::PaperSize;
use record::Stamp;
use record::shop::survey::period::Period;
use solver::words::{counted, counted_s};

/// What a pack is made of.
#[derive(Clone, Debug)]
pub(crate) struct PackAsked {
    /// The shop's folder.
    pub(crate) shop: PathBuf,
    /// Where the pack is to be: nothing, or an empty folder.
    pub(crate) to: PathBuf,
    /// Of which days.
    pub(crate) period: Period,
    /// When it is made.
    pub(crate) now: Stamp,
    /// The paper of its reports.
    pub(crate) paper: PaperSize,
}

/// What became of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Packed {
    /// Session files in it.
    pub(super) sessions: usize,
    /// Their reports.
    pub(super) reports: usize,
    /// Ledger files.
    pub(super) ledgers: usize,
    /// Pictures that the sessions name.
    pub(super) pictures: usize,
    /// Seals, each in two files.
    pub(super) seals: usize,
    /// What is left out: what, its sum, why.
    pub(crate) left_out: Vec<[String; 3]>,
}

impl Packed {
    /// It in a sentence.
    #[must_use]
    pub(crate) fn words(&self) -> String {
        let left = match self.left_out.len() {
            0 => "nothing left out".to_owned(),
            some => format!(
                "left out: {}",
                counted(some, "line of left-out.csv", "lines of left-out.csv")
            ),
        };
        format!(
            "{}, {}, {}, {} and {}; {left}",
            counted_s(self.sessions, "session"),
            counted_s(self.reports, "report"),
            counted_s(self.pictures, "picture"),
            counted_s(self.seals, "seal"),
            counted_s(self.ledgers, "ledger file")
        )
    }

    /// Notes what is left out, its SHA-256 where it is a file that can be read, and why.
    pub(super) fn leave_out(&mut self, what: &str, sum: Option<String>, why: impl Into<String>) {
        self.left_out.push([what.to_owned(), sum.unwrap_or_default(), why.into()]);
    }
}
