//! Sealing what somebody signed or answered, for the window and the command line alike: what there is to
//! seal, with which keys, and whether a seal may be kept.
//!
//! - [`openssh`]: having OpenSSH's own program make the seal; [`keys`]: the keys a hand may seal with today.
//!
//! Nothing here reads a private key, and nothing keeps one.

pub(crate) mod keys;
pub(crate) mod openssh;

use core::fmt;

use jiff::civil::Date;
use record::review::{Account, ActAccount};
use record::seal::check_seal;
use record::{Body, Hands, SealState, Sealed, Seq};

pub(crate) use keys::{KeyOffer, keys_of};
pub(crate) use openssh::{Asks, KeyFrom, NotSealed, OpenSsh, StopSealing};

/// Something that somebody answers for, to be sealed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToSeal {
    /// The `seq` of its fact.
    pub seq: Seq,
    /// `signed`, `countersigned` or `returned`.
    pub word: &'static str,
    /// Whose it is.
    pub hand: String,
    /// The day it claims.
    pub day: Date,
    /// The 64 hex characters of its line.
    pub line_hash: String,
}

impl ToSeal {
    /// What `samepoint review` says of it.
    #[must_use]
    pub fn of(act: &ActAccount) -> Self {
        Self {
            seq: act.seq,
            word: act.word,
            hand: act.hand.clone(),
            day: act.day,
            line_hash: act.line_hash.clone(),
        }
    }

    /// The last of a session that is not sealed: the answer in force, else the signature. With a hand, the
    /// last that is its own, sealed or not.
    #[must_use]
    pub fn last_of(account: &Account, hand: Option<&str>) -> Option<Self> {
        let acts = &account.answerable.acts;
        let wanted = |act: &&ActAccount| match hand {
            Some(hand) => act.hand.trim() == hand.trim(),
            None => !act.is_sealed(),
        };
        acts.iter().rev().find(wanted).map(Self::of)
    }

    /// Takes a seal over it, if it may be kept: by a key of its hand in force on that day, or by any key
    /// where the shop lists no hands. What is said of it, and the fact to add.
    ///
    /// # Errors
    /// [`SealNotKept`]: what is wrong with it.
    pub fn take(&self, sshsig: String, hands: &Hands) -> Result<(String, Body), SealNotKept> {
        let state = check_seal(&sshsig, &self.line_hash, &self.hand, self.day, hands);
        let listed = hands.lists_anybody();
        let may = state.is_good() || (matches!(state, SealState::KeyOfNobody { .. }) && !listed);
        let sealed = SealNotKept { state, hand: self.hand.trim().to_owned() };
        if !may {
            return Err(sealed);
        }
        let mut said = sealed.to_string();
        if !listed {
            said.push_str("; the shop lists no hands, so nobody vouches for the key");
        }
        Ok((said, Body::Sealed(Sealed { seq: self.seq, sshsig })))
    }
}

/// A seal that is not kept: how it stands, by whose hand it should be. In words without a full stop.
#[derive(Clone, Debug)]
pub struct SealNotKept {
    /// What checking it gave.
    pub state: SealState,
    /// Who answers for the line.
    pub hand: String,
}

impl fmt::Display for SealNotKept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.state {
            SealState::OtherLine => f.write_str("ssh-keygen gave a signature that does not hold"),
            SealState::KeyOfNobody { key } => write!(f, "key {key} is listed for nobody"),
            SealState::KeyOfAnother { key, whose } => {
                write!(f, "key {key} is {whose}’s, not {}’s", self.hand)
            }
            state => write!(f, "{state}"),
        }
    }
}

impl std::error::Error for SealNotKept {}

/// A file that has no words for a seal. Without a full stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("its file is format {format}, which has no words for a seal; continue in a new file")]
pub(crate) struct NoWords {
    /// The file's format.
    pub format: u32,
}

/// Whether a file of a format can hold a seal.
///
/// # Errors
/// [`NoWords`].
pub(crate) fn has_words_for_seals(format: u32) -> Result<(), NoWords> {
    if format < 2 { Err(NoWords { format }) } else { Ok(()) }
}
