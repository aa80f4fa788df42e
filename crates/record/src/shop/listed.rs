//! What a folder lists of one extension.

use std::ffi::{OsStr, OsString};
use std::fs::{self, DirEntry};
use std::io;
use std::path::{Path, PathBuf};

use crate::error::Error;
use crate::file::plain::HeldFolder;

/// The files of one extension that a folder lists, by name.
pub(crate) struct Listing {
    folder: HeldFolder,
    pub(crate) files: Vec<ListedFile>,
}

/// A file as its folder lists it.
pub(crate) struct ListedFile {
    name: OsString,
    /// Whether the folder itself tells that it is a plain file: no link, nothing that must be looked at first.
    pub(crate) plain: bool,
}

impl ListedFile {
    /// Its name in its folder.
    pub(crate) fn name(&self) -> &OsStr {
        &self.name
    }

    /// The same as bytes, by which it is sorted and kept.
    pub(crate) fn key(&self) -> &[u8] {
        self.name.as_encoded_bytes()
    }

    /// What of its name stands behind so many bytes, as a number that sorts as the name does as far as it goes.
    fn rank_behind(&self, alike: usize) -> u128 {
        let mut rank = [0; 16];
        let behind = self.key().iter().skip(alike);
        rank.iter_mut().zip(behind).for_each(|(rank, byte)| *rank = *byte);
        u128::from_be_bytes(rank)
    }
}

impl Listing {
    /// What lies in a folder; nothing where there is no folder. Folders and names that begin with a dot are passed
    /// over. What is neither file nor folder, a link that leads nowhere among it, is left for its reader to refuse
    /// by name.
    pub(crate) fn of(folder: &Path, extension: &str) -> Result<Self, Error> {
        let mut listing = Self { folder: HeldFolder::new(folder), files: Vec::new() };
        let reading = |why| Error::io("read the folder", folder, why);
        let entries = match fs::read_dir(folder) {
            Ok(entries) => entries,
            Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(listing),
            Err(why) => return Err(reading(why)),
        };
        for entry in entries {
            listing.files.extend(listed(&entry.map_err(reading)?, extension));
        }
        sort(&mut listing.files);
        Ok(listing)
    }

    /// The folder, from which its files are opened.
    pub(crate) const fn folder(&self) -> &HeldFolder {
        &self.folder
    }

    /// Where one of its files lies.
    pub(crate) fn path_of(&self, file: &ListedFile) -> PathBuf {
        self.folder.path().join(&file.name)
    }
}

/// By name. Those of one folder begin alike, and what stands next tells nearly all of them apart: many are sorted by
/// that, without going to each name each time.
fn sort(files: &mut [ListedFile]) {
    let Some(first) = files.first().map(|file| file.name.clone()) else { return };
    let alike = |file: &ListedFile| {
        let both = file.key().iter().zip(first.as_encoded_bytes());
        both.take_while(|(one, other)| one == other).count()
    };
    let alike = files.iter().map(alike).min().unwrap_or_default();
    files.sort_by_cached_key(|file| file.rank_behind(alike));
    for same in files.chunk_by_mut(|a, b| a.rank_behind(alike) == b.rank_behind(alike)) {
        same.sort_unstable_by(|a, b| a.key().cmp(b.key()));
    }
}

/// What of one extension lies in a folder, as [listed](Listing::of).
pub(crate) fn files_in(folder: &Path, extension: &str) -> Result<Vec<PathBuf>, Error> {
    let listing = Listing::of(folder, extension)?;
    Ok(listing.files.iter().map(|file| listing.path_of(file)).collect())
}

fn listed(entry: &DirEntry, extension: &str) -> Option<ListedFile> {
    let name = entry.file_name();
    if name.as_encoded_bytes().starts_with(b".")
        || Path::new(&name).extension() != Some(OsStr::new(extension))
    {
        return None;
    }
    // What the folder itself tells of a name costs nothing; only links must be followed.
    let kind = entry.file_type().ok().filter(|kind| !kind.is_symlink());
    let is_folder = kind.map_or_else(|| entry.path().is_dir(), |kind| kind.is_dir());
    let plain = kind.is_some_and(|kind| kind.is_file());
    (!is_folder).then_some(ListedFile { name, plain })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

    use super::*;

    /// By name, whatever the folder is called; links must be looked at, whether they lead to a file or nowhere.
    #[test]
    fn what_a_folder_lists() {
        let folder = tempfile::tempdir().unwrap();
        let at = folder.path().join("a.ron");
        fs::create_dir_all(at.join("d.ron")).unwrap();
        for name in ["b.ron", "a b.ron", ".hidden.ron", "c.txt", "ä.ron"] {
            fs::write(at.join(name), "").unwrap();
        }
        let mut wanted = vec![("a b.ron", true), ("b.ron", true), ("ä.ron", true)];
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(at.join("c.txt"), at.join("e.ron")).unwrap();
            std::os::unix::fs::symlink(at.join("nowhere"), at.join("f.ron")).unwrap();
            std::os::unix::fs::symlink(at.join("d.ron"), at.join("g.ron")).unwrap();
            wanted.splice(2..2, [("e.ron", false), ("f.ron", false)]);
        }
        let listing = Listing::of(&at, "ron").unwrap();
        let listed = listing.files.iter();
        let found: Vec<(&str, bool)> =
            listed.map(|listed| (listed.name().to_str().unwrap(), listed.plain)).collect();
        assert_eq!(found, wanted);
        let paths: Vec<PathBuf> = wanted.iter().map(|(name, _)| at.join(name)).collect();
        assert_eq!(files_in(&at, "ron").unwrap(), paths);
        assert!(files_in(&at.join("none"), "ron").unwrap().is_empty());
    }

    proptest::proptest! {
        /// As the standard library sorts them, however much of them is alike and wherever they end.
        #[test]
        fn names_are_sorted_by_their_bytes(names in proptest::collection::vec("[ab]{0,40}|[a-cß]{0,3}", 0..60)) {
            let mut files: Vec<ListedFile> =
                names.iter().map(|name| ListedFile { name: name.into(), plain: true }).collect();
            sort(&mut files);
            let mut wanted = names;
            wanted.sort();
            let found: Vec<&str> = files.iter().filter_map(|file| file.name.to_str()).collect();
            assert_eq!(found, wanted);
        }
    }
}
