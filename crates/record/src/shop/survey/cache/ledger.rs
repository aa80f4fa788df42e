//! What is kept of a shop's ledger: a file of its own beside the database, with a checksum that tells damage.

use std::io::{self, Read as _, Write as _};
use std::path::Path;

use super::SurveyCache;
use super::stamp::{Short, short};
use crate::file::{Disk, plain};
use crate::ledger::{KnownLedgers, Ledger};

impl SurveyCache {
    /// The ledger of a shop, of which only what is new is worked through; what it says is kept.
    pub(in crate::shop::survey) fn ledger_of(&self, shop: &Path, disk: &dyn Disk) -> Ledger {
        let (file, make) = (self.file_of(shop).with_extension("ledger"), self.make());
        let kept = if self.trusts { kept_in(&file, make).ok().flatten() } else { None };
        let mut known = kept.as_ref().map_or_else(KnownLedgers::default, |kept| {
            KnownLedgers::read(kept.get(HEAD..).unwrap_or_default())
        });
        let ledger = Ledger::load_knowing(shop, disk, &mut known);
        if let Some(now) = known.kept() {
            // What cannot be kept is worked through another time.
            let _ = keep_in(&file, make, &now);
        }
        ledger
    }

    fn make(&self) -> Short {
        short(self.made_by().as_bytes())
    }
}

/// A short digest of its make, and a CRC-32 of what is behind.
const HEAD: usize = size_of::<Short>() + size_of::<u32>();

fn head_of(make: Short, kept: &[u8]) -> Vec<u8> {
    [&make[..], &crc32fast::hash(kept).to_le_bytes()].concat()
}

/// What was kept, its head included; `None` where it is of another make or damaged.
fn kept_in(file: &Path, make: Short) -> io::Result<Option<Vec<u8>>> {
    let mut all = Vec::new();
    plain::open(file)?.read_to_end(&mut all)?;
    let is_whole =
        all.split_at_checked(HEAD).is_some_and(|(head, kept)| head == head_of(make, kept));
    Ok(is_whole.then_some(all))
}

fn keep_in(file: &Path, make: Short, kept: &[u8]) -> io::Result<()> {
    let folder = file.parent().unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder)?;
    let mut new = tempfile::NamedTempFile::new_in(folder)?;
    new.write_all(&head_of(make, kept))?;
    new.write_all(kept)?;
    new.persist(file)?;
    Ok(())
}
