//! Reading the ledger of a shop.

use std::path::Path;

use smol_str::SmolStr;

use super::kept::KeptLedger;
use super::known::{Again, KnownEntry, KnownFile, KnownLedgers, ReadBehind};
use super::{Entries, LEDGER_EXTENSION, LEDGER_FOLDER, Ledger, LedgerEntry, Noted};
use crate::error::Error;
use crate::fact::{Fact, Seq};
use crate::file::hashed::Hashed;
use crate::file::scan::{ReadTo, scan_on};
use crate::file::{Disk, End, Unread};
use crate::journal::fold;
use crate::shop::files_in;
use crate::shown;

impl Ledger {
    /// Reads the ledger of a shop. A shop without one has an empty one.
    #[must_use]
    pub fn load(shop: &Path, disk: &dyn Disk) -> Self {
        let mut loading = Loading::new(disk, None);
        loading.all_of(shop);
        loading.ledger
    }

    /// The same by what is known of its files, which becomes what is known now.
    #[must_use]
    pub(crate) fn load_knowing(shop: &Path, disk: &dyn Disk, known: &mut KnownLedgers<'_>) -> Self {
        let mut loading = Loading::new(disk, Some(known));
        loading.all_of(shop);
        if loading.is_not_as_kept {
            *known = KnownLedgers::default();
            loading = Loading::new(disk, Some(known));
            loading.all_of(shop);
            // What was kept is not kept any longer, whatever is known instead.
            loading.learnt = true;
        }
        let Loading { ledger, now, learnt, .. } = loading;
        known.become_known(now, learnt);
        ledger
    }
}

/// A ledger that is being read.
struct Loading<'a, 'k> {
    disk: &'a dyn Disk,
    known: Option<&'a KnownLedgers<'k>>,
    ledger: Ledger,
    /// The files that are known now.
    now: Vec<KnownFile<'k>>,
    /// Whether that is more of any of them.
    learnt: bool,
    /// Whether what is known is other than what was kept.
    is_not_as_kept: bool,
}

impl<'a, 'k> Loading<'a, 'k> {
    fn new(disk: &'a dyn Disk, known: Option<&'a KnownLedgers<'k>>) -> Self {
        let (ledger, now) = (Ledger::default(), Vec::new());
        Self { disk, known, ledger, now, learnt: false, is_not_as_kept: false }
    }

    fn all_of(&mut self, shop: &Path) {
        let folder = shop.join(LEDGER_FOLDER);
        match files_in(&folder, LEDGER_EXTENSION) {
            Ok(paths) => {
                for path in paths {
                    if let Err(why) = self.take(&path) {
                        // It may be there again the next time.
                        let known = self.known.and_then(|known| known.file(&path));
                        self.now.extend(known.cloned());
                        self.ledger.skipped.push(Unread::of(path, why, self.disk));
                    }
                }
            }
            Err(why) => self.ledger.skipped.push(Unread { path: folder, why, held: None }),
        }
    }

    fn take(&mut self, path: &Path) -> Result<(), Error> {
        let disk = self.disk;
        let open = || disk.open_read(path).map_err(|why| Error::io("open", path, why));
        let mut bytes = Hashed::new(open()?);
        let mut before = self.known.and_then(|known| known.file(path)).cloned();
        let again = before.as_ref().map(|before| before.again(path, &mut bytes)).transpose();
        let again = again.map_err(|why| Error::io("read", path, why))?.flatten();
        if before.is_some() && again.is_none() {
            (before, bytes) = (None, Hashed::new(open()?));
        }
        let Again { read, mut hashes, others: mut facts } = again.unwrap_or_else(Again::nothing);
        let scanned = scan_on(path, &mut bytes, &read, |_, hash| hashes.push(*hash))?;
        facts.extend(scanned.facts);
        let Entries { journal, entries } = fold(&facts);
        let Some(header) = journal.header else {
            self.is_not_as_kept |= before.is_some();
            return Err(Error::HeaderOutOfPlace);
        };
        let (lines, last_hash, end) = (hashes.len() as Seq, scanned.last_hash, scanned.end);
        let (length, format) = (scanned.good_length, scanned.format);
        let name = SmolStr::from(shown::path(path.file_name().map_or(path, Path::new)));
        let mut known = 0;
        for entry in before.iter().flat_map(KnownFile::entries) {
            let is_as_kept = entry.and_then(|entry| self.ledger.note_known(&entry, &name));
            self.is_not_as_kept |= is_as_kept.is_none();
            known += 1;
        }
        self.is_not_as_kept |= before.as_ref().is_some_and(|before| !before.is_of_each_line(known));
        if self.known.is_some() {
            let behind = ReadBehind {
                read: &ReadTo { lines, length, last_hash, format },
                is_whole: end == End::Clean && !scanned.lacks_line_end,
                sha256: bytes.sha256(),
                facts: &facts,
                entries: &entries,
            };
            let (now, learnt) = KnownFile::after(before, path, &behind).unzip();
            self.now.extend(now);
            self.learnt |= learnt.unwrap_or_default();
        }
        for Fact { time: at, body: entry, .. } in entries {
            self.ledger.noted.add(Noted { entry, at, ledger: name.clone() });
        }
        let (path, facts, marks) = (path.to_owned(), lines, journal.marks);
        let file = KeptLedger { path, header, format, marks, facts, last_hash, end, hashes };
        self.ledger.files.push(file);
        Ok(())
    }
}

impl Ledger {
    /// Takes in what is known from before; `None` where it is not as it was kept. What is noted of one session has its
    /// names in memory once.
    fn note_known(&mut self, known: &KnownEntry<'_>, ledger: &SmolStr) -> Option<()> {
        let (line, late, at) = known.line()?;
        let first = self.of(known.session).first().map(|noted| &noted.entry);
        let file = first.map(|first| &first.file).filter(|file| *file == known.file);
        let file = file.cloned().unwrap_or_else(|| known.file.into());
        let session = first.map_or_else(|| known.session.into(), |first| first.session.clone());
        let entry = LedgerEntry { session, file, line, late };
        self.noted.add(Noted { entry, at, ledger: ledger.clone() });
        Some(())
    }
}
