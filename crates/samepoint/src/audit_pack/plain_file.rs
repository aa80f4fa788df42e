//! The bytes of a plain file, with a bound.

use std::io;
use std::path::Path;

use record::file::plain;
use record::sums;

/// The longest file that is packed, bytes.
const LONGEST: u64 = 256 << 20;

/// All of a plain file.
pub(super) fn plain_bytes(path: &Path) -> io::Result<Vec<u8>> {
    use io::Read as _;
    let mut bytes = Vec::new();
    plain::open(path)?.into_inner().take(LONGEST + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LONGEST {
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, "it is longer than 256 MiB"));
    }
    Ok(bytes)
}

/// Its SHA-256, where it can be read.
pub(super) fn sum_of(path: &Path) -> Option<String> {
    plain_bytes(path).ok().map(|bytes| sums::sha256(&bytes))
}
