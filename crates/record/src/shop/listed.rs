//! What a folder lists of one extension.

use std::ffi::OsStr;
use std::fs::{self, DirEntry};
use std::io;
use std::path::{Path, PathBuf};

use crate::error::Error;

/// A file as its folder lists it.
pub(crate) struct ListedFile {
    pub(crate) path: PathBuf,
    /// Where its name begins in that.
    name_at: usize,
    /// Whether the folder itself tells that it is a plain file: no link, nothing that must be looked at first.
    pub(crate) plain: bool,
}

impl ListedFile {
    /// Its name in its folder.
    pub(crate) fn name(&self) -> &[u8] {
        self.path.as_os_str().as_encoded_bytes().get(self.name_at..).unwrap_or_default()
    }
}

/// What of one extension lies in a folder, by name; none where there is no folder. Folders and names
/// that begin with a dot are passed over. What is neither file nor folder, a link that leads nowhere
/// among it, is left for its reader to refuse by name.
pub(crate) fn listed_in(folder: &Path, extension: &str) -> Result<Vec<ListedFile>, Error> {
    let reading = |why| Error::io("read the folder", folder, why);
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(why) => return Err(reading(why)),
    };
    let mut all = Vec::new();
    for entry in entries {
        all.extend(listed(&entry.map_err(reading)?, extension));
    }
    // All of one folder: they compare as their names do.
    all.sort_unstable_by(|a, b| a.name().cmp(b.name()));
    Ok(all)
}

/// The same, where each lies.
pub(crate) fn files_in(folder: &Path, extension: &str) -> Result<Vec<PathBuf>, Error> {
    Ok(listed_in(folder, extension)?.into_iter().map(|listed| listed.path).collect())
}

fn listed(entry: &DirEntry, extension: &str) -> Option<ListedFile> {
    let name = entry.file_name();
    if name.as_encoded_bytes().starts_with(b".")
        || Path::new(&name).extension() != Some(OsStr::new(extension))
    {
        return None;
    }
    let path = entry.path();
    // What the folder itself tells of a name costs nothing; only links must be followed.
    let kind = entry.file_type().ok().filter(|kind| !kind.is_symlink());
    let is_folder = kind.map_or_else(|| path.is_dir(), |kind| kind.is_dir());
    // A name comes last in the path of its entry.
    let name_at = path.as_os_str().len().saturating_sub(name.len());
    let plain = kind.is_some_and(|kind| kind.is_file());
    (!is_folder).then_some(ListedFile { path, name_at, plain })
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
        let listed = listed_in(&at, "ron").unwrap();
        let found: Vec<(&str, bool)> = listed
            .iter()
            .map(|listed| (str::from_utf8(listed.name()).unwrap(), listed.plain))
            .collect();
        assert_eq!(found, wanted);
        assert!(
            listed.iter().all(|listed| listed.path == at.join(listed.path.file_name().unwrap()))
        );
        assert!(listed_in(&at.join("none"), "ron").unwrap().is_empty());
    }
}
