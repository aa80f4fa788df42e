//! Does a seal hold, and whose is it?

use core::fmt;

use jiff::civil::Date;
use ssh_key::{HashAlg, PublicKey, SshSig};

use super::{NAMESPACE, with_plain_line_ends};
use crate::hands::Hands;
use crate::hands::hand::{fingerprint_of, within};

/// What a seal comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SealState {
    /// It holds, by a key of the hand that was in force on that day.
    Good {
        /// The key, `SHA256:…`.
        key: String,
    },
    /// It holds, by a key that the shop lists for nobody.
    KeyOfNobody {
        /// The key.
        key: String,
    },
    /// It holds, by another hand's key.
    KeyOfAnother {
        /// The key.
        key: String,
        /// Whose it is.
        whose: String,
    },
    /// It holds, by a key that was revoked: whoever has it now can seal for any day.
    Revoked {
        /// The key.
        key: String,
    },
    /// It holds, by a key of the hand that was not in force on that day.
    NotInForce {
        /// The key.
        key: String,
        /// The day of the line sealed.
        day: Date,
    },
    /// It was made for something else than this program's records.
    OtherNamespace {
        /// For what.
        namespace: String,
    },
    /// It was made over something else than this line.
    OtherLine,
    /// It cannot be read as a seal.
    Unreadable {
        /// Why.
        why: String,
    },
}

impl SealState {
    /// Whether it counts.
    #[must_use]
    pub const fn is_good(&self) -> bool {
        matches!(self, Self::Good { .. })
    }

    /// It in a word, for programs.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Good { .. } => "good",
            Self::KeyOfNobody { .. } => "key not listed",
            Self::KeyOfAnother { .. } => "another hand's key",
            Self::Revoked { .. } => "key revoked",
            Self::NotInForce { .. } => "key not in force",
            Self::OtherNamespace { .. } => "other namespace",
            Self::OtherLine => "other line",
            Self::Unreadable { .. } => "unreadable",
        }
    }
}

impl fmt::Display for SealState {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Good { key } => write!(f, "the seal holds, by key {key}"),
            Self::KeyOfNobody { key } => {
                write!(f, "the seal is by key {key}, which the shop lists for nobody")
            }
            Self::KeyOfAnother { key, whose } => {
                write!(f, "the seal is by key {key}, which is {whose}’s")
            }
            Self::Revoked { key } => write!(f, "the seal is by key {key}, which was revoked"),
            Self::NotInForce { key, day } => {
                write!(f, "the seal is by key {key}, which was not in force on {day}")
            }
            Self::OtherNamespace { namespace } => write!(
                f,
                "the seal was made for “{}”, not for “{NAMESPACE}”",
                crate::shown::one_line(namespace)
            ),
            Self::OtherLine => f.write_str(
                "the seal was made over another line: it was copied from elsewhere, or the file was \
                 written anew since",
            ),
            Self::Unreadable { why } => write!(f, "the seal cannot be read: {why}"),
        }
    }
}

/// Checks a seal over a line.
///
/// `line_hash`: the 64 hex characters of the line sealed; `hand`, `day`: whose it is and when it claims to
/// have been written; `hands`: the shop's, as it lists them now.
#[must_use]
pub fn check_seal(
    sshsig: &str,
    line_hash: &str,
    hand: &str,
    day: Date,
    hands: &Hands,
) -> SealState {
    let unreadable = |why: &dyn fmt::Display| SealState::Unreadable { why: why.to_string() };
    let seal = match SshSig::from_pem(with_plain_line_ends(sshsig)) {
        Ok(seal) => seal,
        Err(why) => return unreadable(&why),
    };
    if seal.namespace() != NAMESPACE {
        return SealState::OtherNamespace { namespace: seal.namespace().to_owned() };
    }
    let key = PublicKey::new(seal.public_key().clone(), "");
    if key.verify(NAMESPACE, line_hash.as_bytes(), &seal).is_err() {
        return SealState::OtherLine;
    }
    let key = key.fingerprint(HashAlg::Sha256).to_string();
    whose(key, hand, day, hands)
}

/// What a seal that holds is worth, by whose key made it.
fn whose(key: String, hand: &str, day: Date, hands: &Hands) -> SealState {
    let all = || hands.known.iter().map(|kept| &kept.value);
    if all().any(|listed| listed.has_revoked(&key)) {
        return SealState::Revoked { key };
    }
    let has = |line: &str| fingerprint_of(line).as_deref() == Some(key.as_str());
    let listed = hands.hand(hand).map(|listed| {
        let its: Vec<_> = listed.keys.iter().filter(|held| has(&held.line)).collect();
        let in_force = its.iter().any(|held| {
            let (from, until) = listed.days_of(held);
            within(day, from, until)
        });
        (!its.is_empty(), in_force)
    });
    match listed {
        Some((true, true)) => return SealState::Good { key },
        Some((true, false)) => return SealState::NotInForce { key, day },
        _ => {}
    }
    match all().find(|listed| listed.keys.iter().any(|held| has(&held.line))) {
        Some(other) => SealState::KeyOfAnother { key, whose: other.initials.clone() },
        None => SealState::KeyOfNobody { key },
    }
}
