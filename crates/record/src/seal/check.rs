//! Does a seal hold, and whose is it?

use core::fmt;

use jiff::civil::Date;
use ssh_key::{Algorithm, EcdsaCurve, HashAlg, PublicKey, SshSig};

use super::{NAMESPACE, with_plain_line_ends};
use crate::hands::Hands;
use crate::hands::hand::{fingerprint_of, public_key};

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
    /// A security key made it without anybody touching it: whatever ran on its computer could have it made.
    Untouched {
        /// The key.
        key: String,
    },
    /// It is by a key of a kind that is not checked here.
    CannotCheck {
        /// The key.
        key: String,
        /// Its kind as OpenSSH names it.
        kind: String,
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
            Self::Untouched { .. } => "key not touched",
            Self::CannotCheck { .. } => "kind of key not checked",
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
            Self::Untouched { key } => {
                write!(f, "the seal is by security key {key}, which nobody touched")
            }
            Self::CannotCheck { key, kind } => write!(
                f,
                "the seal is by key {key} of the kind {kind}, which is not checked here; \
                 `ssh-keygen -Y verify` can, over what `samepoint review --seals` writes"
            ),
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
    let name = || key.fingerprint(HashAlg::Sha256).to_string();
    let made = seal.signature().algorithm();
    if let Some(kind) = [key.algorithm(), made].into_iter().find(|kind| !is_checked(kind)) {
        return SealState::CannotCheck {
            key: name(),
            kind: crate::shown::one_line(kind.as_str()).into_owned(),
        };
    }
    if key.verify(NAMESPACE, line_hash.as_bytes(), &seal).is_err() {
        return SealState::OtherLine;
    }
    if !was_touched(&seal) {
        return SealState::Untouched { key: name() };
    }
    whose(name(), hand, day, hands)
}

/// Whether seals by keys of a kind are checked here.
fn is_checked(kind: &Algorithm) -> bool {
    matches!(
        kind,
        Algorithm::Ed25519
            | Algorithm::SkEd25519
            | Algorithm::SkEcdsaSha2NistP256
            | Algorithm::Rsa { .. }
            | Algorithm::Ecdsa { curve: EcdsaCurve::NistP256 | EcdsaCurve::NistP384 }
    )
}

/// Whether seals by the key of a public key line are checked here.
#[must_use]
pub fn checks_seals_of(line: &str) -> bool {
    public_key(line).is_some_and(|key| is_checked(&key.algorithm()))
}

/// Whether a security key was touched for a seal; seals by other keys need no touch.
///
/// OpenSSH's PROTOCOL.u2f: a security key's signature ends in a byte of flags, bit 0 of which is the user's
/// presence, and a counter of four bytes. A host can ask for one without; `sshd` refuses those, too.
fn was_touched(seal: &SshSig) -> bool {
    match seal.algorithm() {
        Algorithm::SkEd25519 | Algorithm::SkEcdsaSha2NistP256 => {
            let flags = seal.signature_bytes().iter().rev().nth(4);
            flags.is_some_and(|flags| flags & 1 == 1)
        }
        _ => true,
    }
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
        let in_force = its.iter().any(|held| listed.key_in_force(held, day));
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
