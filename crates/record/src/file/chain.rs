//! The line and its chain: `("<64 hex>",BODY)` and LF.
//!
//! hex = SHA-256 of the previous line's 64 hex characters followed by the bytes of BODY as they
//! stand in the file; 64 zeros before the first line. The chain shows damage and casual edits. It
//! cannot show whole lines cut off the end, nor somebody who rewrites the whole file.

use core::fmt;

use sha2::{Digest, Sha256};

/// The most bytes in a line, its LF not counted: 1 MiB.
pub const LONGEST_LINE: usize = 1 << 20;

/// What stands before and behind BODY: `("`, 64 hex characters, `",` and `)`.
const BEFORE_BODY: usize = 2 + 64 + 2;

/// A line's hash as its 64 lower-case hex characters.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct ChainHash([u8; 64]);

impl ChainHash {
    /// What stands in for the line before the first.
    pub const START: Self = Self([b'0'; 64]);

    /// The hash of a BODY after this line.
    #[must_use]
    pub fn next(&self, body: &[u8]) -> Self {
        let digest = Sha256::new().chain_update(self.0).chain_update(body).finalize();
        Self::of_digest(digest.into())
    }

    /// From its 64 lower-case hex characters; `None` for anything else.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let hex: [u8; 64] = text.as_bytes().try_into().ok()?;
        let lower = |byte: &u8| matches!(byte, b'0'..=b'9' | b'a'..=b'f');
        hex.iter().all(lower).then_some(Self(hex))
    }

    /// The 32 bytes that its characters stand for.
    #[must_use]
    pub fn digest(&self) -> [u8; 32] {
        let value = |digit: u8| if digit <= b'9' { digit - b'0' } else { digit - b'a' + 10 };
        let mut digest = [0; 32];
        for (byte, pair) in digest.iter_mut().zip(self.0.chunks_exact(2)) {
            *byte = pair.iter().fold(0, |byte, digit| byte << 4 | value(*digit));
        }
        digest
    }

    /// From the same 32 bytes.
    #[must_use]
    pub fn of_digest(digest: [u8; 32]) -> Self {
        let mut hex = [0; 64];
        for (pair, byte) in hex.chunks_exact_mut(2).zip(digest) {
            pair.copy_from_slice(&[hex_digit(byte >> 4), hex_digit(byte & 15)]);
        }
        Self(hex)
    }

    /// The 64 characters.
    #[must_use]
    pub fn as_str(&self) -> &str {
        // Hex digits only, so always text.
        core::str::from_utf8(&self.0).unwrap_or_default()
    }
}

const fn hex_digit(nibble: u8) -> u8 {
    match nibble {
        0..=9 => b'0' + nibble,
        _ => b'a' + nibble - 10,
    }
}

impl fmt::Display for ChainHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl fmt::Debug for ChainHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// The line for a BODY, with its LF, and the hash it carries.
#[must_use]
pub fn line(previous: &ChainHash, body: &str) -> (Vec<u8>, ChainHash) {
    let hash = previous.next(body.as_bytes());
    let mut line = Vec::with_capacity(BEFORE_BODY + body.len() + 2);
    line.extend_from_slice(b"(\"");
    line.extend_from_slice(&hash.0);
    line.extend_from_slice(b"\",");
    line.extend_from_slice(body.as_bytes());
    line.extend_from_slice(b")\n");
    (line, hash)
}

/// Why a line does not continue the chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Break {
    /// It is not of the form of a line.
    NotALine,
    /// Its hash is not that of its body after the line before.
    HashDiffers,
}

/// The BODY of a line (without LF) that continues the chain, and its hash.
pub(crate) fn follow<'a>(
    previous: &ChainHash,
    line: &'a [u8],
) -> Result<(&'a [u8], ChainHash), Break> {
    let (hex, body) = parts(line).ok_or(Break::NotALine)?;
    let hash = previous.next(body);
    if hash.0 == hex { Ok((body, hash)) } else { Err(Break::HashDiffers) }
}

/// The BODY of something that has the form of a line, whatever its hash says.
pub(crate) fn body_of(line: &[u8]) -> Option<&[u8]> {
    parts(line).map(|(_, body)| body)
}

/// The hash that a line states, whatever became of the rest of it.
pub(crate) fn stated(line: &[u8]) -> Option<ChainHash> {
    let hex = line.get(2..66)?;
    let digits = hex.iter().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
    Some(ChainHash(hex.try_into().ok().filter(|_| digits)?))
}

/// Whether it has the form of a line.
pub(crate) fn is_one(line: &[u8]) -> bool {
    parts(line).is_some()
}

/// What stands where the BODY of a line stands, whatever became of the signs round it.
pub(crate) fn where_body_stands(line: &[u8]) -> Option<&[u8]> {
    line.get(BEFORE_BODY..line.len().checked_sub(1)?)
}

/// Where a line may begin: `("`, 64 hex characters and `",`, which no text in a BODY holds, since a
/// quotation mark in a text is escaped.
pub(crate) fn starts(bytes: &[u8]) -> impl Iterator<Item = usize> {
    let windows = bytes.windows(BEFORE_BODY).enumerate();
    let is_one = |w: &[u8]| w.starts_with(b"(\"") && w.ends_with(b"\",") && stated(w).is_some();
    windows.filter(move |(_, window)| is_one(window)).map(|(at, _)| at)
}

fn parts(line: &[u8]) -> Option<(&[u8], &[u8])> {
    let rest = line.strip_prefix(b"(\"")?.strip_suffix(b")")?;
    let (hex, rest) = rest.split_at_checked(64)?;
    Some((hex, rest.strip_prefix(b"\",")?))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn the_hash_is_sha_256_of_the_hash_before_and_the_body() {
        // GNU coreutils 9.1: (printf '%064d' 0; printf abc) | sha256sum
        assert_eq!(
            ChainHash::START.next(b"abc").as_str(),
            "b64374d04ef9c4f39fddb1e0d6be38a0130f6c057fc0f4ee467ea0e18bc758f1"
        );
    }

    #[test]
    fn a_line_follows_the_one_before_and_no_other() {
        let (first, hash) = line(&ChainHash::START, "(a:1)");
        let (second, last) = line(&hash, "(a:2)");
        let without_lf = |line: &[u8]| line.strip_suffix(b"\n").unwrap().to_vec();
        assert_eq!(follow(&ChainHash::START, &without_lf(&first)).unwrap(), (&b"(a:1)"[..], hash));
        assert_eq!(follow(&hash, &without_lf(&second)).unwrap(), (&b"(a:2)"[..], last));
        assert_eq!(follow(&ChainHash::START, &without_lf(&second)), Err(Break::HashDiffers));
        assert_eq!(follow(&hash, b"hello"), Err(Break::NotALine));
        assert_eq!(follow(&hash, b"(\"\")"), Err(Break::NotALine));
    }
}
