//! The check files of a shop's stations.

use std::fs;
use std::path::{Path, PathBuf};

use super::{CHECK_EXTENSION, Shop, files_in, free_name, not_all_read};
use crate::axis::Axis;
use crate::checks::{CheckBody, CheckFile, CheckHeader, Checks, fold};
use crate::error::Error;
use crate::fact::FileMark;
use crate::file::{Disk, End, FileOptions, Unread, scan_facts};
use crate::journal::{JournalBody, Meaning as _};
use crate::recall::{Spell, spells};
use crate::shown;
use crate::stamp::Stamp;

/// What a shop's check files tell of the zeros of its stations.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Zeros {
    /// When a zero was outside its limits, station by station.
    pub spells: Vec<Spell>,
    /// The stations of whose zero something can be told: their check standard has limits.
    pub judged: Vec<String>,
    /// Check files that cannot be read, or not to their end: each a sentence without its full stop, the
    /// file's name in it.
    pub unread: Vec<String>,
}

/// Whether any point of a check file is held against limits.
fn has_limits(checks: &Checks) -> bool {
    checks.points().into_iter().any(|point| {
        let charted = Axis::BOTH.into_iter().flat_map(|axis| checks.chart(point, axis));
        charted.into_iter().any(|day| day.limits.is_some())
    })
}

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

impl KeptChecks {
    /// Of files of one station only the first counts, which was written to last. The others, a sentence each
    /// without its full stop: a station's file was copied or gone on with twice.
    #[must_use]
    pub fn beside(kept: &[Self]) -> Vec<String> {
        let station = |one: &Self| one.checks.about().map(|about| about.station.clone());
        let others = kept.iter().enumerate().filter_map(|(at, one)| {
            let of = station(one)?;
            let first = kept.iter().take(at).find(|first| station(first).as_ref() == Some(&of))?;
            let name = |of: &Self| shown::path(of.path.file_name().map_or(&of.path, Path::new));
            let [one, first] = [one, first].map(name);
            Some(format!(
                "{one}: a second check file of {of}, which counts for nothing; {first} does"
            ))
        });
        others.collect()
    }
}

impl Shop {
    /// The check file of each station that has one, by file name, each as far as it can be read, and
    /// the files that cannot be read at all. A file that another goes on from is left out. Of two
    /// files of one station the one written to last comes first.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder is there but cannot be read.
    pub fn checks(&self, disk: &dyn Disk) -> Result<(Vec<KeptChecks>, Vec<Unread>), Error> {
        let (mut kept, mut skipped) = (Vec::new(), Vec::new());
        for path in files_in(&self.folder.join("checks"), CHECK_EXTENSION)? {
            let bytes = disk.open_read(&path).map_err(|why| Error::io("open", &path, why));
            match bytes.and_then(|bytes| scan_facts::<JournalBody<CheckBody>>(&path, bytes)) {
                Ok(scanned) => kept.push(KeptChecks {
                    checks: fold(&scanned.facts),
                    last: scanned.facts.last().map(|fact| fact.time),
                    end: scanned.end,
                    path,
                }),
                Err(error) => skipped.push(Unread::of(path, error, disk)),
            }
        }
        let continued: Vec<String> = kept
            .iter()
            .filter_map(|one| one.checks.journal.header.as_ref()?.continues.as_ref())
            .map(|continued| continued.session.clone())
            .collect();
        let goes_on = |one: &KeptChecks| {
            one.checks
                .journal
                .header
                .as_ref()
                .is_some_and(|header| continued.contains(&header.name))
        };
        kept.retain(|one| !goes_on(one));
        kept.sort_by_key(|one| core::cmp::Reverse(one.last.map(Stamp::unix_milliseconds)));
        Ok((kept, skipped))
    }

    /// What the check files tell of the zeros of the stations, and of which they tell nothing.
    #[must_use]
    pub fn zeros(&self, disk: &dyn Disk) -> Zeros {
        let mut zeros = Zeros::default();
        let (kept, skipped) = self.checks(disk).unwrap_or_else(|why| {
            zeros.unread.push(why.to_string());
            Default::default()
        });
        zeros.unread.extend(skipped.iter().map(ToString::to_string));
        for KeptChecks { path, checks, end, .. } in &kept {
            zeros.spells.extend(spells(checks));
            let station = checks.about().map(|about| about.station.clone());
            zeros.judged.extend(station.filter(|_| has_limits(checks)));
            if *end != End::Clean {
                zeros.unread.push(not_all_read(path));
            }
            // What it says of itself and of files beside it: then more was read than is here.
            let noted = checks.journal.marks.iter().map(|mark| mark.body.trim_end_matches('.'));
            zeros.unread.extend(noted.map(|mark| format!("{}: {mark}", shown::path(path))));
        }
        zeros
    }

    /// Begins the check file of a station. Of which station a file is that cannot be read nobody can tell: what
    /// is begun now says for ever which of those lie beside it, and hands back in words what it says.
    ///
    /// # Errors
    /// As [`CheckFile::create`], and [`Error::Io`] when `checks/` cannot be read.
    pub fn begin_checks(
        &self,
        path: &Path,
        header: CheckHeader,
        hand: &str,
        options: FileOptions,
    ) -> Result<(CheckFile, Vec<String>), Error> {
        let (_, unread) = self.checks(&*options.disk)?;
        let beside: Vec<FileMark> = unread.iter().map(Unread::beside).collect();
        let file = CheckFile::create_beside(path, header, &beside, hand, options)?;
        Ok((file, beside.iter().map(|mark| mark.note().text).collect()))
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
