//! Makes a pack: which sessions belong in it, their reports, and what is left out.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::num::NonZeroUsize;
use std::path::Path;
use std::thread;

use paper::HeadShown;
use record::shop::SESSION_EXTENSION;
use record::shop::survey::packed::{PackedSession, left_out_csv, packed_csv};
use record::shop::survey::{SessionSummary, SurveyOptions, survey_by};
use record::{Error, Shop, Survey, seal, shown};
use solver::words::{counted, counted_s};

use super::asked::{PackAsked, Packed};
use super::filling::Filling;
use super::plain_file::{plain_bytes, sum_of};
use super::{evidence, telling};
use crate::pictures::PictureReader;
use crate::pictures::head;
use crate::report_file::{NotWritten, ReportRefusal, report_and_session};

/// Makes it: all files of the shop are read whole, and the folder is there with everything in it, or not at all.
///
/// # Errors
/// One message that names the file or folder and says what to do.
pub(crate) fn pack(asked: &PackAsked) -> Result<Packed, NotWritten> {
    let of_shop = |why: Error| ReportRefusal::Table(why).of(&asked.shop);
    let mut filling = Filling::begin(&asked.to)?;
    let workers = thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let survey = survey_by(&asked.shop, &SurveyOptions::whole(workers))
        .map_err(of_shop)?
        .unwrap_or_default();
    let shop = Shop::load(&asked.shop).map_err(of_shop)?;
    let mut packed = Packed::default();
    let mut list = Vec::new();
    let mut of_other_days = 0_usize;
    let mut pictures = BTreeSet::new();
    let of_papers = shop.head_picture.as_ref();
    let head = head::kept(&asked.shop, of_papers);
    evidence::head_picture(asked, of_papers, &mut pictures, &mut filling, &mut packed)?;
    for session in &survey.sessions {
        if let Some(why) = not_of_a_pack(session) {
            let sum = sum_of(&asked.shop.join("sessions").join(&session.file));
            packed.leave_out(&format!("sessions/{}", session.file), sum, why);
        } else if session.worked_on_in(asked.period) == Some(true) {
            list.push(one(
                (asked, head.as_ref()),
                session,
                &mut filling,
                &mut packed,
                &mut pictures,
            )?);
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
    packed.ledgers = evidence::whole_folders(asked, &mut filling, &mut packed)?;
    let practised = shop.practice_sessions().map_or(0, |listed| listed.len());
    if practised > 0 {
        let why = "practice on invented units is no work of the shop";
        packed.leave_out(&format!("practice/ ({})", counted_s(practised, "file")), None, why);
    }
    filling.put("hands/allowed_signers", seal::allowed_signers(&shop.hands).as_bytes())?;
    filling.put("hands/revoked_keys", seal::revoked_keys(&shop.hands).as_bytes())?;
    evidence::hands(asked, &mut filling, &mut packed)?;
    evidence::tell_rest(asked, &pictures, &mut packed);
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
    (asked, head): (&PackAsked, Option<&HeadShown>),
    session: &'a SessionSummary,
    filling: &mut Filling,
    packed: &mut Packed,
    pictures: &mut BTreeSet<String>,
) -> Result<Option<PackedSession<'a>>, NotWritten> {
    let file = format!("sessions/{}", session.file);
    let path = asked.shop.join("sessions").join(&session.file);
    let read = record::review(&path, &record::RealDisk).map_err(|why| why.to_string());
    let drawn = read.and_then(|mut account| {
        account.read_pictures_again(&PictureReader);
        let drawn = report_and_session(&account, asked.paper, asked.now.date(), false, head);
        drawn.map(|drawn| (account, drawn)).map_err(|why| why.to_string())
    });
    let (account, report, bytes) = match drawn {
        Ok((account, (report, bytes))) => (Some(account), Some(report), Ok(bytes)),
        Err(why) => {
            packed.leave_out(&format!("report of {file}"), None, why);
            (None, None, plain_bytes(&path))
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
    let stem = session.file.strip_suffix(&format!(".{SESSION_EXTENSION}"));
    let stem = stem.unwrap_or(&session.file);
    match &account {
        Some(account) => {
            evidence::pictures(asked, account, &file, pictures, filling, packed)?;
            evidence::seals(account, stem, filling, packed)?;
        }
        None => {
            let what = format!("pictures and seals of {file}");
            packed.leave_out(&what, None, "it could not be worked out again, see its report");
        }
    }
    let report = match report {
        Some(report) => {
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
