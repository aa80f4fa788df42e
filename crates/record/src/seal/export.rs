//! A shop's hands in the words of OpenSSH's own program, so that a seal can be checked without samepoint:
//! `ssh-keygen -Y verify -f allowed_signers -I INITIALS -n samepoint -s X.sig < X.msg`.

use core::fmt::Write as _;
use std::fs::{self, OpenOptions};
use std::io::{self, Write as _};
use std::path::Path;

use jiff::civil::Date;

use super::{NAMESPACE, SealState, with_plain_line_ends};
use crate::error::Error;
use crate::hands::Hands;
use crate::hands::hand::{bare_line, fingerprint_of};
use crate::review::Account;

/// The shop's `allowed_signers`: every key of every hand with its days. Revoked keys are left out.
///
/// `ssh-keygen` takes these days in the computer's time zone and judges them by now, unless it is given
/// `-Overify-time=`.
#[must_use]
pub fn allowed_signers(hands: &Hands) -> String {
    let mut out = String::new();
    for hand in hands.known.iter().map(|kept| &kept.value) {
        for held in &hand.keys {
            let revoked = fingerprint_of(&held.line)
                .is_none_or(|key| hands.known.iter().any(|kept| kept.value.has_revoked(&key)));
            let Some(line) = bare_line(&held.line).filter(|_| !revoked) else { continue };
            let (from, until) = hand.days_of(held);
            let _ = write!(
                out,
                "\"{}\" namespaces=\"{NAMESPACE}\",valid-after=\"{}\"",
                hand.initials,
                compact(from)
            );
            if let Some(after) = until.and_then(|until| until.tomorrow().ok()) {
                let _ = write!(out, ",valid-before=\"{}\"", compact(after));
            }
            let _ = writeln!(out, " {}", line.trim());
        }
    }
    out
}

/// The shop's revoked keys, a line each: `ssh-keygen -Y verify -r revoked_keys …`.
#[must_use]
pub fn revoked_keys(hands: &Hands) -> String {
    let lines = hands.known.iter().flat_map(|kept| &kept.value.revoked);
    lines.filter_map(|line| bare_line(line)).map(|line| format!("{}\n", line.trim())).collect()
}

fn compact(day: Date) -> String {
    format!("{:04}{:02}{:02}", day.year(), day.month(), day.day())
}

/// A seal written out for OpenSSH's own program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exported {
    /// The file of the seal, in the folder.
    pub sig: String,
    /// The file of what was sealed: the 64 hex characters of a line.
    pub msg: String,
    /// Whose it claims to be.
    pub hand: String,
    /// What it comes to here.
    pub state: SealState,
}

impl Exported {
    /// What to type, in the folder, to have it checked by OpenSSH's own program.
    #[must_use]
    pub fn command(&self) -> String {
        // Initials hold no quotes: a shop's list refuses them; what is in no list is not checked by it.
        let hand = self.hand.replace('\'', "");
        format!(
            "ssh-keygen -Y verify -f allowed_signers -r revoked_keys -I '{}' -n {NAMESPACE} -s {} < {}",
            crate::shown::one_line(hand.trim()),
            self.sig,
            self.msg
        )
    }
}

/// Writes every seal over the signature in force and its answer, what each is over, and the shop's
/// `allowed_signers` and `revoked_keys`, into a folder that is made if it is not there. Nothing that is
/// there is replaced.
///
/// # Errors
/// [`Error::AlreadyThere`] or [`Error::Io`]; what was written before stays.
pub fn write_seals(account: &Account, folder: &Path) -> Result<Vec<Exported>, Error> {
    fs::create_dir_all(folder).map_err(|why| Error::io("make the folder", folder, why))?;
    let write = |name: &str, text: &str| {
        let path = folder.join(name);
        let made = OpenOptions::new().write(true).create_new(true).open(&path);
        made.and_then(|mut file| file.write_all(text.as_bytes())).map_err(|why| {
            if why.kind() == io::ErrorKind::AlreadyExists {
                Error::AlreadyThere { path: path.clone() }
            } else {
                Error::io("write", &path, why)
            }
        })
    };
    let nobody = Hands::default();
    let hands = account.beside.as_ref().map_or(&nobody, |beside| &beside.hands);
    write("allowed_signers", &allowed_signers(hands))?;
    write("revoked_keys", &revoked_keys(hands))?;
    let mut out = Vec::new();
    for SealFiles { exported, sshsig, line } in seals_of(account) {
        write(&exported.sig, &sshsig)?;
        write(&exported.msg, &line)?;
        out.push(exported);
    }
    Ok(out)
}

/// A seal with the texts of both its files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealFiles {
    /// Their names, and what it comes to here.
    pub exported: Exported,
    /// The seal.
    pub sshsig: String,
    /// What was sealed.
    pub line: String,
}

/// Every seal over the signature in force and its answer.
#[must_use]
pub fn seals_of(account: &Account) -> Vec<SealFiles> {
    let acts = account.answerable.acts.iter();
    let seals = acts.flat_map(|act| act.seals.iter().map(move |seal| (act, seal)));
    let files = seals.map(|(act, seal)| {
        let name = format!("{}-fact-{}-seal-{}", act.word, act.seq, seal.seq);
        SealFiles {
            exported: Exported {
                sig: format!("{name}.sig"),
                msg: format!("{name}.msg"),
                hand: act.hand.clone(),
                state: seal.state.clone(),
            },
            sshsig: with_plain_line_ends(&seal.sshsig),
            line: act.line_hash.clone(),
        }
    });
    files.collect()
}
