//! What a database's file sums up to, kept beside it: it tells damage, not forgery.

use std::fs::{self, File};
use std::io::{self, Read, Write as _};
use std::path::{Path, PathBuf};

use crate::file::plain;

/// Bytes of which each has a sum of its own.
const BLOCK: usize = 1 << 20;

/// Whether a database's file, opened and at its beginning, sums up to what is kept beside it.
pub(super) fn still_holds(file: &Path, opened: &File) -> bool {
    let held = || -> io::Result<bool> {
        let length = usize::try_from(opened.metadata()?.len()).map_err(io::Error::other)?;
        let sums = 8 + 4 * length.div_ceil(BLOCK);
        let mut kept = Vec::new();
        plain::open(&beside(file))?.take(sums as u64 + 1).read_to_end(&mut kept)?;
        Ok(kept.len() == sums && kept == of(opened)?)
    };
    held().unwrap_or(false)
}

/// Keeps what a database's file sums up to. Where that cannot be kept, the database is looked through another time.
pub(super) fn keep(file: &Path) {
    let kept = || -> io::Result<()> {
        let sums = of(&File::open(file)?)?;
        let folder = file.parent().unwrap_or(Path::new("."));
        let mut new = tempfile::NamedTempFile::new_in(folder)?;
        new.write_all(&sums)?;
        new.persist(beside(file))?;
        Ok(())
    };
    if kept().is_err() {
        let _ = fs::remove_file(beside(file));
    }
}

fn beside(file: &Path) -> PathBuf {
    file.with_extension("sum")
}

/// A file's length, and the CRC-32 of each of its blocks.
fn of(mut file: &File) -> io::Result<Vec<u8>> {
    let (mut length, mut sums, mut block) = (0_u64, Vec::new(), Vec::with_capacity(BLOCK));
    loop {
        block.clear();
        let read = (&mut file).take(BLOCK as u64).read_to_end(&mut block)?;
        if read == 0 {
            break;
        }
        length += read as u64;
        sums.extend(crc32fast::hash(&block).to_le_bytes());
    }
    Ok([&length.to_le_bytes()[..], &sums].concat())
}
