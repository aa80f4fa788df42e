//! The keys that a hand may seal with today, by the shop's list.

use jiff::civil::Date;
use record::Hands;
use record::hands::hand::fingerprint_of;
use record::seal::checks_seals_of;

/// A key that a seal may be made with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyOffer {
    /// Whose.
    pub hand: String,
    /// The line of its `.pub` file.
    pub line: String,
    /// Its fingerprint, `SHA256:…`.
    pub fingerprint: String,
    /// It in a few words: kind, comment, the beginning of its fingerprint.
    pub words: String,
    /// Whether it is a security key, which is touched for each seal.
    pub is_touched: bool,
    /// Whether its seals can be checked here.
    pub is_checked: bool,
}

/// Every key of every hand that is in force on a day, in the shop's order.
#[must_use]
pub(crate) fn keys_of(hands: &Hands, day: Date) -> Vec<KeyOffer> {
    let mut offers = Vec::new();
    for hand in hands.known.iter().map(|kept| &kept.value) {
        for held in &hand.keys {
            if !hand.key_in_force(held, day) {
                continue;
            }
            let Some(fingerprint) = fingerprint_of(&held.line) else { continue };
            if hands.known.iter().any(|kept| kept.value.has_revoked(&fingerprint)) {
                continue;
            }
            let kind = held.line.split_whitespace().next().unwrap_or_default();
            offers.push(KeyOffer {
                hand: hand.initials.clone(),
                words: words(&held.line, kind, &fingerprint),
                is_touched: kind.starts_with("sk-"),
                is_checked: checks_seals_of(&held.line),
                line: held.line.trim().to_owned(),
                fingerprint,
            });
        }
    }
    offers
}

/// The longest comment that is shown of a key, letters.
const LONGEST_COMMENT: usize = 24;

/// `ed25519 “bench laptop” SHA256:47DEQpj8…`
fn words(line: &str, kind: &str, fingerprint: &str) -> String {
    let kind = match kind {
        "ssh-ed25519" => "ed25519",
        "ssh-rsa" => "rsa",
        "sk-ssh-ed25519@openssh.com" => "ed25519 security key",
        "sk-ecdsa-sha2-nistp256@openssh.com" => "ecdsa security key",
        other if other.starts_with("ecdsa-") => "ecdsa",
        _ => "key",
    };
    let comment = line.trim().splitn(3, char::is_whitespace).nth(2).unwrap_or_default();
    let comment = record::shown::one_line(comment.trim());
    let comment = record::shown::short(&comment, LONGEST_COMMENT);
    let begin: String = fingerprint.chars().take("SHA256:".len() + 8).collect();
    if comment.is_empty() {
        format!("{kind} {begin}…")
    } else {
        format!("{kind} “{comment}” {begin}…")
    }
}
