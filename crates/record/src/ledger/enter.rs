//! Noting in a shop's ledger what was saved in its sessions.
//!
//! What is noted is what is on disk: the session's file is read again. Two writers are kept apart as for
//! sessions; who finds the ledger held waits a little, and then tries again another time. Nothing is
//! noted twice. Where the newest file cannot be gone on with, or another is not whole and none says so yet,
//! one more is begun beside them, which says it for ever.

use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use smol_str::SmolStr;

use super::copies::name_of;
use super::kept::KeptLedger;
use super::{
    LEDGER_EXTENSION, LEDGER_FOLDER, Ledger, LedgerAbout, LedgerEntry, LedgerFile, LedgerHeader,
    Signings, signings,
};
use crate::error::Error;
use crate::fact::{Continued, FileMark, Seq};
use crate::file::chain::ChainHash;
use crate::file::{Access, End, FileOptions, ReadOnlyReason, SaveState, SetAside};
use crate::journal::fold;
use crate::shop::{SESSION_EXTENSION, files_in, free_name};

/// How long who finds the ledger held waits for it.
const PATIENCE: Duration = Duration::from_secs(2);

/// Who notes, and how.
#[derive(Clone)]
pub struct Noting {
    /// The program, with version.
    pub program: String,
    /// Whose hand is at the bench.
    pub hand: String,
    /// Whether the hand agreed to write where files cannot be locked or synced.
    pub agreed: bool,
    /// The disk, who opens, and when.
    pub options: FileOptions,
}

/// Notes the signing lines of a session that nobody noted yet; says how many. `just_saved`: those that
/// were saved just now; others are noted as late. Practice is not noted.
///
/// # Errors
/// Why they could not all be noted; then they can be tried again.
pub fn note_session(
    shop: &Path,
    session: &Path,
    just_saved: &[Seq],
    noting: &Noting,
) -> Result<usize, Error> {
    let signings = signings(session, &*noting.options.disk)?;
    note_signings(shop, &[(session.to_owned(), signings)], just_saved, noting)
}

/// Notes, as late, what nobody noted in any session of a shop; says how many. Sessions that cannot be
/// read are passed over.
///
/// # Errors
/// As [`note_session`].
pub fn note_all(shop: &Path, noting: &Noting) -> Result<usize, Error> {
    let paths = files_in(&shop.join("sessions"), SESSION_EXTENSION)?;
    note_files(shop, paths, noting)
}

/// The same in some of them.
///
/// # Errors
/// As [`note_session`].
pub fn note_files(shop: &Path, sessions: Vec<PathBuf>, noting: &Noting) -> Result<usize, Error> {
    let read = |path: PathBuf| {
        let signings = signings(&path, &*noting.options.disk).ok()?;
        Some((path, signings))
    };
    let all: Vec<(PathBuf, Signings)> = sessions.into_iter().filter_map(read).collect();
    note_signings(shop, &all, &[], noting)
}

/// The same of files whose signing lines were read already.
///
/// # Errors
/// As [`note_session`].
pub fn note_signings(
    shop: &Path,
    sessions: &[(PathBuf, Signings)],
    just_saved: &[Seq],
    noting: &Noting,
) -> Result<usize, Error> {
    // For nothing to note the ledger is not read: that of a shop of many years is long.
    if sessions.iter().all(|(_, signings)| signings.practice || signings.lines.is_empty()) {
        return Ok(0);
    }
    let began = Instant::now();
    loop {
        // Read anew each time: another may have noted them meanwhile.
        let ledger = Ledger::load(shop, &*noting.options.disk);
        let wanted = wanted(&ledger, sessions, just_saved);
        if wanted.is_empty() {
            return Ok(0);
        }
        match write(shop, &ledger, &wanted, noting) {
            Ok(()) => return Ok(wanted.len()),
            Err(LedgerHeld::Busy(_)) if began.elapsed() < PATIENCE => {
                std::thread::sleep(Duration::from_millis(50));
            }
            Err(LedgerHeld::Busy(why) | LedgerHeld::Failed(why)) => return Err(why),
        }
    }
}

/// What is not noted yet.
fn wanted(
    ledger: &Ledger,
    sessions: &[(PathBuf, Signings)],
    just_saved: &[Seq],
) -> Vec<LedgerEntry> {
    let mut wanted: Vec<LedgerEntry> = Vec::new();
    let mut taken: HashSet<(&str, Seq, ChainHash)> = HashSet::new();
    for (path, signings) in sessions.iter().filter(|(_, signings)| !signings.practice) {
        let session = signings.session.as_str();
        for line in &signings.lines {
            let late = !just_saved.contains(&line.seq);
            // Found later where another line is noted, it is no news but a contradiction, and is told
            // as one.
            let has = |entry: &LedgerEntry| {
                entry.line.seq == line.seq && (late || entry.line.hash == line.hash)
            };
            if !ledger.of(session).iter().any(|noted| has(&noted.entry))
                && taken.insert((session, line.seq, line.hash))
            {
                let (session, file) = (session.into(), name_of(path).into());
                wanted.push(LedgerEntry { session, file, line: line.clone(), late });
            }
        }
    }
    wanted
}

/// Goes on in a ledger file although its end is missing, on the hand's word, as
/// [`LedgerFile::set_end_aside`] does: what stands there is kept beside it, and noted in it for ever.
///
/// # Errors
/// As there; [`Error::ReadOnly`] while another has it open.
pub fn set_end_aside(path: &Path, noting: &Noting) -> Result<SetAside, Error> {
    let mut file = LedgerFile::open(path, noting.options.clone())?;
    if noting.agreed {
        file.agree()?;
    }
    let (access, path) = (file.access().clone(), path.to_owned());
    match access {
        Access::ReadOnly(ReadOnlyReason::EndMissing(_)) => {
            let aside = file.set_end_aside(noting.options.opener.now, &noting.hand)?;
            file.finish()?;
            Ok(aside)
        }
        Access::ReadOnly(why) => Err(Error::ReadOnly { path, why: why.to_string() }),
        Access::AskFirst { missing } => Err(Error::Unsupported { path, missing }),
        Access::Writing => Err(Error::NoEndToSetAside { path }),
    }
}

enum LedgerHeld {
    /// By another; try again.
    Busy(Error),
    Failed(Error),
}

impl From<Error> for LedgerHeld {
    fn from(why: Error) -> Self {
        Self::Failed(why)
    }
}

fn write(
    shop: &Path,
    ledger: &Ledger,
    wanted: &[LedgerEntry],
    noting: &Noting,
) -> Result<(), LedgerHeld> {
    // Another file begins where one is not whole and none says so: that is noted in it for ever.
    let beside = ledger.beside();
    let goes_on = if beside.is_empty() { opened(ledger, noting)? } else { None };
    let mut file = match goes_on {
        Some(file) => file,
        None => begun(shop, ledger, &beside, noting)?,
    };
    if let Access::AskFirst { missing } = file.access() {
        if !noting.agreed {
            return Err(Error::Unsupported { path: file.path().to_owned(), missing }.into());
        }
        file.agree()?;
    }
    // What another noted between our reading and our lock.
    let there: HashSet<(SmolStr, Seq, ChainHash)> =
        fold(file.facts()).entries.iter().map(|fact| key(&fact.body)).collect();
    for entry in wanted.iter().filter(|entry| !there.contains(&key(entry))) {
        file.append(entry.clone(), noting.options.opener.now, &noting.hand)?;
    }
    if noting.agreed {
        // Where syncing turns out not to be supported, the hand's word holds for the ledger too.
        let began = Instant::now();
        while let SaveState::Saving { .. } = file.save_state()
            && began.elapsed() < PATIENCE
        {
            std::thread::sleep(Duration::from_millis(1));
            file.poll();
        }
        file.agree()?;
    }
    file.finish()?;
    Ok(())
}

fn key(entry: &LedgerEntry) -> (SmolStr, Seq, ChainHash) {
    (entry.session.clone(), entry.line.seq, entry.line.hash)
}

/// The newest file of the year that can be gone on with, locked.
fn opened(ledger: &Ledger, noting: &Noting) -> Result<Option<LedgerFile>, LedgerHeld> {
    let year = noting.options.opener.now.date().year();
    let mut files = ledger.files.iter();
    let goes_on = |file: &&KeptLedger| file.end == End::Clean && file.header.about.year == year;
    let Some(newest) = files.rfind(goes_on) else {
        return Ok(None);
    };
    let file = LedgerFile::open(&newest.path, noting.options.clone())?;
    match file.access() {
        Access::ReadOnly(why) => {
            let (path, why) = (newest.path.clone(), why.to_string());
            Err(LedgerHeld::Busy(Error::ReadOnly { path, why }))
        }
        Access::Writing | Access::AskFirst { .. } => Ok(Some(file)),
    }
}

fn begun(
    shop: &Path,
    ledger: &Ledger,
    beside: &[FileMark],
    noting: &Noting,
) -> Result<LedgerFile, LedgerHeld> {
    let folder = shop.join(LEDGER_FOLDER);
    std::fs::create_dir_all(&folder).map_err(|why| Error::io("make the folder", &folder, why))?;
    let now = noting.options.opener.now;
    let year = now.date().year();
    let path = free_name(&folder, &format!("{year:04}"), LEDGER_EXTENSION);
    let continues = ledger.files.last().map(|before| Continued {
        file: before.name(),
        session: before.header.name.clone(),
        facts: before.facts,
        last_hash: before.last_hash.to_string(),
    });
    let begun = LedgerHeader::begun(noting.program.clone(), LedgerAbout { year })?;
    let header = LedgerHeader { continues, ..begun };
    let (hand, options) = (&noting.hand, noting.options.clone());
    LedgerFile::create_beside(&path, header, beside, hand, options).map_err(|why| match why {
        // Another begins it at this moment.
        Error::AlreadyThere { .. } | Error::ReadOnly { .. } => LedgerHeld::Busy(why),
        why => LedgerHeld::Failed(why),
    })
}
