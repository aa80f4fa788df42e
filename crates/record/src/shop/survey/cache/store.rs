//! The database in which summaries are kept.

use std::fs;
use std::path::Path;

use redb::{
    Builder, Database, DatabaseError, Error, ReadOnlyTable, ReadableDatabase as _,
    ReadableTable as _, ReadableTableMetadata as _, TableDefinition,
};

/// Summaries by the names of their files.
const SUMMARIES: TableDefinition<'_, &[u8], &[u8]> = TableDefinition::new("summaries");

/// By which form and build they were made, under [`MADE_BY`].
const ABOUT: TableDefinition<'_, &str, &str> = TableDefinition::new("about");
const MADE_BY: &str = "made by";

/// So much of it is held in memory, bytes.
const MEMORY: usize = 32 << 20;

/// A database that is ours alone until it is dropped.
pub(super) struct Store(Database);

/// What is in it.
pub(super) struct Reader(ReadOnlyTable<&'static [u8], &'static [u8]>);

impl Store {
    /// Opens it, or makes it anew where it is of another make, or damaged. `None` where somebody holds it or
    /// none can be made there.
    pub(super) fn open(file: &Path, made_by: &str) -> Option<Self> {
        // What was put in its place and is no plain file is left alone.
        if fs::symlink_metadata(file).is_ok_and(|there| !there.is_file()) {
            return None;
        }
        fs::create_dir_all(file.parent()?).ok()?;
        match open(file) {
            Ok(database) if was_made_by(&database, made_by) => return Some(Self(database)),
            Ok(_) => {}
            Err(DatabaseError::DatabaseAlreadyOpen | DatabaseError::LockProtocolMismatch) => {
                return None;
            }
            Err(_) => {}
        }
        match fs::remove_file(file) {
            Err(why) if why.kind() != std::io::ErrorKind::NotFound => return None,
            _ => {}
        }
        let database = open(file).ok()?;
        begin(&database, made_by).ok()?;
        Some(Self(database))
    }

    /// What is in it.
    pub(super) fn reader(&self) -> Option<Reader> {
        self.0.begin_read().ok()?.open_table(SUMMARIES).ok().map(Reader)
    }

    /// How many summaries are in it.
    pub(super) fn count(&self) -> Option<u64> {
        self.0.begin_read().ok()?.open_table(SUMMARIES).ok()?.len().ok()
    }

    /// Adds these, and takes out those whose keys do not stay. What cannot be written is read whole again
    /// another time.
    pub(super) fn write(&self, found: &[(Vec<u8>, Vec<u8>)], stays: impl Fn(&[u8]) -> bool) {
        let _ = write(&self.0, found, stays);
    }
}

impl Reader {
    /// What stands under a key, if it can be read.
    pub(super) fn get<T>(&self, key: &[u8], read: impl FnOnce(&[u8]) -> Option<T>) -> Option<T> {
        read(self.0.get(key).ok()??.value())
    }
}

/// Each page has a checksum, and all are looked at first: nothing is taken from a database that was damaged.
fn open(file: &Path) -> Result<Database, DatabaseError> {
    Builder::new().set_cache_size(MEMORY).set_check_integrity_on_open(true).create(file)
}

fn was_made_by(database: &Database, made_by: &str) -> bool {
    let held = || -> Result<bool, Error> {
        let about = database.begin_read()?.open_table(ABOUT)?;
        let held = about.get(MADE_BY)?;
        Ok(held.is_some_and(|held| held.value() == made_by))
    };
    held().unwrap_or(false)
}

fn begin(database: &Database, made_by: &str) -> Result<(), Error> {
    let begun = database.begin_write()?;
    begun.open_table(ABOUT)?.insert(MADE_BY, made_by)?;
    begun.open_table(SUMMARIES)?;
    Ok(begun.commit()?)
}

fn write(
    database: &Database,
    found: &[(Vec<u8>, Vec<u8>)],
    stays: impl Fn(&[u8]) -> bool,
) -> Result<(), Error> {
    let table = database.begin_read()?.open_table(SUMMARIES)?;
    let mut gone: Vec<Vec<u8>> = Vec::new();
    for held in table.iter()? {
        let (key, _) = held?;
        if !stays(key.value()) {
            gone.push(key.value().to_vec());
        }
    }
    drop(table);
    let writing = database.begin_write()?;
    let mut table = writing.open_table(SUMMARIES)?;
    for key in &gone {
        table.remove(key.as_slice())?;
    }
    for (key, summary) in found {
        table.insert(key.as_slice(), summary.as_slice())?;
    }
    drop(table);
    Ok(writing.commit()?)
}
