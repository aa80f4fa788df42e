//! `samepoint seal`: seal the signature in force, or its answer, with a key of its hand, by OpenSSH's own
//! program.

use std::path::Path;

use record::file::{FileOptions, Opener};
use record::review::review;
use record::{Access, Hands, RealDisk, SessionFile, Stamp};

use super::Outcome;
use super::arguments::SealArguments;
use super::refusal::{CommandRefusal, RefusalKind};
use crate::sealing::{Asks, KeyFrom, NotSealed, OpenSsh, StopSealing, ToSeal, has_words_for_seals};

/// Seals what is not sealed yet: the answer in force, else the signature.
pub(super) fn run(asked: &SealArguments) -> Result<Outcome, CommandRefusal> {
    let text = sealed(asked).map_err(|why| why.of(&asked.session))?;
    Ok(Outcome::Answered { text, code: 0 })
}

fn sealed(asked: &SealArguments) -> Result<String, RefusalKind> {
    let account = review(&asked.session, &RealDisk)?;
    let act = ToSeal::last_of(&account, asked.hand.as_deref()).ok_or(RefusalKind::NothingToSeal)?;
    let nobody = Hands::default();
    let hands = account.beside.as_ref().map_or(&nobody, |beside| &beside.hands);
    let mut file = opened(&asked.session, &act.hand)?;
    has_words_for_seals(file.format())?;
    // The file may have been written to since it was reviewed.
    if file.signing_hash(act.seq) != Some(act.line_hash.as_str()) {
        return Err(RefusalKind::Changed);
    }
    let key = KeyFrom::File(asked.key.clone());
    let made =
        OpenSsh::of_user().sign(&key, &act.line_hash, Asks::Terminal, &StopSealing::default());
    let sshsig = made.map_err(|why| match why {
        // What `ssh-keygen` said itself on the terminal is not said again.
        NotSealed::Refused { said, .. } if said.is_empty() => {
            RefusalKind::WouldNotSign(asked.key.clone())
        }
        why => RefusalKind::NotSealed(why),
    })?;
    let (said, body) = act.take(sshsig, hands).map_err(RefusalKind::NotKept)?;
    record::fold(file.facts()).admits(&body)?;
    file.append(body, Stamp::now(), &act.hand)?;
    file.finish()?;
    Ok(format!("Sealed fact {}, {} by {}: {said}.\n", act.seq, act.word, act.hand.trim()))
}

fn opened(session: &Path, hand: &str) -> Result<SessionFile, RefusalKind> {
    let place = std::fs::read_to_string("/proc/sys/kernel/hostname").unwrap_or_default();
    let opener =
        Opener { who: hand.trim().to_owned(), place: place.trim().to_owned(), now: Stamp::now() };
    let file = SessionFile::open(session, FileOptions::real(opener))?;
    match file.access() {
        Access::Writing => Ok(file),
        other => Err(RefusalKind::Access(other.clone())),
    }
}
