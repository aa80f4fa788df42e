//! What the shop beside a session says of it, as JSON.

use record::ledger::{Copied, LedgerSays};
use record::review::Account;
use serde::Serialize;
use solver::Channel;

/// What the ledger says.
#[derive(Serialize)]
pub(super) struct LedgerJson {
    stands: bool,
    confirmed: usize,
    late: usize,
    not_noted: Vec<u64>,
    findings: Vec<Finding>,
    troubles: Vec<String>,
}

#[derive(Serialize)]
struct Finding {
    what: &'static str,
    seq: u64,
    kind: &'static str,
    hand: String,
    time: String,
    hash: String,
    words: String,
}

/// Another file of the same session.
#[derive(Serialize)]
pub(super) struct OtherFile {
    file: String,
    what: &'static str,
    /// So many facts are alike.
    alike: u64,
}

/// What the ledger of the shop says; `None` of practice and outside a shop.
pub(super) fn ledger(account: &Account) -> Option<LedgerJson> {
    account.ledger.as_ref().map(|says: &LedgerSays| LedgerJson {
        stands: says.stands,
        confirmed: says.confirmed.len(),
        late: says.confirmed.iter().filter(|noted| noted.entry.late).count(),
        not_noted: says.not_noted.iter().map(|line| line.seq).collect(),
        findings: says
            .findings
            .iter()
            .map(|finding| {
                let line = &finding.noted().entry.line;
                Finding {
                    what: finding.word(),
                    seq: line.seq,
                    kind: line.kind.noun(),
                    hand: line.hand.to_string(),
                    time: line.time.to_string(),
                    hash: line.hash.to_string(),
                    words: finding.words(says.facts),
                }
            })
            .collect(),
        troubles: says.troubles.clone(),
    })
}

/// What it means that the station's zero was off; standard uncertainties.
#[derive(Serialize)]
pub(super) struct Recalled {
    station: String,
    last_good_check: Option<String>,
    left_zero_off_arcmin: Option<[f64; 2]>,
    left_zero_u_arcmin: Option<[f64; 2]>,
    right_zero_off_arcmin: Option<[f64; 2]>,
    right_zero_u_arcmin: Option<[f64; 2]>,
    verdict: Option<&'static str>,
    corrected: &'static str,
    corrected_window_use: Option<f64>,
    words: String,
}

/// The same for a session; `None` where its station's zero was not off, as far as its checks tell.
pub(super) fn recalled(account: &Account) -> Option<Recalled> {
    let recall = account.recall.as_ref()?;
    let off =
        |channel: Channel| recall.zero[channel].map(|zero| [zero.off.x_arcmin, zero.off.y_arcmin]);
    let u = |channel: Channel| recall.zero[channel].map(|zero| zero.u_arcmin);
    Some(Recalled {
        station: recall.station.clone(),
        last_good_check: recall.last_good.map(|day| day.to_string()),
        left_zero_off_arcmin: off(Channel::Left),
        left_zero_u_arcmin: u(Channel::Left),
        right_zero_off_arcmin: off(Channel::Right),
        right_zero_u_arcmin: u(Channel::Right),
        verdict: recall.verdict.map(record::Verdict::word),
        corrected: recall.would.word(),
        corrected_window_use: recall.window_use,
        words: recall.words(),
    })
}

/// A picture that the session names.
#[derive(Serialize)]
pub(super) struct NamedPictureJson {
    fact: u64,
    sha256: String,
    found: &'static str,
    words: Option<String>,
}

/// The pictures that the session names, as they lie in its shop.
pub(super) fn pictures(account: &Account) -> Vec<NamedPictureJson> {
    let named = |picture: &record::review::NamedPicture| NamedPictureJson {
        fact: picture.seq,
        sha256: picture.sha256.clone(),
        found: picture.found.word(),
        words: picture.trouble(),
    };
    account.pictures.iter().map(named).collect()
}

/// A picture of a reading, read again.
#[derive(Serialize)]
pub(super) struct ReadAgain {
    fact: u64,
    reading: u64,
    /// `agrees`, `missing`, `another`, `unread`, or what does not follow.
    found: &'static str,
    words: String,
}

/// The pictures that readings rest on, read again.
pub(super) fn read_again(account: &Account) -> Vec<ReadAgain> {
    let told = |frame: &record::review::FrameAgain| ReadAgain {
        fact: frame.seq,
        reading: frame.reading,
        found: frame.found.word(),
        words: record::figures::sentence(&frame.to_string()),
    };
    account.read_again.iter().map(told).collect()
}

/// The other files of the session in its shop.
pub(super) fn copies(account: &Account) -> Vec<OtherFile> {
    let other = |copy: &record::ledger::Copy| OtherFile {
        file: copy.file.clone(),
        what: copy.how.word(),
        alike: match copy.how {
            Copied::EndsEarlier(alike) | Copied::Forked(alike) => alike,
            Copied::Same | Copied::GoesOn(_) => account.facts as u64,
        },
    };
    account.copies.iter().map(other).collect()
}
