//! The folder of the tables: files put in place whole, and only over what this program wrote.

use std::collections::BTreeMap;
use std::fs::{self, File, TryLockError};
use std::io::{self, Read as _, Write as _};
use std::path::{Component, Path, PathBuf};

use record::file::plain;
use sha2::{Digest as _, Sha256};

use crate::columns::Table;
use crate::file::is_ours;
use crate::inputs::hex;
use crate::manifest::{FileWritten, MANIFEST, Manifest};
use crate::refusal::TablesRefusal;

/// The name of the one file of a shop's month.
pub const PART: &str = "part.parquet";

/// What the names of files that are not in place yet begin with.
const UNFINISHED: &str = ".samepoint-tables-";

/// No manifest comes near: one of a million files has some 200 MB.
const LARGEST_MANIFEST: u64 = 1 << 30;

/// The lock file's name.
const LOCK: &str = ".samepoint-tables.lock";

/// What is asked of a disk; so that one can fail.
pub trait OutputDisk {
    /// Puts a file in place whole, or leaves what was there.
    ///
    /// # Errors
    /// As the system says.
    fn put(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;

    /// Takes a file away.
    ///
    /// # Errors
    /// As the system says.
    fn remove(&self, path: &Path) -> io::Result<()>;
}

/// The disk.
#[derive(Clone, Copy, Debug, Default)]
pub struct RealStore;

impl OutputDisk for RealStore {
    fn put(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let folder = path.parent().unwrap_or_else(|| Path::new("."));
        fs::create_dir_all(folder)?;
        let mut file = tempfile::Builder::new().prefix(UNFINISHED).tempfile_in(folder)?;
        file.write_all(bytes)?;
        readable_like_others(file.as_file())?;
        file.as_file().sync_all()?;
        file.persist(path).map_err(|failed| failed.error)?;
        Ok(())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }
}

/// Unfinished files are their owner's alone; tables are for whoever may look into the folder.
#[cfg(unix)]
fn readable_like_others(file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    file.set_permissions(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn readable_like_others(_file: &File) -> io::Result<()> {
    Ok(())
}

/// The folder of the tables while it is written to.
pub struct Output<'a> {
    folder: PathBuf,
    store: &'a dyn OutputDisk,
    manifest: Option<Manifest>,
    /// The files of ours that lie there, by their path in it.
    found: BTreeMap<String, PathBuf>,
    /// Those that are to be there.
    kept: BTreeMap<String, FileWritten>,
    /// Of these, how many bytes.
    bytes: u64,
    written: usize,
    begun: bool,
    _lock: File,
}

impl core::fmt::Debug for Output<'_> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Output").field("folder", &self.folder).finish_non_exhaustive()
    }
}

/// A shop's month that lies there as it is to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptMonth {
    /// How many rows its tables have.
    pub rows: Vec<(Table, usize)>,
    /// What of it was passed over, and why.
    pub passed_over: Vec<String>,
}

/// What became of the files.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Changes {
    /// Files there are now.
    pub files: usize,
    /// Their bytes.
    pub bytes: u64,
    /// Of these, written.
    pub written: usize,
    /// Files taken away.
    pub removed: usize,
}

impl<'a> Output<'a> {
    /// Opens the folder, made where it is not there, and looks at what lies in it.
    ///
    /// # Errors
    /// All but [`TablesRefusal::NoShop`]; nothing is written over then.
    pub fn open(
        to: &Path,
        shops: &[&Path],
        store: &'a dyn OutputDisk,
    ) -> Result<Self, TablesRefusal> {
        let resolved =
            resolved(to).map_err(|why| TablesRefusal::NotWritten { path: to.to_owned(), why })?;
        apart(to, &resolved, shops)?;
        if resolved.exists() && !resolved.is_dir() {
            return Err(TablesRefusal::NoFolder { to: to.to_owned() });
        }
        let failed = |why| TablesRefusal::NotWritten { path: to.to_owned(), why };
        fs::create_dir_all(&resolved).map_err(failed)?;
        let lock = locked(&resolved, to)?;
        let mut output = Self {
            folder: resolved,
            store,
            manifest: None,
            found: BTreeMap::new(),
            kept: BTreeMap::new(),
            bytes: 0,
            written: 0,
            begun: false,
            _lock: lock,
        };
        output.read_manifest()?;
        for table in Table::ALL {
            output.look_at(table)?;
        }
        // Where the manifest lies, too.
        clear_unfinished(&output.folder);
        Ok(output)
    }

    /// What was written last.
    #[must_use]
    pub const fn manifest(&self) -> Option<&Manifest> {
        self.manifest.as_ref()
    }

    fn read_manifest(&mut self) -> Result<(), TablesRefusal> {
        let path = self.folder.join(MANIFEST);
        if path.symlink_metadata().is_err() {
            return Ok(());
        }
        let mut bytes = Vec::new();
        if let Ok(file) = plain::open(&path) {
            // What cannot be read to its end is no manifest.
            let _ = file.take(LARGEST_MANIFEST).read_to_end(&mut bytes);
        }
        self.manifest = Manifest::read(&bytes);
        // One that was torn, or is of another form, is known by what it begins with.
        let begins = bytes.starts_with(b"{\n  \"what\": \"tables of samepoint\"");
        if self.manifest.is_some() || begins {
            Ok(())
        } else {
            Err(TablesRefusal::NotOurs { file: path })
        }
    }

    /// Looks at what lies where files of a table would.
    fn look_at(&mut self, table: Table) -> Result<(), TablesRefusal> {
        let folder = self.folder.join(table.name());
        self.leads_nowhere_else(&folder)?;
        for shop in folders(&folder, "shop=") {
            self.leads_nowhere_else(&shop)?;
            for month in folders(&shop, "month=") {
                self.leads_nowhere_else(&month)?;
                clear_unfinished(&month);
                let path = month.join(PART);
                if path.symlink_metadata().is_err() {
                    continue;
                }
                if !is_ours(&path, table) {
                    return Err(TablesRefusal::NotOurs { file: path });
                }
                self.found.insert(self.name_of(&path), path);
            }
        }
        Ok(())
    }

    /// A link in the folder may lead anywhere, into a shop too.
    fn leads_nowhere_else(&self, folder: &Path) -> Result<(), TablesRefusal> {
        match folder.symlink_metadata() {
            Ok(metadata) if metadata.is_dir() => Ok(()),
            Ok(_) => Err(TablesRefusal::LeadsElsewhere { folder: folder.to_owned() }),
            Err(_) => Ok(()),
        }
    }

    fn name_of(&self, path: &Path) -> String {
        let inside = path.strip_prefix(&self.folder).unwrap_or(path);
        let parts = inside.components().map(|part| part.as_os_str().to_string_lossy());
        parts.collect::<Vec<_>>().join("/")
    }

    /// Whether all that the manifest names lies there as it was written, and nothing else of ours.
    #[must_use]
    pub fn is_as_written(&self) -> Option<(&Manifest, Changes)> {
        let manifest = self.manifest.as_ref()?;
        let mut bytes = 0;
        for file in &manifest.files {
            bytes += self.stands(file)?;
        }
        let files = manifest.files.len();
        (files == self.found.len())
            .then_some((manifest, Changes { files, bytes, written: 0, removed: 0 }))
    }

    /// Puts a table's file of a shop and month in place, unless it lies there with these bytes.
    ///
    /// # Errors
    /// [`TablesRefusal::NotWritten`].
    pub fn put(
        &mut self,
        (table, shop, month): (Table, &str, &str),
        rows: usize,
        bytes: &[u8],
    ) -> Result<(), TablesRefusal> {
        let path = self.folder.join(table.name()).join(shop).join(month).join(PART);
        let name = self.name_of(&path);
        let sha256 = hex(&Sha256::digest(bytes));
        let stands =
            self.found.contains_key(&name) && fs::read(&path).is_ok_and(|held| held == bytes);
        if !stands {
            self.begin()?;
            let failed = |why| TablesRefusal::NotWritten { path: path.clone(), why };
            self.store.put(&path, bytes).map_err(failed)?;
            self.written += 1;
        }
        self.bytes += bytes.len() as u64;
        self.kept.insert(name.clone(), FileWritten { path: name, rows, sha256 });
        Ok(())
    }

    /// Keeps a shop's month as it lies there, where it was made of the same and lies there as it was written: its
    /// rows by table, and what was passed over.
    pub fn keep(&mut self, partition: &str, inputs_sha256: &str) -> Option<KeptMonth> {
        let manifest = self.manifest.as_ref().filter(|one| one.program == Manifest::program())?;
        let written = manifest.months.iter().find(|month| month.partition == partition)?;
        if written.inputs_sha256 != inputs_sha256 {
            return None;
        }
        let passed_over = written.passed_over.clone();
        let mut kept = KeptMonth { rows: Vec::new(), passed_over };
        let (mut files, mut bytes) = (Vec::new(), 0);
        for table in Table::ALL {
            let name = format!("{}/{partition}/{PART}", table.name());
            let Some(file) = manifest.files.iter().find(|file| file.path == name) else { continue };
            bytes += self.stands(file)?;
            kept.rows.push((table, file.rows));
            files.push(file.clone());
        }
        self.bytes += bytes;
        self.kept.extend(files.into_iter().map(|file| (file.path.clone(), file)));
        Some(kept)
    }

    /// How long a file is, where it lies there as it was written.
    fn stands(&self, file: &FileWritten) -> Option<u64> {
        let held = fs::read(self.found.get(&file.path)?).ok()?;
        (hex(&Sha256::digest(&held)) == file.sha256).then_some(held.len() as u64)
    }

    /// Before the first change: what stands there is not whole from here on.
    fn begin(&mut self) -> Result<(), TablesRefusal> {
        if !self.begun {
            let now = self.manifest.clone().unwrap_or_else(Manifest::begun);
            self.write_manifest(&Manifest { whole: false, ..now })?;
            self.begun = true;
        }
        Ok(())
    }

    fn write_manifest(&self, manifest: &Manifest) -> Result<(), TablesRefusal> {
        let path = self.folder.join(MANIFEST);
        let bytes = manifest.bytes().map_err(io::Error::other);
        let put = bytes.and_then(|bytes| self.store.put(&path, &bytes));
        put.map_err(|why| TablesRefusal::NotWritten { path, why })
    }

    /// Takes away what is no longer to be there, and says in the manifest what is.
    ///
    /// # Errors
    /// [`TablesRefusal::NotWritten`].
    pub fn finish(mut self, manifest: Manifest) -> Result<Changes, TablesRefusal> {
        let gone: Vec<PathBuf> = self
            .found
            .iter()
            .filter(|(name, _)| !self.kept.contains_key(*name))
            .map(|(_, path)| path.clone())
            .collect();
        for path in &gone {
            self.begin()?;
            let failed = |why| TablesRefusal::NotWritten { path: path.clone(), why };
            self.store.remove(path).map_err(failed)?;
            // Folders go once nothing lies in them, whoever put it there.
            let folders = path.ancestors().skip(1).take_while(|folder| *folder != self.folder);
            for folder in folders {
                if fs::remove_dir(folder).is_err() {
                    break;
                }
            }
        }
        let files = self.kept.values().cloned().collect();
        let manifest = Manifest { whole: true, files, ..manifest };
        if self.begun || self.manifest.as_ref() != Some(&manifest) {
            self.write_manifest(&manifest)?;
        }
        Ok(Changes {
            files: self.kept.len(),
            bytes: self.bytes,
            written: self.written,
            removed: gone.len(),
        })
    }
}

/// A path without links, whether or not its end is there yet.
fn resolved(path: &Path) -> io::Result<PathBuf> {
    let whole = std::path::absolute(path)?;
    let mut rest = Vec::new();
    let mut there = whole.as_path();
    loop {
        match fs::canonicalize(there) {
            Ok(found) => {
                let mut found = found;
                for part in rest.iter().rev() {
                    match part {
                        Component::ParentDir => {
                            found.pop();
                        }
                        Component::CurDir => {}
                        part => found.push(part),
                    }
                }
                return Ok(found);
            }
            Err(why) if why.kind() == io::ErrorKind::NotFound => {
                // A link that leads nowhere is there, and is no place to write to.
                let is_link = there.symlink_metadata().is_ok();
                let last = there.components().next_back().filter(|_| !is_link);
                let (Some(part), Some(parent)) = (last, there.parent()) else { return Err(why) };
                rest.push(part);
                there = parent;
            }
            Err(why) => return Err(why),
        }
    }
}

/// Neither lies in the other where that would do harm.
fn apart(to: &Path, resolved: &Path, shops: &[&Path]) -> Result<(), TablesRefusal> {
    for shop in shops {
        if resolved.starts_with(shop) {
            return Err(TablesRefusal::InsideShop { to: to.to_owned(), shop: (*shop).to_owned() });
        }
        let inside = Table::ALL.iter().any(|table| shop.starts_with(resolved.join(table.name())));
        if inside {
            return Err(TablesRefusal::ShopInside { to: to.to_owned(), shop: (*shop).to_owned() });
        }
    }
    Ok(())
}

fn locked(folder: &Path, to: &Path) -> Result<File, TablesRefusal> {
    let path = folder.join(LOCK);
    let failed = |why| TablesRefusal::NotWritten { path: path.clone(), why };
    // A pipe of that name would keep whoever opens it waiting.
    if path.symlink_metadata().is_ok_and(|metadata| !metadata.is_file()) {
        return Err(TablesRefusal::NotOurs { file: path });
    }
    let lock =
        File::options().create(true).truncate(false).write(true).open(&path).map_err(failed)?;
    match lock.try_lock() {
        Err(TryLockError::WouldBlock) => Err(TablesRefusal::Busy { to: to.to_owned() }),
        // Some shares cannot lock: files are put in place whole all the same.
        Ok(()) | Err(TryLockError::Error(_)) => Ok(lock),
    }
}

/// The folders in a folder whose names begin so, and links of such names, by name.
fn folders(folder: &Path, begin: &str) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let named = entries.filter(|entry| entry.file_name().to_string_lossy().starts_with(begin));
    let mut found: Vec<PathBuf> = named.map(|entry| entry.path()).collect();
    found.sort();
    found
}

/// Files that an interrupted run did not put in place.
fn clear_unfinished(folder: &Path) {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in entries {
        if entry.file_name().to_string_lossy().starts_with(UNFINISHED) {
            // What cannot be taken away now is tried again the next time.
            let _ = fs::remove_file(entry.path());
        }
    }
}
