//! Writing a rescue file: begun as soon as writing stops, a line longer with each further fact, taken
//! away once all is saved.

use std::io;
use std::path::{Path, PathBuf};

use super::RESCUE_EXTENSION;
use super::form::About;
use crate::error::Error;
use crate::fact::Seq;
use crate::file::chain::ChainHash;
use crate::file::disk::{Disk, DiskFile, Locking};
use crate::file::fact_file::{FactFile, SaveState, line_of};
use crate::file::line_format::LineFormat;
use crate::file::lock::lock_path;
use crate::file::open::{accept_unsupported, folder_of};
use crate::stamp::Stamp;

/// The most names tried for a rescue file in one folder.
const MOST_NAMES: u32 = 1000;

/// Keeps the waiting facts of one open file.
#[derive(Default)]
pub struct Keeper {
    kept: Option<KeptFile>,
    /// Why not every waiting fact is in a rescue file.
    missing: Option<Error>,
    /// The last fact that was tried, so that a disk that refuses is not asked again each frame.
    tried: Seq,
}

/// A rescue file being written.
struct KeptFile {
    path: PathBuf,
    file: Box<dyn DiskFile>,
    lock: Option<Box<dyn Send>>,
    /// The file whose facts it keeps.
    of: PathBuf,
    /// The last fact in it.
    last: Seq,
    length: u64,
}

/// Where waiting facts are, besides in memory.
#[derive(Clone, Debug)]
pub enum KeptWhere<'a> {
    /// Nothing waits.
    Nothing,
    /// All of them are in this rescue file.
    InFile(&'a Path),
    /// Some or all are in memory only.
    MemoryOnly(&'a Error),
}

impl Keeper {
    /// Where waiting facts are, besides in memory.
    #[must_use]
    pub fn kept(&self) -> KeptWhere<'_> {
        match (&self.missing, &self.kept) {
            (Some(why), _) => KeptWhere::MemoryOnly(why),
            (None, Some(kept)) => KeptWhere::InFile(&kept.path),
            (None, None) => KeptWhere::Nothing,
        }
    }

    /// Brings the rescue file up to how the file stands. Where its writing has stopped, or `at_once`,
    /// every fact that waits is written to the first of the folders that takes it; once all are saved
    /// the rescue file is taken away.
    ///
    /// `title` says what the file is about, `hand` who has it open.
    pub fn follow<B: LineFormat>(
        &mut self,
        file: &FactFile<B>,
        about: (&str, &str),
        folders: &[PathBuf],
        disk: &dyn Disk,
        now: Stamp,
        at_once: bool,
    ) {
        let last = file.facts().len() as Seq;
        match file.save_state() {
            SaveState::Saved | SaveState::Written => return self.discard(disk),
            // What a continued file was taken along from stays until that file is agreed to.
            SaveState::ReadOnly => return,
            SaveState::Saving { .. } if !at_once && self.kept.is_none() => return,
            SaveState::Saving { .. } | SaveState::Stopped { .. } => {}
        }
        let theirs = self.kept.as_ref().is_some_and(|kept| kept.of == file.path());
        if theirs && self.kept.as_ref().is_some_and(|kept| kept.last >= last) {
            self.missing = None;
            return;
        }
        if self.missing.is_some() && self.tried == last {
            return;
        }
        self.tried = last;
        if theirs && let Some(kept) = &mut self.kept {
            match kept.go_on(file) {
                Ok(()) => {
                    self.missing = None;
                    return;
                }
                Err(why) => self.missing = Some(why),
            }
        }
        for folder in folders {
            match KeptFile::begin(file, about, folder, disk, now) {
                Ok(begun) => {
                    // It holds all that the one before held.
                    if let Some(before) = self.kept.replace(begun) {
                        before.remove(disk);
                    }
                    self.missing = None;
                    return;
                }
                Err(why) => self.missing = Some(why),
            }
        }
    }

    /// Lets go of the rescue file, which stays for the next start.
    pub fn forget(&mut self) {
        *self = Self::default();
    }

    /// Takes the rescue file away: its facts are safe elsewhere, or discarded knowingly.
    pub fn discard(&mut self, disk: &dyn Disk) {
        if let Some(kept) = self.kept.take() {
            kept.remove(disk);
        }
        *self = Self::default();
    }
}

impl KeptFile {
    /// Writes a new rescue file: with the facts on disk too, or without them where there is no room.
    fn begin<B: LineFormat>(
        file: &FactFile<B>,
        (title, hand): (&str, &str),
        folder: &Path,
        disk: &dyn Disk,
        now: Stamp,
    ) -> Result<Self, Error> {
        let about = About {
            kind: B::FILE.to_owned(),
            path: std::path::absolute(file.path()).unwrap_or_else(|_| file.path().to_owned()),
            title: title.to_owned(),
            saved: file.saved().len() as Seq,
            saved_hash: file.last_hash(),
            begun: now,
            hand: hand.to_owned(),
        };
        let header = about.line()?;
        let known = known_lines(file)?;
        let waiting: Vec<u8> = file.waiting_lines().flat_map(|(_, line)| line).copied().collect();
        let whole = [&header[..], &known, &waiting].concat();
        Self::put(file, folder, disk, now, &whole)
            .or_else(|_| Self::put(file, folder, disk, now, &[&header[..], &waiting].concat()))
    }

    fn put<B: LineFormat>(
        of: &FactFile<B>,
        folder: &Path,
        disk: &dyn Disk,
        now: Stamp,
        bytes: &[u8],
    ) -> Result<Self, Error> {
        let (path, mut file) = new_file(of.path(), folder, disk, now)?;
        let written = file
            .append(bytes)
            .and_then(|()| accept_unsupported(file.sync()))
            .and_then(|()| accept_unsupported(disk.sync_folder(folder_of(&path))));
        if let Err(why) = written {
            let _ = disk.remove(&path);
            return Err(Error::io("write the rescue file", &path, why));
        }
        // Kept from being offered elsewhere while it is written here.
        let lock = match disk.try_lock(&lock_path(&path), "") {
            Ok(Locking::Held(lock)) => Some(lock),
            Ok(Locking::Taken(_)) | Err(_) => None,
        };
        let (last, length) = (of.facts().len() as Seq, bytes.len() as u64);
        Ok(Self { path, file, lock, of: of.path().to_owned(), last, length })
    }

    /// Adds the facts that wait and are not in it yet.
    fn go_on<B: LineFormat>(&mut self, file: &FactFile<B>) -> Result<(), Error> {
        let more: Vec<u8> = file
            .waiting_lines()
            .filter(|(seq, _)| *seq > self.last)
            .flat_map(|(_, line)| line)
            .copied()
            .collect();
        let written = self.file.append(&more).and_then(|()| accept_unsupported(self.file.sync()));
        if let Err(why) = written {
            let _ = self.file.truncate(self.length);
            return Err(Error::io("write the rescue file", &self.path, why));
        }
        self.length += more.len() as u64;
        self.last = file.facts().len() as Seq;
        Ok(())
    }

    fn remove(self, disk: &dyn Disk) {
        // Where it cannot be taken away it is found saved at the next start.
        let _ = disk.remove(&self.path);
        if self.lock.is_some() {
            // Its name is never used again, so nobody can hold another lock of that name.
            let _ = disk.remove(&lock_path(&self.path));
        }
    }
}

/// The facts on disk as lines.
fn known_lines<B: LineFormat>(file: &FactFile<B>) -> Result<Vec<u8>, Error> {
    let (mut hash, mut bytes) = (ChainHash::START, Vec::new());
    for fact in file.saved() {
        let (line, next) = line_of(&hash, fact, file.format())?;
        bytes.extend_from_slice(&line);
        hash = next;
    }
    Ok(bytes)
}

fn new_file(
    of: &Path,
    folder: &Path,
    disk: &dyn Disk,
    now: Stamp,
) -> Result<(PathBuf, Box<dyn DiskFile>), Error> {
    let stem: String =
        of.file_stem().unwrap_or_default().to_string_lossy().chars().take(60).collect();
    let mut number = 1;
    loop {
        let again = if number == 1 { String::new() } else { format!("-{number}") };
        let name = format!("{stem} {}{again}.{RESCUE_EXTENSION}", now.for_file_name());
        let path = folder.join(name);
        match disk.create_new(&path) {
            Ok(file) => return Ok((path, file)),
            Err(why) if why.kind() == io::ErrorKind::AlreadyExists && number < MOST_NAMES => {
                number += 1;
            }
            Err(why) => return Err(Error::io("make the rescue file", &path, why)),
        }
    }
}
