//! The check files of a shop's stations.

use std::fs;
use std::path::PathBuf;

use super::{CHECK_EXTENSION, Shop, files_in, free_name};
use crate::checks::{CheckBody, Checks, fold};
use crate::error::Error;
use crate::file::{Disk, End, scan_facts};
use crate::recall::{Spell, spells};
use crate::stamp::Stamp;

/// A station's check file as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct KeptChecks {
    /// The file.
    pub path: PathBuf,
    /// What it comes to.
    pub checks: Checks,
    /// What follows its last good line.
    pub end: End,
    /// When the last fact was said.
    pub last: Option<Stamp>,
}

impl Shop {
    /// The check file of each station that has one, by file name, each as far as it can be read, and
    /// the files that cannot be read at all. A file that another goes on from is left out. Of two
    /// files of one station the one written to last comes first.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder is there but cannot be read.
    pub fn checks(&self, disk: &dyn Disk) -> Result<(Vec<KeptChecks>, Vec<Error>), Error> {
        let (mut kept, mut skipped) = (Vec::new(), Vec::new());
        for path in files_in(&self.folder.join("checks"), CHECK_EXTENSION)? {
            let bytes = disk.open_read(&path).map_err(|why| Error::io("open", &path, why));
            match bytes.and_then(|bytes| scan_facts::<CheckBody>(&path, bytes)) {
                Ok(scanned) => kept.push(KeptChecks {
                    checks: fold(&scanned.facts),
                    last: scanned.facts.last().map(|fact| fact.time),
                    end: scanned.end,
                    path,
                }),
                Err(error) => skipped.push(error),
            }
        }
        let continued: Vec<String> = kept
            .iter()
            .filter_map(|one| one.checks.header.as_ref()?.continues.as_ref())
            .map(|continued| continued.session.clone())
            .collect();
        let goes_on = |one: &KeptChecks| {
            one.checks.header.as_ref().is_some_and(|header| continued.contains(&header.name))
        };
        kept.retain(|one| !goes_on(one));
        kept.sort_by_key(|one| core::cmp::Reverse(one.last.map(Stamp::unix_milliseconds)));
        Ok((kept, skipped))
    }

    /// When the zero of a station was outside its limits, station by station. Check files that cannot be
    /// read are passed over: [`checks`](Self::checks) names them.
    #[must_use]
    pub fn spells(&self, disk: &dyn Disk) -> Vec<Spell> {
        let kept = self.checks(disk).map(|(kept, _)| kept).unwrap_or_default();
        kept.iter().flat_map(|one| spells(&one.checks)).collect()
    }

    /// A free name in `checks/` for a station's check file. The folder is made if it is not there.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder cannot be made.
    pub fn new_check_path(&self, station: &str) -> Result<PathBuf, Error> {
        let folder = self.folder.join("checks");
        fs::create_dir_all(&folder).map_err(|why| Error::io("make the folder", &folder, why))?;
        Ok(free_name(&folder, station, CHECK_EXTENSION))
    }
}
