//! Going on where the end is missing, on the hand's word: what stands there is kept beside the
//! file, and only then cut off.

use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use crate::error::Error;
use crate::fact::FileMark;
use crate::file::damage::{MissingEnd, SetAside};
use crate::file::disk::{Disk, DiskFile};
use crate::file::fact_file::{Access, FactFile, ReadOnlyReason};
use crate::file::hashed::Hashed;
use crate::file::line_format::LineFormat;
use crate::file::open::{accept_unsupported, copy_bytes, folder_of};
use crate::file::writer::{Desk, Writer};
use crate::stamp::Stamp;

impl<B: LineFormat> FactFile<B> {
    /// Whether the program can note in this file what was done about the file itself. Check files and
    /// studies of format 1 have no words for that: to go on from one for ever marked, go on in a new file.
    #[must_use]
    pub fn has_marks(&self) -> bool {
        B::noted(&FileMark::LostToo(1), self.format).is_some()
    }

    /// Goes on in this file although its end is missing: copies what stands there to
    /// `NAME.torn-<time>`, syncs that, cuts it off, and notes in the file what was set aside. Only for a file
    /// open with [`ReadOnlyReason::EndMissing`], and only when the hand says so: what is cut off may have
    /// been saved.
    ///
    /// # Errors
    /// [`Error::NoEndToSetAside`]; [`Error::NoWordsForIt`] where the file
    /// [has no words](Self::has_marks) for what would be done to it, so that nothing would tell;
    /// [`Error::Io`], [`Error::LengthChanged`], [`Error::FileReplaced`] or
    /// [`Error::FileGone`] when it cannot be done: then the file is as it was, or whole up to the end
    /// of its last good line, and what stood behind that is kept.
    pub fn set_end_aside(&mut self, now: Stamp, hand: &str) -> Result<SetAside, Error> {
        let nothing = || Error::NoEndToSetAside { path: self.path.clone() };
        let Access::ReadOnly(ReadOnlyReason::EndMissing(end)) = self.access else {
            return Err(nothing());
        };
        if !self.has_marks() {
            return Err(Error::NoWordsForIt { path: self.path.clone(), format: self.format });
        }
        let Some(mut desk) = self.waiting_desk.take() else { return Err(nothing()) };
        let aside = match keep_and_cut(&mut desk, end, now) {
            Ok(aside) => aside,
            Err(why) => {
                self.waiting_desk = Some(desk);
                return Err(why);
            }
        };
        self.writer = Some(Writer::start(desk)?);
        self.access = Access::Writing;
        self.end_missing = None;
        if let Some(body) = B::noted(&FileMark::EndSetAside(aside.clone()), self.format) {
            self.append(body, now, hand)?;
        }
        Ok(aside)
    }
}

fn keep_and_cut(desk: &mut Desk, end: MissingEnd, now: Stamp) -> Result<SetAside, Error> {
    desk.still_ours(end.offset + end.bytes)?;
    let path = desk.path.clone();
    let (kept_in, sha256) = keep(&*desk.disk, &path, end, now)?;
    // What was copied must be what is cut.
    if let Err(why) = desk.still_ours(end.offset + end.bytes) {
        let _ = desk.disk.remove(&kept_in);
        return Err(why);
    }
    desk.file.truncate(end.offset).map_err(|why| Error::io("cut the end off", &path, why))?;
    // Should a power cut bring it back, the end is missing again and nothing is lost.
    let _ = desk.file.sync();
    Ok(SetAside { end, sha256, kept_in })
}

/// Copies what stands where the end is missing to a new file, synced; where, and its SHA-256.
fn keep(
    disk: &dyn Disk,
    path: &Path,
    end: MissingEnd,
    now: Stamp,
) -> Result<(PathBuf, String), Error> {
    let reading = |why| Error::io("read the end of", path, why);
    let mut whole = disk.open_read(path).map_err(reading)?;
    let skipped = io::copy(&mut (&mut whole).take(end.offset), &mut io::sink()).map_err(reading)?;
    let (kept_in, mut aside) = new_torn_file(disk, path, now)?;
    let mut hashed = Hashed::new(whole.take(end.bytes));
    let kept = copy_bytes(&mut hashed, &mut *aside)
        .and_then(|copied| {
            let whole = skipped == end.offset && copied == end.bytes;
            if whole { Ok(()) } else { Err(io::ErrorKind::UnexpectedEof.into()) }
        })
        .and_then(|()| accept_unsupported(aside.sync()))
        .and_then(|()| accept_unsupported(disk.sync_folder(folder_of(&kept_in))));
    if let Err(why) = kept {
        let _ = disk.remove(&kept_in);
        return Err(Error::io("keep the end in", &kept_in, why));
    }
    Ok((kept_in, hashed.sha256().iter().map(|byte| format!("{byte:02x}")).collect()))
}

fn new_torn_file(
    disk: &dyn Disk,
    path: &Path,
    now: Stamp,
) -> Result<(PathBuf, Box<dyn DiskFile>), Error> {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".torn-{}", now.for_file_name()));
    let mut number = 1;
    loop {
        let mut name = name.clone();
        if number > 1 {
            name.push(format!("-{number}"));
        }
        let kept_in = path.with_file_name(name);
        match disk.create_new(&kept_in) {
            Ok(file) => return Ok((kept_in, file)),
            Err(why) if why.kind() == io::ErrorKind::AlreadyExists && number < 1000 => number += 1,
            Err(why) => return Err(Error::io("keep the end in", &kept_in, why)),
        }
    }
}
