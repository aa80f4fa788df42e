//! `samepoint seal`: seal the signature in force, or its answer, with a key of its hand, by OpenSSH's own
//! program.

use std::path::Path;

use record::file::{FileOptions, Opener};
use record::review::review;
use record::{Access, Hands, RealDisk, SessionFile, Stamp};

use super::arguments::Seal;
use super::{Outcome, figures};
use crate::sealing::{Asks, KeyFrom, NotSealed, OpenSsh, Stop, ToSeal, no_words_for_seals};

/// Seals what is not sealed yet: the answer in force, else the signature.
pub(super) fn run(asked: &Seal) -> Outcome {
    match sealed(asked) {
        Ok(text) => Outcome::Answered { text, code: 0 },
        Err(why) => Outcome::refused(figures::naming(&asked.session, &why)),
    }
}

fn sealed(asked: &Seal) -> Result<String, String> {
    let account = review(&asked.session, &RealDisk).map_err(|why| why.to_string())?;
    let act = ToSeal::last_of(&account, asked.hand.as_deref())
        .ok_or("nothing is signed or answered there that this hand could seal")?;
    let nobody = Hands::default();
    let hands = account.beside.as_ref().map_or(&nobody, |beside| &beside.hands);
    let mut file = opened(&asked.session, &act.hand)?;
    if let Some(why) = no_words_for_seals(file.format()) {
        return Err(why);
    }
    // The file may have been written to since it was reviewed.
    if file.signing_hash(act.seq) != Some(act.line_hash.as_str()) {
        return Err("the file changed just now; try again".to_owned());
    }
    let key = KeyFrom::File(asked.key.clone());
    let made = OpenSsh::of_user().sign(&key, &act.line_hash, Asks::Terminal, &Stop::default());
    let sshsig = made.map_err(|why| nothing(&refused(&asked.key, &why)))?;
    let (said, body) = act.take(sshsig, hands).map_err(|why| nothing(&why))?;
    record::fold(file.facts()).admits(&body).map_err(|why| why.to_string())?;
    file.append(body, Stamp::now(), &act.hand).map_err(|why| why.to_string())?;
    file.finish().map_err(|why| why.to_string())?;
    Ok(format!("Sealed fact {}, {} by {}: {said}.\n", act.seq, act.word, act.hand.trim()))
}

fn nothing(why: &str) -> String {
    format!("nothing was sealed: {why}")
}

/// What `ssh-keygen` said itself on the terminal is not said again.
fn refused(key: &Path, why: &NotSealed) -> String {
    match why {
        NotSealed::Refused { said, .. } if said.is_empty() => {
            format!("ssh-keygen would not sign with {}", record::shown::path(key))
        }
        why => why.to_string(),
    }
}

fn opened(session: &Path, hand: &str) -> Result<SessionFile, String> {
    let place = std::fs::read_to_string("/proc/sys/kernel/hostname").unwrap_or_default();
    let opener =
        Opener { who: hand.trim().to_owned(), place: place.trim().to_owned(), now: Stamp::now() };
    let file =
        SessionFile::open(session, FileOptions::real(opener)).map_err(|why| why.to_string())?;
    match file.access() {
        Access::Writing => Ok(file),
        other => Err(other.to_string()),
    }
}
