//! The folder of a pack: filled beside where it is to be, under a hidden name, and put in place by one renaming.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use record::file::names;
use record::sums;
use tempfile::TempDir;

use crate::report_file::{NotWritten, ReportRefusal};

/// The list of sums, which holds all others and not itself.
const SUMS: &str = "SHA256SUMS";

/// A pack being filled; let go of, it leaves nothing.
pub(super) struct Filling {
    /// Where it is to be.
    to: PathBuf,
    folder: TempDir,
    sums: String,
    /// Names taken, in small letters: a pack is copied to disks that do not tell large ones apart.
    taken: BTreeSet<String>,
}

impl Filling {
    /// Looks whether there is nothing where it is to be, or an empty folder, and begins beside it.
    pub(super) fn begin(to: &Path) -> Result<Self, NotWritten> {
        let refused = |why: ReportRefusal| why.of(to);
        match fs::symlink_metadata(to) {
            Err(why) if why.kind() == io::ErrorKind::NotFound => {}
            Err(why) => return Err(refused(ReportRefusal::NotLookedAt(why))),
            Ok(found) if !found.is_dir() => return Err(refused(ReportRefusal::NoFolder)),
            Ok(_) => {
                let mut within =
                    fs::read_dir(to).map_err(|why| refused(ReportRefusal::NotLookedAt(why)))?;
                if within.next().is_some() {
                    return Err(refused(ReportRefusal::NotEmpty));
                }
            }
        }
        names::taken_here(to).map_err(|why| refused(ReportRefusal::System(why)))?;
        let beside = to.parent().filter(|folder| !folder.as_os_str().is_empty());
        let beside = beside.unwrap_or_else(|| Path::new("."));
        let folder =
            hidden().tempdir_in(beside).map_err(|why| refused(ReportRefusal::System(why)))?;
        let (sums, taken) = (String::new(), BTreeSet::new());
        Ok(Self { to: to.to_owned(), folder, sums, taken })
    }

    /// Whether something in it has a name.
    pub(super) fn has(&self, name: &str) -> bool {
        self.taken.contains(&name.to_lowercase())
    }

    /// Puts a file in, under a name with `/` between folder and file; its SHA-256.
    pub(super) fn put(&mut self, name: &str, bytes: &[u8]) -> Result<String, NotWritten> {
        if !self.taken.insert(name.to_lowercase()) {
            return Err(ReportRefusal::There.of(&self.to.join(name)));
        }
        self.written(name, bytes)
            .map_err(|why| ReportRefusal::System(why).of(&self.to.join(name)))?;
        let sum = sums::sha256(bytes);
        self.sums.push_str(&sums::line(&sum, name));
        Ok(sum)
    }

    fn written(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let path = self.folder.path().join(name);
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder)?;
        }
        let mut file = File::create_new(&path)?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    /// Puts the sums in and the folder in its place. An empty folder there is replaced; one that something was put
    /// into meanwhile is not.
    pub(super) fn in_place(self) -> Result<(), NotWritten> {
        let refused = |why: io::Error| match why.kind() {
            io::ErrorKind::DirectoryNotEmpty | io::ErrorKind::AlreadyExists => {
                ReportRefusal::NotEmpty.of(&self.to)
            }
            io::ErrorKind::NotADirectory => ReportRefusal::NoFolder.of(&self.to),
            _ => ReportRefusal::System(why).of(&self.to),
        };
        self.written(SUMS, self.sums.as_bytes()).map_err(refused)?;
        let from = self.folder.path();
        // Not every system lets a folder take the place of an empty one.
        let placed = fs::rename(from, &self.to).or_else(|why| match fs::remove_dir(&self.to) {
            Ok(()) => fs::rename(from, &self.to),
            Err(full) if full.kind() == io::ErrorKind::DirectoryNotEmpty => Err(full),
            Err(_) => Err(why),
        });
        placed.map_err(refused)?;
        // It is there no more under its hidden name, so that nothing is to be taken away.
        let _ = self.folder.keep();
        Ok(())
    }
}

/// A folder that, renamed, is as readable as any other of this user.
fn hidden() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o777));
    }
    builder.prefix(".samepoint-audit-");
    builder
}
