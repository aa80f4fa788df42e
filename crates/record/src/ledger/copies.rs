//! Files of one session held against each other: a copy, or a session that went on in two files.

use std::collections::BTreeMap;
use std::hash::{BuildHasher as _, RandomState};
use std::io::{BufRead as _, BufReader, Read as _};
use std::path::{Path, PathBuf};

use crate::error::Error;
use crate::fact::{Body, Seq};
use crate::figures::counted_s;
use crate::file::chain::ChainHash;
use crate::file::{Disk, LONGEST_LINE, line_hashes, scan_some};
use crate::shop::{SESSION_EXTENSION, files_in};
use crate::shown;

/// Another file of the same session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Copy {
    /// Its name, as it can be shown.
    pub file: String,
    /// How its lines are to this file's.
    pub how: Copied,
}

/// How the lines of another file are to a file's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Copied {
    /// The same.
    Same,
    /// It ends earlier, with this many.
    EndsEarlier(Seq),
    /// It goes on, to this many.
    GoesOn(Seq),
    /// They are the same up to this many, and then others.
    Forked(Seq),
}

impl Copied {
    /// How another file's lines are to a file's own.
    #[must_use]
    pub fn of(own: &[ChainHash], other: &[ChainHash]) -> Self {
        // The chain: lines with the same hash have the same lines before them.
        let shared = own.iter().zip(other).take_while(|(own, other)| own == other).count();
        let count = |lines: usize| lines as Seq;
        match (own.len(), other.len()) {
            (own, other) if shared == own && shared == other => Self::Same,
            (_, other) if shared == other => Self::EndsEarlier(count(other)),
            (own, other) if shared == own => Self::GoesOn(count(other)),
            _ => Self::Forked(count(shared)),
        }
    }

    /// It in a word or two: `same`, `ends earlier`, `goes on`, `forked`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Same => "same",
            Self::EndsEarlier(_) => "ends earlier",
            Self::GoesOn(_) => "goes on",
            Self::Forked(_) => "forked",
        }
    }
}

impl Copy {
    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let file = &self.file;
        match self.how {
            Copied::Same => format!("{file} is the same session with the same lines: a copy."),
            Copied::EndsEarlier(facts) => {
                format!("{file} is the same session as it was at fact {facts}: an older copy.")
            }
            Copied::GoesOn(facts) => format!(
                "{file} is the same session and goes on to fact {facts}: this file is an older copy."
            ),
            Copied::Forked(shared) => {
                let shared = usize::try_from(shared).unwrap_or(usize::MAX);
                let shared = counted_s(shared, "fact");
                format!(
                    "{file} is the same session with other lines after {shared}: one session went on in \
                     two files, or one of them was rewritten."
                )
            }
        }
    }
}

/// The other files of a session in a folder, by name. `own`: its path; `session`: its own name;
/// `hashes`: those of its good lines. Files that cannot be read are passed over.
#[must_use]
pub fn copies_beside(
    folder: &Path,
    own: &Path,
    session: &str,
    hashes: &[ChainHash],
    disk: &dyn Disk,
) -> Vec<Copy> {
    let paths = files_in(folder, SESSION_EXTENSION).unwrap_or_default();
    let others = paths.iter().filter(|path| path.file_name() != own.file_name());
    others
        .filter(|path| begins_as(path, session, disk))
        .filter_map(|path| {
            let bytes = disk.open_read(path).ok()?;
            let other = line_hashes(path, bytes).ok()?;
            Some(Copy { file: name_of(path), how: Copied::of(hashes, &other) })
        })
        .collect()
}

/// Whether a file begins with the header of a session of this name.
fn begins_as(path: &Path, session: &str, disk: &dyn Disk) -> bool {
    let Ok(bytes) = disk.open_read(path) else { return false };
    let mut line = Vec::new();
    let mut first = BufReader::with_capacity(1 << 10, bytes.take(LONGEST_LINE as u64 + 2));
    if first.read_until(b'\n', &mut line).is_err() {
        return false;
    }
    if line.windows(session.len().max(1)).all(|at| at != session.as_bytes()) {
        return false;
    }
    // What it continues is named there too.
    let header = scan_some::<Body>(path, &line[..], |_| false);
    header.is_ok_and(|some| {
        some.facts.iter().any(
            |(fact, _)| matches!(&fact.body, Body::Header(header) if header.session == session),
        )
    })
}

pub(crate) fn name_of(path: &Path) -> String {
    shown::path(path.file_name().map_or(path, Path::new))
}

/// The copies among files of which each is known by its session's own name: for each file whose session has
/// another file, its others by their places in the list, and how their lines are to its own. Only such files are
/// read; those that cannot be are named by none, and name none. `path_of`: where each of the list lies.
pub fn copies_among(
    sessions: &[&str],
    path_of: impl Fn(usize) -> Option<PathBuf>,
    disk: &dyn Disk,
) -> BTreeMap<usize, Vec<(usize, Copied)>> {
    let several = named_alike(sessions);
    let mut found: BTreeMap<usize, Vec<(usize, Copied)>> = BTreeMap::new();
    for same in several.values() {
        let read = |&index: &usize| -> Option<(usize, Vec<ChainHash>)> {
            Some((index, hashes_of(&path_of(index)?, disk).ok()?))
        };
        let all: Vec<_> = same.iter().filter_map(read).collect();
        for index in same {
            let of_index = found.entry(*index).or_default();
            let Some((_, own)) = all.iter().find(|(one, _)| one == index) else { continue };
            let others = all.iter().filter(|(other, _)| other != index);
            for (other, hashes) in others.take(MOST_NAMED) {
                of_index.push((*other, Copied::of(own, hashes)));
            }
        }
    }
    found
}

/// By name, the places of those that have one and share it. Nearly every session has a name of its own: two that may
/// have the same are found by a number that stands for each.
fn named_alike<'a>(sessions: &[&'a str]) -> BTreeMap<&'a str, Vec<usize>> {
    let number = RandomState::new();
    let named = sessions.iter().enumerate().filter(|(_, session)| !session.is_empty());
    let mut numbered: Vec<(u64, usize)> =
        named.map(|(index, session)| (number.hash_one(session), index)).collect();
    numbered.sort_unstable();
    let mut alike: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for same in numbered.chunk_by(|(one, _), (other, _)| one == other).filter(|same| same.len() > 1)
    {
        for (_, index) in same {
            let session = sessions.get(*index).copied().unwrap_or_default();
            alike.entry(session).or_default().push(*index);
        }
    }
    alike.retain(|_, same| same.len() > 1);
    alike
}

/// So many copies of one file are named.
const MOST_NAMED: usize = 20;

fn hashes_of(path: &Path, disk: &dyn Disk) -> Result<Vec<ChainHash>, Error> {
    let bytes = disk.open_read(path).map_err(|why| Error::io("open", path, why))?;
    line_hashes(path, bytes)
}
