//! The list of an audit pack: one line a session, its file and its report with their sums, and what they say.

use super::SessionSummary;
use super::table::{COLUMNS, cells, written};
use crate::csv_cell;
use crate::error::Error;

/// What stands first in a line: the files and their SHA-256; a report's are empty where there is none.
const FILES: [&str; 4] = ["file", "sha256", "report", "report_sha256"];

/// Then columns of the whole table.
const OF_SESSION: [&str; 20] = [
    "session",
    "day",
    "begun",
    "unit",
    "housing",
    "job",
    "customer",
    "station",
    "hand",
    "window",
    "rounds",
    "signed_verdict",
    "signer",
    "signed_on",
    "countersigner",
    "countersigned_on",
    "verdict",
    "state",
    "follows",
    "ledger",
];

/// A line of it.
#[derive(Clone, Debug)]
pub struct PackedSession<'a> {
    /// The session.
    pub session: &'a SessionSummary,
    /// Its file in the pack, and its SHA-256.
    pub file: [String; 2],
    /// Its report, and its SHA-256, where there is one.
    pub report: Option<[String; 2]>,
}

/// The list as CSV; cells as in the [whole table](super::Survey::csv).
///
/// # Errors
/// [`Error::FactNotWritable`] when it cannot be put together.
pub fn packed_csv(packed: &[PackedSession<'_>]) -> Result<Vec<u8>, Error> {
    let head: Vec<&str> = FILES.into_iter().chain(OF_SESSION).collect();
    let rows = packed.iter().map(|one| {
        let files = one.file.iter().chain(one.report.iter().flatten());
        let mut row: Vec<String> = files.map(|cell| csv_cell::text(cell)).collect();
        row.resize(FILES.len(), String::new());
        let cells = cells(one.session, "");
        let of = |name: &&str| COLUMNS.iter().position(|column| column == name);
        let places = OF_SESSION.iter().filter_map(of);
        row.extend(places.filter_map(|place| cells.get(place).cloned()));
        row
    });
    written(&head, rows)
}

/// What is left out of a pack, a line each: what, its SHA-256 where it is one file that can be read, and why.
///
/// # Errors
/// As [`packed_csv`].
pub fn left_out_csv(left_out: &[[String; 3]]) -> Result<Vec<u8>, Error> {
    let rows = left_out.iter().map(|row| row.each_ref().map(|cell| csv_cell::text(cell)));
    written(&["what", "sha256", "why"], rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_of_it_is_one_of_the_table() {
        for name in OF_SESSION {
            assert!(COLUMNS.contains(&name), "{name}");
        }
    }
}
