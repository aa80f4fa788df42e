//! The table as a hand has it in sight: the sessions asked for, in the order asked for, in the columns chosen.

use std::path::PathBuf;

use super::SessionSummary;
use super::seek::SortBy;
use super::table::{COLUMNS, cells, written};
use crate::error::Error;

impl SortBy {
    /// The [columns](COLUMNS) of the whole table that hold what stands in this one; a verdict takes two, as it was
    /// signed and as the readings give it now.
    #[must_use]
    pub const fn columns(self) -> &'static [&'static str] {
        match self {
            Self::Day => &["day"],
            Self::Folder => &["folder"],
            Self::Unit => &["unit"],
            Self::Job => &["job"],
            Self::Customer => &["customer"],
            Self::Housing => &["housing"],
            Self::Station => &["station"],
            Self::Hand => &["hand"],
            Self::Rounds => &["rounds"],
            Self::Boresight => &["boresight_arcmin"],
            Self::WindowUse => &["window_use"],
            Self::Verdict => &["signed_verdict", "verdict"],
            Self::State => &["state"],
            Self::Signer => &["signer"],
            Self::SignedOn => &["signed_on"],
            Self::Countersigner => &["countersigner"],
            Self::CountersignedOn => &["countersigned_on"],
            Self::Begun => &["begun"],
        }
    }
}

/// The columns of such a table: the session's file and whether it is practice, which tell rows of one unit apart,
/// then those chosen.
#[must_use]
pub fn head(chosen: &[SortBy]) -> Vec<&'static str> {
    let always: &[&str] = &["file", "practice"];
    let chosen = chosen.iter().flat_map(|column| column.columns());
    always.iter().chain(chosen).copied().collect()
}

/// The table as CSV, sessions of the survey's `folders`; each cell as in the [whole table](super::Survey::csv).
///
/// # Errors
/// [`Error::FactNotWritable`] when the table cannot be put together.
pub fn chosen_csv<'a>(
    sessions: impl IntoIterator<Item = &'a SessionSummary>,
    folders: &[PathBuf],
    chosen: &[SortBy],
) -> Result<Vec<u8>, Error> {
    let head = head(chosen);
    let places: Vec<usize> =
        head.iter().filter_map(|name| COLUMNS.iter().position(|column| column == name)).collect();
    let rows = sessions.into_iter().map(|session| {
        let folder = folders.get(session.folder);
        let folder = folder.map_or_else(String::new, |folder| folder.display().to_string());
        let mut cells = cells(session, &folder);
        places
            .iter()
            .map(|place| cells.get_mut(*place).map(std::mem::take).unwrap_or_default())
            .collect::<Vec<_>>()
    });
    written(&head, rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every column in sight is one of the whole table, under its name there.
    #[test]
    fn every_column_is_one_of_the_table() {
        for name in head(&SortBy::EVERY) {
            assert!(COLUMNS.contains(&name), "{name}");
        }
    }
}
