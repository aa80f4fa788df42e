//! Seals: SSH signatures (OpenSSH's PROTOCOL.sshsig) over the hash of the line by which somebody answers
//! for a session.
//!
//! What is sealed are the 64 hex characters of that line's chain hash, so the line and all before it.
//! Nothing here signs or holds a private key: that is the user's agent's, through OpenSSH's own program.
//! An SSH signature holds no time; the day is the line's own claim.
//!
//! - [`check`]: does a seal hold, and whose is it? [`export`]: files for OpenSSH's own program.

pub mod check;
pub mod export;

pub use check::{SealState, check_seal, checks_seals_of};
pub use export::{Exported, SealFiles, allowed_signers, revoked_keys, seals_of, write_seals};

/// The namespace of every seal.
pub const NAMESPACE: &str = "samepoint";

/// A seal's text with the line ends it was made with: a mail program's CR are taken out.
#[must_use]
pub fn with_plain_line_ends(sshsig: &str) -> String {
    let mut text = sshsig.replace("\r\n", "\n").replace('\r', "\n");
    text.truncate(text.trim_end().len());
    text.push('\n');
    text
}
