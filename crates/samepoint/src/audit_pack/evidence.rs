//! What goes with the sessions of a pack: the pictures they name, their seals, and what the shop keeps whole.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use record::ledger::{LEDGER_EXTENSION, LEDGER_FOLDER};
use record::review::NamedPicture;
use record::shop::{CALIBRATION_EXTENSION, CHECK_EXTENSION, HeadPicture, PictureFound};
use record::{Account, seal, shown, sums};
use solver::words::counted;

use super::asked::{PackAsked, Packed};
use super::filling::Filling;
use super::plain_file::plain_bytes;
use crate::report_file::{NotWritten, ReportRefusal};

/// Folders of a shop that no pack holds, each with why.
const NOT_PACKED: [(&str, &str); 7] = [
    ("stations/", "each session holds a copy of the station it was read on"),
    ("windows/", "each session holds a copy of the window it was judged by"),
    ("housings/", "each session holds a copy of its unit’s housing"),
    ("cameras/", "each session holds a copy of the camera map its pictures were read with"),
    ("units/", "each session holds a copy of its unit"),
    ("studies/", "a study of the bench is no work on a unit"),
    ("waiting/", "what waits was not worked on yet"),
];

/// Puts in the pictures that a session names, each once; what lies there in place of one is left out.
pub(super) fn pictures(
    asked: &PackAsked,
    account: &Account,
    session: &str,
    named: &mut BTreeSet<String>,
    filling: &mut Filling,
    packed: &mut Packed,
) -> Result<(), NotWritten> {
    for sha256 in NamedPicture::named(&account.session) {
        if !named.insert(sha256.clone()) {
            continue;
        }
        match PictureFound::file(&asked.shop, &sha256) {
            Ok((name, bytes)) => {
                filling.put(&format!("pictures/{}", name.to_string_lossy()), &bytes)?;
                packed.pictures += 1;
            }
            Err(found) => {
                // What a file calls a picture may be any text.
                let what = format!("pictures/{}", shown::one_line(&sha256));
                packed.leave_out(&what, None, format!("{session} names it; it {found}"));
            }
        }
    }
    Ok(())
}

/// Puts in the picture that the shop's papers have, as its reports show it.
pub(super) fn head_picture(
    asked: &PackAsked,
    of: Option<&HeadPicture>,
    named: &mut BTreeSet<String>,
    filling: &mut Filling,
    packed: &mut Packed,
) -> Result<(), NotWritten> {
    let Some(sha256) = of.and_then(|picture| picture.sha256.as_ref()) else { return Ok(()) };
    named.insert(sha256.clone());
    match PictureFound::file(&asked.shop, sha256) {
        Ok((name, bytes)) => {
            filling.put(&format!("pictures/{}", name.to_string_lossy()), &bytes)?;
            packed.pictures += 1;
        }
        Err(found) => {
            let why = format!("the shop’s papers are to have it; it {found}");
            packed.leave_out(&format!("pictures/{sha256}"), None, why);
        }
    }
    Ok(())
}

/// Puts in each seal of a session with what it is over, as OpenSSH's own program takes them.
pub(super) fn seals(
    account: &Account,
    stem: &str,
    filling: &mut Filling,
    packed: &mut Packed,
) -> Result<(), NotWritten> {
    for files in seal::seals_of(account) {
        filling.put(&format!("seals/{stem}/{}", files.exported.sig), files.sshsig.as_bytes())?;
        filling.put(&format!("seals/{stem}/{}", files.exported.msg), files.line.as_bytes())?;
        packed.seals += 1;
    }
    Ok(())
}

/// The ledger, the calibrations and the checks as they lie there, whatever they say: what is cut off or damaged in
/// them is evidence, too. How many files the ledger has.
pub(super) fn whole_folders(
    asked: &PackAsked,
    filling: &mut Filling,
    packed: &mut Packed,
) -> Result<usize, NotWritten> {
    let none = "the shop keeps no ledger yet";
    let ledgers = whole(asked, LEDGER_FOLDER, Some(LEDGER_EXTENSION), none, filling, packed)?;
    whole(asked, "calibrations", Some(CALIBRATION_EXTENSION), "", filling, packed)?;
    whole(asked, "checks", Some(CHECK_EXTENSION), "", filling, packed)?;
    Ok(ledgers)
}

/// The list of hands as it lies there, with what it was before.
pub(super) fn hands(
    asked: &PackAsked,
    filling: &mut Filling,
    packed: &mut Packed,
) -> Result<(), NotWritten> {
    whole(asked, "hands", None, "the shop lists no hands", filling, packed).map(drop)
}

/// Puts in the files of a folder, by name; how many. `none`: what is said where there is no such folder, if anything.
fn whole(
    asked: &PackAsked,
    folder: &str,
    extension: Option<&str>,
    none: &str,
    filling: &mut Filling,
    packed: &mut Packed,
) -> Result<usize, NotWritten> {
    let place = asked.shop.join(folder);
    let entries = match fs::read_dir(&place) {
        Ok(entries) => entries,
        Err(why) if why.kind() == io::ErrorKind::NotFound => {
            if !none.is_empty() {
                packed.leave_out(&format!("{folder}/"), None, none);
            }
            return Ok(0);
        }
        Err(why) => return Err(ReportRefusal::NotLookedAt(why).of(&place)),
    };
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    let wanted = |path: &PathBuf| {
        extension.is_none_or(|wanted| path.extension() == Some(OsStr::new(wanted)))
    };
    paths.retain(|path| wanted(path) && !path.is_dir());
    paths.sort_unstable();
    let mut count = 0;
    for path in paths {
        let Some(name) = path.file_name() else { continue };
        let name = format!("{folder}/{}", name.to_string_lossy());
        match plain_bytes(&path) {
            Ok(_) if filling.has(&name) => {
                let sum = plain_bytes(&path).ok().map(|bytes| sums::sha256(&bytes));
                packed.leave_out(&name, sum, "a list made for this pack has its name");
            }
            Ok(bytes) => {
                filling.put(&name, &bytes)?;
                count += 1;
            }
            Err(why) => packed.leave_out(&name, None, shown::system(&why)),
        }
    }
    Ok(count)
}

/// Tells which pictures and folders of the shop are in no pack.
pub(super) fn tell_rest(asked: &PackAsked, named: &BTreeSet<String>, packed: &mut Packed) {
    let entries = fs::read_dir(asked.shop.join("pictures")).into_iter().flatten().flatten();
    let of_no_session =
        |path: &Path| path.file_stem().is_none_or(|stem| !named.contains(&*stem.to_string_lossy()));
    let others = entries.filter(|entry| of_no_session(&entry.path())).count();
    if others > 0 {
        let what = counted(others, "file of pictures/", "files of pictures/");
        packed.leave_out(&what, None, "no session in here names it");
    }
    for (folder, why) in NOT_PACKED {
        if asked.shop.join(folder).is_dir() {
            packed.leave_out(folder, None, why);
        }
    }
}
