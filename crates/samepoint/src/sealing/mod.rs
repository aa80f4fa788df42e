//! Sealing what somebody signed or answered, for the window and the command line alike: what there is to
//! seal, with which keys, and whether a seal may be kept.
//!
//! - [`openssh`]: having OpenSSH's own program make the seal; [`keys`]: the keys a hand may seal with today.
//!
//! Nothing here reads a private key, and nothing keeps one.

pub mod keys;
pub mod openssh;

use jiff::civil::Date;
use record::review::{Account, ActAccount};
use record::seal::check_seal;
use record::{Body, Hands, SealState, Sealed, Seq};

pub use keys::{KeyOffer, keys_of};
pub use openssh::{Asks, KeyFrom, NotSealed, OpenSsh, Stop, on_path};

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
    /// What is wrong with it, without a full stop.
    pub fn take(&self, sshsig: String, hands: &Hands) -> Result<(String, Body), String> {
        let state = check_seal(&sshsig, &self.line_hash, &self.hand, self.day, hands);
        let listed = hands.lists_anybody();
        let may = state.is_good() || (matches!(state, SealState::KeyOfNobody { .. }) && !listed);
        let mut said = self.words(&state);
        if !may {
            return Err(said);
        }
        if !listed {
            said.push_str("; the shop lists no hands, so nobody vouches for the key");
        }
        Ok((said, Body::Sealed(Sealed { seq: self.seq, sshsig })))
    }

    fn words(&self, state: &SealState) -> String {
        match state {
            SealState::OtherLine => "ssh-keygen gave a signature that does not hold".to_owned(),
            SealState::KeyOfNobody { key } => format!("key {key} is listed for nobody"),
            SealState::KeyOfAnother { key, whose } => {
                format!("key {key} is {whose}’s, not {}’s", self.hand.trim())
            }
            state => state.to_string(),
        }
    }
}

/// Why a file cannot hold a seal, without a full stop.
#[must_use]
pub fn no_words_for_seals(format: u32) -> Option<String> {
    (format < 2).then(|| {
        format!(
            "its file is format {format}, which has no words for a seal; continue in a new file"
        )
    })
}
