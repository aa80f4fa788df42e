//! A reader that tells the SHA-256 of what was read through it.

use std::io::{self, Read};

use sha2::{Digest as _, Sha256};

/// Hashes what is read through it.
pub(crate) struct Hashed<R> {
    bytes: R,
    hash: Sha256,
}

impl<R> Hashed<R> {
    pub(crate) fn new(bytes: R) -> Self {
        Self { bytes, hash: Sha256::new() }
    }

    /// The SHA-256 of all that was read so far.
    pub(crate) fn sha256(&self) -> [u8; 32] {
        self.hash.clone().finalize().into()
    }
}

impl<R: Read> Read for Hashed<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.bytes.read(buffer)?;
        self.hash.update(buffer.get(..count).unwrap_or_default());
        Ok(count)
    }
}
