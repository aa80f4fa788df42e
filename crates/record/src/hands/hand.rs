//! One hand.

use jiff::civil::Date;
use ssh_key::{HashAlg, PublicKey};

use super::role::HandRole;
use crate::error::Error;
use crate::fact::is_nobody;
use crate::fact::texts::texts;
use crate::validate::{Checked, named};

/// Somebody whose initials stand in facts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hand {
    /// As they stand in facts; the file's name.
    pub initials: String,
    /// In full; empty where nobody said.
    pub name: String,
    /// What this hand may do.
    pub roles: Vec<HandRole>,
    /// The first day in force.
    pub from: Date,
    /// The last; `None`: still in force.
    pub until: Option<Date>,
    /// The public keys its seals are made with.
    pub keys: Vec<HandKey>,
    /// Public keys that are its no more, whatever day a seal claims: a stolen key can claim any.
    pub revoked: Vec<String>,
    /// A remark.
    pub note: String,
}

/// A public key of a hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandKey {
    /// The line of its `.pub` file.
    pub line: String,
    /// The first day it is good; `None`: as the hand.
    pub from: Option<Date>,
    /// The last; `None`: as the hand.
    pub until: Option<Date>,
}

texts!(Hand { initials, name, keys, revoked, note; roles, from, until });
texts!(HandKey { line; from, until });

impl Hand {
    /// Whether it is in force on a day.
    #[must_use]
    pub fn in_force(&self, day: Date) -> bool {
        within(day, self.from, self.until)
    }

    /// The days of a key: those of the hand, or fewer.
    #[must_use]
    pub fn days_of(&self, key: &HandKey) -> (Date, Option<Date>) {
        let from = key.from.map_or(self.from, |from| from.max(self.from));
        let until = match (key.until, self.until) {
            (Some(key), Some(hand)) => Some(key.min(hand)),
            (key, hand) => key.or(hand),
        };
        (from, until)
    }

    /// Whether one of its keys is in force on a day.
    #[must_use]
    pub fn key_in_force(&self, key: &HandKey, day: Date) -> bool {
        let (from, until) = self.days_of(key);
        within(day, from, until)
    }

    /// Whether a key of it, by its SHA-256 fingerprint, is revoked.
    #[must_use]
    pub fn has_revoked(&self, fingerprint: &str) -> bool {
        self.revoked.iter().any(|line| fingerprint_of(line).as_deref() == Some(fingerprint))
    }
}

fn within(day: Date, from: Date, until: Option<Date>) -> bool {
    from <= day && until.is_none_or(|until| day <= until)
}

/// A public key line read.
pub(crate) fn public_key(line: &str) -> Option<PublicKey> {
    PublicKey::from_openssh(line.trim()).ok()
}

/// A public key's fingerprint as OpenSSH tells it, `SHA256:…`; `None` for what is no key.
#[must_use]
pub fn fingerprint_of(line: &str) -> Option<String> {
    Some(public_key(line)?.fingerprint(HashAlg::Sha256).to_string())
}

/// A public key's line without its comment.
pub(crate) fn bare_line(line: &str) -> Option<String> {
    let mut key = public_key(line)?;
    key.set_comment("");
    key.to_openssh().ok()
}

impl Checked for Hand {
    fn check(&self) -> Result<(), Error> {
        named("initials", &self.initials)?;
        let refused = |what: &str| {
            Err(Error::HandRefused { initials: self.initials.clone(), what: what.to_owned() })
        };
        if is_nobody(&self.initials) || self.initials.trim() != self.initials {
            return refused("initials are letters, without spaces round them");
        }
        // Patterns of `allowed_signers`, and what would end or escape a line.
        if self.initials.chars().any(|c| "*?!,\"\\#".contains(c) || crate::shown::is_hidden(c)) {
            return refused("initials may not hold * ? ! , \" \\ # or marks that are not seen");
        }
        if self.roles.is_empty() {
            return refused("it has no role; give it trainee, technician or supervisor");
        }
        if self.until.is_some_and(|until| until < self.from) {
            return refused("it ends before it begins");
        }
        for key in &self.keys {
            key_line(&key.line).or_else(refused)?;
            if let (Some(from), Some(until)) = (key.from, key.until)
                && until < from
            {
                return refused("a key ends before it begins");
            }
        }
        for line in &self.revoked {
            key_line(line).or_else(refused)?;
        }
        Ok(())
    }
}

fn key_line(line: &str) -> Result<(), &'static str> {
    if line.contains("PRIVATE KEY") {
        return Err(
            "this is a private key, which nobody else may see: make a new one, and put the line \
                    of its .pub file here",
        );
    }
    if line.trim().lines().count() != 1 {
        return Err("a key is one line, that of its .pub file");
    }
    match public_key(line) {
        Some(_) => Ok(()),
        None => Err("a key is no OpenSSH public key; put the line of its .pub file here"),
    }
}
