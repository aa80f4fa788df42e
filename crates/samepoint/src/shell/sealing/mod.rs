//! Sealing, as far as signing and review share it.
//!
//! - [`choice`]: with which key; [`running`]: the seal that is being made; [`ui`]: both on screen.

pub(crate) mod choice;
pub(crate) mod running;
pub(crate) mod ui;

use std::path::PathBuf;

use record::Seq;
use record::review::Beside;

use super::Shell;
use choice::{NoKeyFile, SealChoice, SealWith};

/// Why nothing is sealed as chosen.
#[derive(Debug, thiserror::Error)]
pub enum SealRefused {
    /// No key where the choice says.
    #[error(transparent)]
    NoKeyFile(#[from] NoKeyFile),
    /// One seal at a time.
    #[error("Another seal is being made: wait for its key, or stop it (Shift+F12, then Esc).")]
    AnotherGoesOn,
    /// The sheet offers none.
    #[error("No key is offered to seal with, as said above.")]
    NoKey,
}

/// Something that was just signed or answered, to be sealed.
pub(crate) struct SealWanted {
    pub(crate) path: PathBuf,
    pub(crate) seq: Seq,
    pub(crate) word: &'static str,
    pub(crate) hand: String,
    /// Its line's hash, where it is on disk already.
    pub(crate) line_hash: Option<String>,
    pub(crate) with: SealWith,
}

impl Shell {
    /// What may be chosen for a session beside which this lies.
    #[must_use]
    pub fn seal_choice_beside(
        &self,
        beside: Option<&Beside>,
        format: u32,
        practice: bool,
    ) -> SealChoice {
        let day = self.now().date();
        let (openssh, used) = (&self.services.openssh, &self.preferences.key_files);
        SealChoice::beside(beside, (format, practice), openssh, used, day)
    }

    /// With which key what a hand signs or answers is to be sealed; `None`: with none.
    ///
    /// # Errors
    /// Why it cannot be sealed so.
    pub fn seal_with(
        &self,
        choice: &SealChoice,
        hand: &str,
    ) -> Result<Option<SealWith>, SealRefused> {
        let with = choice.with(hand)?;
        if with.is_some() {
            self.may_seal()?;
        }
        Ok(with)
    }

    /// Why a seal cannot be begun now.
    ///
    /// # Errors
    /// [`SealRefused::AnotherGoesOn`].
    pub fn may_seal(&self) -> Result<(), SealRefused> {
        match &self.sealing {
            Some(running) if running.is_going_on() => Err(SealRefused::AnotherGoesOn),
            _ => Ok(()),
        }
    }
}
