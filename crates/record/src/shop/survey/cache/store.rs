//! The database in which summaries are kept.
//!
//! Looking every page of it through, and putting down that this was done, takes longer than all else of an opening in
//! which nothing changed. So what its whole file sums up to is kept beside it whenever it is let go of ([`sum`]): a file
//! that still does is read as it is, and neither written nor kept from other readers. Any other is looked through.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use redb::{
    Builder, Database, DatabaseError, Error, ReadOnlyDatabase, ReadOnlyTable, ReadableDatabase,
    ReadableTable as _, TableDefinition,
};

use super::bundle::{Bundle, Kept, bundles, count_staying, with};
use super::sum;

/// Summaries by the names of their files, [bundles](super::bundle) of them by the first.
const SUMMARIES: TableDefinition<'_, &[u8], &[u8]> = TableDefinition::new("summaries");

/// By which form and build they were made, under [`MADE_BY`], and how many there are.
const ABOUT: TableDefinition<'_, &str, &str> = TableDefinition::new("about");
const MADE_BY: &str = "made by";
const COUNT: &str = "count";

/// So much of it is held in memory where it is written, bytes.
const MEMORY: usize = 32 << 20;

/// The same where it is only read: each bundle is asked for once, and the next is another.
const MEMORY_TO_READ: usize = 2 << 20;

/// A database that is as it was let go of, or ours alone until it is dropped.
pub(super) struct Store {
    file: PathBuf,
    made_by: String,
    held: Held,
}

enum Held {
    AsItWas(ReadOnlyDatabase),
    Ours(Database),
}

/// What is in it.
pub(super) struct Reader(ReadOnlyTable<&'static [u8], &'static [u8]>);

/// Where in it was read last: what stands together is asked for one after the other.
#[derive(Default)]
pub(in crate::shop::survey) struct ReadLast(Option<Bundle>);

impl Store {
    /// Whether one of this make was read to its end and let go of there, without opening it.
    pub(super) fn is_kept(file: &Path, made_by: &str) -> bool {
        file.is_file() && sum::is_kept(file, made_by)
    }

    /// Opens it, or makes it anew where it is of another make, or damaged. `None` where somebody holds it or
    /// none can be made there.
    pub(super) fn open(file: &Path, made_by: &str) -> Option<Self> {
        // What was put in its place and is no plain file is left alone.
        if fs::symlink_metadata(file).is_ok_and(|there| !there.is_file()) {
            return None;
        }
        fs::create_dir_all(file.parent()?).ok()?;
        let store = |held| Self { file: file.to_owned(), made_by: made_by.to_owned(), held };
        if let Some(database) = as_it_was(file, made_by).filter(|held| was_made_by(held, made_by)) {
            return Some(store(Held::AsItWas(database)));
        }
        match looked_through(file) {
            Ok(database) if was_made_by(&database, made_by) => {
                return Some(store(Held::Ours(database)));
            }
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
        let database = looked_through(file).ok()?;
        begin(&database, made_by).ok()?;
        Some(store(Held::Ours(database)))
    }

    /// What is in it.
    pub(super) fn reader(&self) -> Option<Reader> {
        let table = match &self.held {
            Held::AsItWas(database) => database.begin_read().ok()?.open_table(SUMMARIES),
            Held::Ours(database) => database.begin_read().ok()?.open_table(SUMMARIES),
        };
        table.ok().map(Reader)
    }

    /// How many summaries are in it.
    pub(super) fn count(&self) -> Option<u64> {
        let count = match &self.held {
            Held::AsItWas(database) => said(database, COUNT),
            Held::Ours(database) => said(database, COUNT),
        };
        count?.parse().ok()
    }

    /// Lets go of it as it is. Nobody reads it any more.
    pub(super) fn let_go(self) {
        if let Held::Ours(database) = self.held {
            drop(database);
            sum::keep(&self.file, &self.made_by);
        }
    }

    /// Adds these, takes out those whose keys do not stay, and lets go of it. What cannot be written is read whole
    /// again another time. Nobody reads it any more.
    pub(super) fn write(self, found: Vec<Kept>, stays: impl Fn(&[u8]) -> bool) {
        let ours = match self.held {
            Held::Ours(database) => Ok(database),
            // It was whole a moment ago.
            Held::AsItWas(database) => {
                drop(database);
                Builder::new().set_cache_size(MEMORY).create(&self.file)
            }
        };
        let Ok(database) = ours else { return };
        let _ = write(&database, found, stays);
        drop(database);
        sum::keep(&self.file, &self.made_by);
    }
}

impl Reader {
    /// What stands under a key, if it can be read.
    pub(super) fn get<T>(
        &self,
        key: &[u8],
        last: &mut ReadLast,
        read: impl FnOnce(&[u8]) -> Option<T>,
    ) -> Option<T> {
        if !last.0.as_ref().is_some_and(|last| last.spans(key)) {
            let (_, held) = self.0.range(..=key).ok()?.next_back()?.ok()?;
            last.0 = Bundle::of(held);
        }
        read(last.0.as_mut()?.get(key)?)
    }
}

/// The database whose file still sums up to what it did when it was let go of. Held meanwhile, nobody writes it.
fn as_it_was(file: &Path, made_by: &str) -> Option<ReadOnlyDatabase> {
    let opened = File::open(file).ok()?;
    opened.try_lock_shared().ok()?;
    let whole = sum::still_holds(file, &opened, made_by);
    whole.then(|| Builder::new().set_cache_size(MEMORY_TO_READ).open_read_only(file).ok())?
}

/// Each page has a checksum, and all are looked at first: nothing is taken from a database that was damaged.
fn looked_through(file: &Path) -> Result<Database, DatabaseError> {
    Builder::new().set_cache_size(MEMORY).set_check_integrity_on_open(true).create(file)
}

fn was_made_by(database: &impl ReadableDatabase, made_by: &str) -> bool {
    said(database, MADE_BY).is_some_and(|held| held == made_by)
}

/// What is said about it.
fn said(database: &impl ReadableDatabase, what: &str) -> Option<String> {
    let about = database.begin_read().ok()?.open_table(ABOUT).ok()?;
    let held = about.get(what).ok()??;
    Some(held.value().to_owned())
}

fn begin(database: &Database, made_by: &str) -> Result<(), Error> {
    let begun = database.begin_write()?;
    begun.open_table(ABOUT)?.insert(MADE_BY, made_by)?;
    begun.open_table(SUMMARIES)?;
    Ok(begun.commit()?)
}

fn write(
    database: &Database,
    mut found: Vec<Kept>,
    stays: impl Fn(&[u8]) -> bool,
) -> Result<(), Error> {
    found.sort_unstable();
    let mut found = found.into_iter().peekable();
    let writing = database.begin_write()?;
    let mut table = writing.open_table(SUMMARIES)?;
    let firsts: Result<Vec<Vec<u8>>, redb::StorageError> =
        table.iter()?.map(|held| held.map(|(first, _)| first.value().to_vec())).collect();
    let firsts = firsts?;
    let mut count = 0;
    // What stands before the first bundle goes into it, and all of them into one where there is none.
    for (place, first) in firsts.iter().map(Some).chain([None]).enumerate() {
        let next = firsts.get(place + 1);
        let belongs = |(key, _): &Kept| next.is_none_or(|next| key < next);
        let new: Vec<Kept> = core::iter::from_fn(|| found.next_if(belongs)).collect();
        let now = match first {
            Some(first) => {
                let Some(held) = table.get(first.as_slice())? else { continue };
                let (all, stay) = count_staying(held.value(), &stays);
                if stay && new.is_empty() {
                    count += all;
                    continue;
                }
                with(held.value(), new, &stays)
            }
            None => new,
        };
        if let Some(first) = first {
            table.remove(first.as_slice())?;
        }
        for (first, bundle) in bundles(&now) {
            table.insert(first, bundle.as_slice())?;
        }
        count += now.len();
    }
    drop(table);
    writing.open_table(ABOUT)?.insert(COUNT, count.to_string().as_str())?;
    Ok(writing.commit()?)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

    use std::collections::BTreeMap;

    use rand::rngs::ChaCha8Rng;
    use rand::{RngExt as _, SeedableRng as _};

    use super::*;

    /// Whatever is put in and taken out, in it is what a map of the standard library says; and unless it is of another
    /// make, it is as it was let go of.
    #[test]
    fn it_holds_what_a_map_holds() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("kept.redb");
        let mut chance = ChaCha8Rng::seed_from_u64(24);
        let mut model: BTreeMap<Vec<u8>, Vec<u8>> = BTreeMap::new();
        for round in 0..40 {
            let store = Store::open(&file, "1").unwrap();
            assert_eq!(matches!(store.held, Held::AsItWas(_)), round > 0, "round {round}");
            assert_eq!(store.count().unwrap_or_default(), model.len() as u64);
            let (reader, mut last) = (store.reader().unwrap(), ReadLast::default());
            // Each twice, so that it is asked for what lies behind, too.
            for number in (0..700_u32).chain(0..700) {
                let key = format!("{number}").into_bytes();
                let found = reader.get(&key, &mut last, |kept| Some(kept.to_vec()));
                assert_eq!(found.as_ref(), model.get(&key), "{number} in round {round}");
            }
            drop((reader, last));
            if round % 7 == 6 {
                store.let_go();
                continue;
            }
            // Few or many, of a part of all keys or of all, now and then nothing stays.
            let (from, to) = (chance.random_range(0..350), chance.random_range(350..700));
            let share = if round % 2 == 0 { 0.02 } else { 0.6 };
            let gone: Vec<Vec<u8>> = (from..to)
                .filter(|_| round % 13 == 12 || chance.random_bool(share))
                .map(|number: u32| format!("{number}").into_bytes())
                .collect();
            let mut found: Vec<Kept> = Vec::new();
            for number in from..to {
                if chance.random_bool(share) {
                    let value = vec![chance.random(); chance.random_range(0..3000)];
                    found.push((format!("{number}").into_bytes(), value));
                }
            }
            model.retain(|key, _| !gone.contains(key));
            model.extend(found.iter().cloned());
            store.write(found, |key| !gone.iter().any(|gone| gone == key));
        }
        assert!(model.len() > 100);
        let store = Store::open(&file, "2").unwrap();
        assert_eq!(store.count(), None);
    }
}
