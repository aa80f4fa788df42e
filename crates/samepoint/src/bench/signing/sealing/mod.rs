//! Sealing from the window: what was signed or answered is on disk first, then OpenSSH's own program seals
//! its line on a thread of its own, while the window goes on. What fails leaves it signed.
//!
//! - [`choice`]: with which key; [`running`]: the seal that is being made; `acting`: having it made, keeping it;
//! - `ui`: the sheet.

pub(crate) mod acting;
pub mod choice;
pub mod running;
pub(crate) mod ui;

use std::path::PathBuf;

use record::Seq;

use crate::sealing::ToSeal;
use choice::{SealChoice, SealWith};

/// Something not sealed, and with what to seal it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealSheet {
    /// The session.
    pub path: PathBuf,
    /// What there is to seal in it.
    pub what: ToSeal,
    /// With which key.
    pub seal: SealChoice,
    /// What was refused.
    pub refused: Option<String>,
    /// Whether the keyboard goes back to what was refused.
    pub come_back: bool,
}

impl SealSheet {
    const fn of(path: PathBuf, what: ToSeal, seal: SealChoice) -> Self {
        Self { path, what, seal, refused: None, come_back: false }
    }
}

/// Something that was just signed or answered, to be sealed.
pub(crate) struct Wanted {
    pub(crate) path: PathBuf,
    pub(crate) seq: Seq,
    pub(crate) word: &'static str,
    pub(crate) hand: String,
    /// Its line's hash, where it is on disk already.
    pub(crate) line_hash: Option<String>,
    pub(crate) with: SealWith,
}
