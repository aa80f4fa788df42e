//! `samepoint seal`: seal the signature in force, or its answer, with a key of its hand, by OpenSSH's own
//! program.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use record::file::{FileOptions, Opener};
use record::review::{ActAccount, review};
use record::seal::{NAMESPACE, check_seal, with_plain_line_ends};
use record::{Access, Body, Hands, RealDisk, SealState, Sealed, SessionFile, Stamp};

use super::arguments::Seal;
use super::{Outcome, figures};

/// How long a passphrase or a touch is waited for.
const PATIENCE: Duration = Duration::from_secs(120);

/// Seals what is not sealed yet: the answer in force, else the signature.
pub(super) fn run(asked: &Seal) -> Outcome {
    match sealed(asked) {
        Ok(text) => Outcome::Answered { text, code: 0 },
        Err(why) => Outcome::refused(figures::naming(&asked.session, &why)),
    }
}

fn sealed(asked: &Seal) -> Result<String, String> {
    let account = review(&asked.session, &RealDisk).map_err(|why| why.to_string())?;
    let answerable = &account.answerable;
    let act = answerable
        .acts
        .iter()
        .rev()
        .find(|act| match &asked.hand {
            Some(hand) => act.hand.trim() == hand.trim(),
            None => !act.is_sealed(),
        })
        .ok_or("nothing is signed or answered there that this hand could seal")?;
    let nobody = Hands::default();
    let hands = account.beside.as_ref().map_or(&nobody, |beside| &beside.hands);
    let mut file = opened(&asked.session, &act.hand)?;
    if file.format() < 2 {
        let format = file.format();
        return Err(format!(
            "its file is format {format}, which has no words for a seal; continue in a new file"
        ));
    }
    // The file may have been written to since it was reviewed.
    if file.signing_hash(act.seq) != Some(act.line_hash.as_str()) {
        return Err("the file changed just now; try again".to_owned());
    }
    let sshsig = signed_by_openssh(&asked.key, &act.line_hash)?;
    let state = check_seal(&sshsig, &act.line_hash, &act.hand, act.day, hands);
    let may =
        state.is_good() || (matches!(state, SealState::KeyOfNobody { .. }) && !answerable.listed);
    if !may {
        return Err(format!("nothing was sealed: {}", words(act, &state)));
    }
    let said = words(act, &state);
    let body = Body::Sealed(Sealed { seq: act.seq, sshsig });
    record::fold(file.facts()).admits(&body).map_err(|why| why.to_string())?;
    file.append(body, Stamp::now(), &act.hand).map_err(|why| why.to_string())?;
    file.finish().map_err(|why| why.to_string())?;
    let said = if answerable.listed {
        said
    } else {
        format!("{said}; the shop lists no hands, so nobody vouches for the key")
    };
    Ok(format!("Sealed fact {}, {} by {}: {said}.\n", act.seq, act.word, act.hand.trim()))
}

fn words(act: &ActAccount, state: &SealState) -> String {
    match state {
        SealState::OtherLine => "ssh-keygen gave a signature that does not hold".to_owned(),
        SealState::KeyOfNobody { key } => format!("key {key} is listed for nobody"),
        SealState::KeyOfAnother { key, whose } => {
            format!("key {key} is {whose}’s, not {}’s", act.hand.trim())
        }
        state => state.to_string(),
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

/// Has `ssh-keygen` sign a line's hash with a key file, or with the agent's key of a public key file. The
/// private key is never seen here; a passphrase or a touch is asked for by `ssh-keygen` itself.
fn signed_by_openssh(key: &Path, line_hash: &str) -> Result<String, String> {
    let not_there = |why: std::io::Error| {
        format!(
            "ssh-keygen cannot be run ({}); install OpenSSH's client",
            record::shown::system(&why)
        )
    };
    let mut child = Command::new("ssh-keygen")
        .args(["-q", "-Y", "sign", "-n", NAMESPACE, "-f"])
        .arg(key)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(not_there)?;
    if let Some(mut stdin) = child.stdin.take() {
        // It says itself why it did not read.
        let _ = stdin.write_all(line_hash.as_bytes());
    }
    let begun = Instant::now();
    while child.try_wait().map_err(not_there)?.is_none() {
        if begun.elapsed() > PATIENCE {
            let _ = child.kill();
            let _ = child.wait();
            return Err(
                "ssh-keygen waited two minutes for a passphrase or a touch; nothing was sealed"
                    .to_owned(),
            );
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    // A seal is short: it waits whole in the pipe.
    let done = child.wait_with_output().map_err(not_there)?;
    if !done.status.success() {
        return Err(format!(
            "ssh-keygen would not sign with {}; what it said stands above",
            record::shown::path(key)
        ));
    }
    let text = String::from_utf8(done.stdout).map_err(|_| "ssh-keygen gave no text".to_owned())?;
    Ok(with_plain_line_ends(&text))
}
