//! Sealing from the window: what was signed or answered is on disk first, then OpenSSH's own program seals
//! its line on a thread of its own, while the window goes on. What fails leaves it signed.
//!
//! `acting`: having it made, keeping it; `ui`: the sheet. What review shares lies in [`crate::shell::sealing`].

pub(crate) mod acting;
pub(crate) mod ui;

use std::path::PathBuf;

use crate::sealing::ToSeal;
use crate::shell::sealing::choice::SealChoice;

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
