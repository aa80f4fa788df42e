//! A session marked to be countersigned with others, and what was seen of it then.

use std::path::{Path, PathBuf};

use record::Account;
use record::review::FrameAgain;

/// A session that a supervisor looked at and marked to be countersigned with others.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkedSession {
    /// Its file.
    pub path: PathBuf,
    /// Why it was not countersigned, where that was tried.
    pub refused: Option<String>,
    pub(super) seen: SessionSeen,
    pub(super) frames: Vec<FrameAgain>,
}

impl MarkedSession {
    /// Marks the session that an account is of.
    pub(super) fn of(account: &Account) -> Self {
        Self {
            path: account.path.clone(),
            refused: None,
            seen: SessionSeen::of(account),
            frames: account.read_again.clone(),
        }
    }

    /// As lists call it.
    #[must_use]
    pub fn name(&self) -> String {
        name_of(&self.path)
    }
}

/// As lists call a session's file.
pub(super) fn name_of(path: &Path) -> String {
    crate::shell::open_shop::words_of(path)
}

/// What was seen of a session when it was looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct SessionSeen {
    last_hash: String,
    objections: Vec<String>,
    blind: Vec<String>,
}

impl SessionSeen {
    pub(super) fn of(account: &Account) -> Self {
        Self {
            last_hash: account.last_hash.clone(),
            objections: account.objections().iter().map(|one| format!("{one:?}")).collect(),
            blind: account.blind_disagreements(),
        }
    }

    /// Whether an account is of the same lines.
    pub(super) fn has_lines_of(&self, account: &Account) -> bool {
        self.last_hash == account.last_hash
    }
}
