//! Makes a pack: which sessions belong in it, their reports, and what is left out.

use std::ffi::OsStr;
use std::fs;
use std::io;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::thread;

use record::file::plain;
use record::ledger::{LEDGER_EXTENSION, LEDGER_FOLDER};
use record::shop::SESSION_EXTENSION;
use record::shop::survey::packed::{PackedSession, left_out_csv, packed_csv};
use record::shop::survey::{Looking, SessionSummary, survey_by};
use record::{Error, Shop, Survey, seal, shown, sums};
use solver::words::{counted, counted_s};

use super::asked::{PackAsked, Packed};
use super::filling::Filling;
use super::telling;
use crate::pictures::Eyes;
use crate::report_file::{NotWritten, ReportRefusal, report_and_session};

/// Makes it: all files of the shop are read whole, and the folder is there with everything in it, or not at all.
///
/// # Errors
/// One message that names the file or folder and says what to do.
pub(crate) fn pack(asked: &PackAsked) -> Result<Packed, NotWritten> {
    let of_shop = |why: Error| ReportRefusal::Table(why).of(&asked.shop);
    let mut filling = Filling::begin(&asked.to)?;
    let workers = thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let survey =
        survey_by(&asked.shop, &Looking::whole(workers)).map_err(of_shop)?.unwrap_or_default();
    let shop = Shop::load(&asked.shop).map_err(of_shop)?;
    let mut packed = Packed::default();
    let mut list = Vec::new();
    let mut of_other_days = 0_usize;
    for session in &survey.sessions {
        if let Some(why) = not_of_a_pack(session) {
            let sum = sum_of(&asked.shop.join("sessions").join(&session.file));
            packed.leave_out(&format!("sessions/{}", session.file), sum, why);
        } else if session.worked_on_in(asked.period) == Some(true) {
            list.push(one(asked, session, &mut filling, &mut packed)?);
        } else {
            of_other_days += 1;
        }
    }
    let list: Vec<PackedSession<'_>> = list.into_iter().flatten().collect();
    tell_unread(&survey, &mut packed);
    if of_other_days > 0 {
        let what = counted(of_other_days, "file of sessions/", "files of sessions/");
        packed.leave_out(&what, None, format!("nothing was done in them from {}", asked.period));
    }
    ledgers(asked, &mut filling, &mut packed)?;
    let practised = shop.practice_sessions().map_or(0, |listed| listed.len());
    if practised > 0 {
        let why = "practice on invented units is no work of the shop";
        packed.leave_out(&format!("practice/ ({})", counted_s(practised, "file")), None, why);
    }
    if asked.shop.join("pictures").is_dir() {
        let why =
            "pictures are not packed; the SHA-256 of each stands in the session that names it";
        packed.leave_out("pictures/", None, why);
    }
    filling.put("hands/allowed_signers", seal::allowed_signers(&shop.hands).as_bytes())?;
    filling.put("hands/revoked_keys", seal::revoked_keys(&shop.hands).as_bytes())?;
    filling.put("list.csv", &packed_csv(&list).map_err(of_shop)?)?;
    filling.put("left-out.csv", &left_out_csv(&packed.left_out).map_err(of_shop)?)?;
    let name =
        shop.letterhead.as_ref().map(|head| head.name.clone()).filter(|name| !name.is_empty());
    let name = name.unwrap_or_else(|| survey.folder_name(0));
    filling.put("READ-ME.txt", telling::page(asked, &packed, &name).as_bytes())?;
    filling.in_place()?;
    Ok(packed)
}

/// Why a session is in no pack, whatever its days.
fn not_of_a_pack(session: &SessionSummary) -> Option<String> {
    if session.practice {
        return Some("practice on an invented unit, that lies among the sessions".to_owned());
    }
    if let Some(other) = &session.copy_of {
        return Some(format!("the same session as {other}, which goes on from it and counts"));
    }
    session.days().is_none().then(|| "no day of it is known".to_owned())
}

/// Puts a session and its report in; `None` where the file itself cannot be had, which is then left out.
fn one<'a>(
    asked: &PackAsked,
    session: &'a SessionSummary,
    filling: &mut Filling,
    packed: &mut Packed,
) -> Result<Option<PackedSession<'a>>, NotWritten> {
    let file = format!("sessions/{}", session.file);
    let path = asked.shop.join("sessions").join(&session.file);
    let read = record::review(&path, &record::RealDisk).map_err(|why| why.to_string());
    let drawn = read.and_then(|mut account| {
        account.read_pictures_again(&Eyes);
        report_and_session(&account, asked.paper, asked.now.date(), false)
            .map_err(|why| why.to_string())
    });
    let (report, bytes) = match drawn {
        Ok((report, bytes)) => (Some(report), Ok(bytes)),
        Err(why) => {
            packed.leave_out(&format!("report of {file}"), None, why);
            (None, plain_bytes(&path))
        }
    };
    let bytes = match bytes {
        Ok(bytes) => bytes,
        Err(why) => {
            packed.leave_out(&file, None, format!("it cannot be read: {}", shown::system(&why)));
            return Ok(None);
        }
    };
    let sum = filling.put(&file, &bytes)?;
    packed.sessions += 1;
    let report = match report {
        Some(report) => {
            let stem = file.trim_start_matches("sessions/");
            let stem = stem.strip_suffix(&format!(".{SESSION_EXTENSION}")).unwrap_or(stem);
            let name = format!("reports/{stem}.pdf");
            let sum = filling.put(&name, &report)?;
            packed.reports += 1;
            Some([name, sum])
        }
        None => None,
    };
    Ok(Some(PackedSession { session, file: [file, sum], report }))
}

/// Damaged files and those that cannot be read, each with why.
fn tell_unread(survey: &Survey, packed: &mut Packed) {
    for why in &survey.skipped {
        let named = why.path().and_then(Path::file_name);
        let what = named.map(OsStr::to_string_lossy);
        let what = what.map_or_else(|| "sessions/".to_owned(), |name| format!("sessions/{name}"));
        packed.leave_out(&what, why.path().and_then(sum_of), why.to_string());
    }
}

/// The ledger's files as they lie there, whatever they say: what is cut off or damaged in them is evidence, too.
fn ledgers(
    asked: &PackAsked,
    filling: &mut Filling,
    packed: &mut Packed,
) -> Result<(), NotWritten> {
    let folder = asked.shop.join(LEDGER_FOLDER);
    let entries = match fs::read_dir(&folder) {
        Ok(entries) => entries,
        Err(why) if why.kind() == io::ErrorKind::NotFound => {
            packed.leave_out("ledger/", None, "the shop keeps no ledger yet");
            return Ok(());
        }
        Err(why) => return Err(ReportRefusal::NotLookedAt(why).of(&folder)),
    };
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    paths.retain(|path| path.extension() == Some(OsStr::new(LEDGER_EXTENSION)) && !path.is_dir());
    paths.sort_unstable();
    for path in paths {
        let Some(name) = path.file_name() else { continue };
        let name = format!("ledger/{}", name.to_string_lossy());
        match plain_bytes(&path) {
            Ok(bytes) => {
                filling.put(&name, &bytes)?;
                packed.ledgers += 1;
            }
            Err(why) => packed.leave_out(&name, None, shown::system(&why)),
        }
    }
    Ok(())
}

/// The longest file that is packed, bytes.
const LONGEST: u64 = 256 << 20;

fn plain_bytes(path: &Path) -> io::Result<Vec<u8>> {
    use io::Read as _;
    let mut bytes = Vec::new();
    plain::open(path)?.into_inner().take(LONGEST + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LONGEST {
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, "it is longer than 256 MiB"));
    }
    Ok(bytes)
}

fn sum_of(path: &Path) -> Option<String> {
    plain_bytes(path).ok().map(|bytes| sums::sha256(&bytes))
}
