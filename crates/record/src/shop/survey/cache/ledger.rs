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

/// More than this is not taken from the cache, bytes.
const MOST: u64 = 1 << 30;

/// What was kept, its head included; `None` where it is of another make or damaged.
fn kept_in(file: &Path, make: Short) -> io::Result<Option<Vec<u8>>> {
    let mut opened = plain::open(file)?.take(MOST);
    let mut all = Vec::new();
    (&mut opened).take(HEAD as u64).read_to_end(&mut all)?;
    if !all.starts_with(&make) {
        return Ok(None);
    }
    opened.read_to_end(&mut all)?;
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

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

    use std::fs;

    use super::*;
    use crate::file::RealDisk;
    use crate::ledger::known::tests::{FILE, ledger_of};

    /// That what is kept is used, and by whom, shows in a hand that is another one there.
    #[test]
    fn what_is_kept_is_used_by_its_own_build_alone() {
        let folder = tempfile::tempdir().unwrap();
        let shop = folder.path().join("shop");
        fs::create_dir_all(shop.join("ledger")).unwrap();
        fs::write(shop.join("ledger").join(FILE), ledger_of(600)).unwrap();
        let of_build =
            |build: &str| SurveyCache::new(folder.path().join("cache"), build.to_owned());
        let cache = of_build("1");
        let others = |cache: &SurveyCache| {
            let ledger = cache.ledger_of(&shop, &RealDisk);
            let all = ledger.sessions().flat_map(|one| one.noted);
            let (others, hands): (Vec<_>, Vec<_>) =
                all.partition(|noted| noted.entry.line.hand == "RB");
            assert_eq!(others.len() + hands.len(), 598);
            others.len()
        };
        assert_eq!(others(&cache), 0);
        let (file, make) = (cache.file_of(&shop).with_extension("ledger"), cache.make());
        let mut kept = kept_in(&file, make).unwrap().unwrap().split_off(HEAD);
        let place = kept.windows(2).rposition(|two| two == b"KT").unwrap();
        kept[place..place + 2].copy_from_slice(b"RB");
        let keep = || keep_in(&file, make, &kept).unwrap();
        keep();
        assert_eq!((others(&cache), others(&cache)), (1, 1));
        assert_eq!(others(&cache.clone().read_anew()), 0, "asked to trust nothing");
        assert_eq!(others(&cache), 0, "what was read instead is kept");
        keep();
        assert_eq!(others(&of_build("2")), 0);
        assert_eq!(others(&cache), 0, "one of each shop is kept");
        // A bit of it is another.
        keep();
        let mut damaged = fs::read(&file).unwrap();
        damaged[HEAD + 7] ^= 1;
        fs::write(&file, damaged).unwrap();
        assert_eq!(others(&cache), 0);
    }
}
