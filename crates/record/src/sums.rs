//! SHA-256 of files, and lists of them as `sha256sum` of GNU coreutils reads and checks them.
//!
//! A line is the sum in 64 hexadecimal digits, a blank, a blank again (for text; there is no difference on POSIX) and
//! the name. Where the name holds a backslash or an end of line, the line begins with a backslash and these stand as
//! `\\`, `\n` and `\r` (GNU coreutils manual, *md5sum invocation*).

use sha2::{Digest as _, Sha256};

/// The SHA-256 of these bytes, 64 digits.
///
/// ```
/// // NIST's example of “abc” (FIPS 180-4 example values).
/// assert_eq!(
///     record::sums::sha256(b"abc"),
///     "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
/// );
/// ```
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A file's line, its end included.
#[must_use]
pub fn line(sum: &str, name: &str) -> String {
    let escaped = name.replace('\\', "\\\\").replace('\n', "\\n").replace('\r', "\\r");
    let mark = if escaped == name { "" } else { "\\" };
    format!("{mark}{sum}  {escaped}\n")
}
