//! What a database's file sums up to, kept beside it: it tells damage, not forgery.

use std::fs::{self, File};
use std::io::{self, Read, Write as _};
use std::path::{Path, PathBuf};

use super::stamp::{Short, short};
use crate::file::plain;

/// Bytes of which each has a sum of its own.
const BLOCK: usize = 1 << 20;

/// Whether a database's file, opened and at its beginning, sums up to what is kept beside it, and that is of this make.
pub(super) fn still_holds(file: &Path, opened: &File, made_by: &str) -> bool {
    let held = || -> io::Result<bool> {
        let length = usize::try_from(opened.metadata()?.len()).map_err(io::Error::other)?;
        let sums = size_of::<Short>() + 8 + 4 * length.div_ceil(BLOCK);
        let mut kept = Vec::new();
        plain::open(&beside(file))?.take(sums as u64 + 1).read_to_end(&mut kept)?;
        Ok(kept.len() == sums && kept == of(opened, made_by)?)
    };
    held().unwrap_or(false)
}

/// Whether a database of this make was let go of here, by what is kept beside it.
pub(super) fn is_kept(file: &Path, made_by: &str) -> bool {
    let kept = || -> io::Result<Short> {
        let mut make = Short::default();
        plain::open(&beside(file))?.read_exact(&mut make)?;
        Ok(make)
    };
    kept().is_ok_and(|make| make == short(made_by.as_bytes()))
}

/// Keeps what a database's file sums up to, and of which make it is. Where that cannot be kept, the database is looked through another time.
pub(super) fn keep(file: &Path, made_by: &str) {
    let kept = || -> io::Result<()> {
        let sums = of(&File::open(file)?, made_by)?;
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

/// A short digest of its make, a file's length, and the CRC-32 of each of its blocks.
fn of(mut file: &File, made_by: &str) -> io::Result<Vec<u8>> {
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
    Ok([&short(made_by.as_bytes())[..], &length.to_le_bytes(), &sums].concat())
}
