//! Beginning, opening, continuing and copying files of facts.

use std::io::{self, Read};
use std::path::Path;
use std::sync::Arc;

use crate::error::Error;
use crate::fact::{Body, Continued, Fact, FileMark, Header, LATEST_FORMAT};
use crate::file::chain::ChainHash;
use crate::file::disk::{Disk, DiskFile};
use crate::file::fact_file::{
    Access, FactFile, FileOptions, Notice, ReadOnlyReason, SYNCED, SessionFile, line_of,
    write_all_lines,
};
use crate::file::line_format::{GoesOn, LineFormat};
use crate::file::lock::{self, Holder, LockAnswer};
use crate::file::names;
use crate::file::scan::{End, LARGEST_FILE, Scan, line_hashes, scan_facts};
use crate::file::writer::{Desk, Writer};

/// A copy that was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptCopy {
    /// Its bytes.
    pub bytes: u64,
    /// How many of its facts were in memory only when it was made.
    pub in_memory: usize,
}

/// A fresh name for a session: 32 hex digits from the system's random source.
///
/// # Errors
/// [`Error::Io`] when the system gives no random bytes.
pub fn new_session_name() -> Result<String, Error> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes).map_err(|why| {
        Error::io("draw a name for", Path::new("the session"), io::Error::other(why))
    })?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

impl SessionFile {
    /// Begins a session in a new file, synced before this returns.
    ///
    /// # Errors
    /// [`Error::AlreadyThere`], or [`Error::Io`] when the file cannot be made; nothing is left behind
    /// then.
    pub fn create(
        path: &Path,
        header: Header,
        hand: &str,
        options: FileOptions,
    ) -> Result<Self, Error> {
        Self::create_with(path, Body::Header(header), hand, options)
    }
}

impl GoesOn for Body {
    fn next_header(
        &self,
        program: &str,
        continued: &dyn Fn(&str) -> Continued,
    ) -> Result<Self, Error> {
        let Self::Header(old) = self else { return Err(Error::HeaderOutOfPlace) };
        Ok(Self::Header(Header {
            format: LATEST_FORMAT,
            program: program.to_owned(),
            session: new_session_name()?,
            kind: old.kind.clone(),
            continues: Some(continued(&old.session)),
        }))
    }
}

impl<B: GoesOn> FactFile<B> {
    /// Goes on in a new file: a new header that names this one, then every fact after the old header
    /// word for word, saved or not, and, where this file is damaged or its end is missing, a mark that
    /// says so for ever. This file is left as it is.
    ///
    /// # Errors
    /// As [`create`](SessionFile::create).
    pub fn continue_in(
        &self,
        path: &Path,
        program: &str,
        hand: &str,
        options: FileOptions,
    ) -> Result<Self, Error> {
        let first = self.facts.first().ok_or(Error::HeaderOutOfPlace)?;
        let header = first.body.next_header(program, &|name| self.as_continued(name))?;
        self.continue_with(path, header, hand, options)
    }
}

impl<B: LineFormat> FactFile<B> {
    /// Begins a file with its header, synced before this returns.
    pub(crate) fn create_with(
        path: &Path,
        header: B,
        hand: &str,
        options: FileOptions,
    ) -> Result<Self, Error> {
        let time = options.opener.now;
        let first = Fact { seq: 1, time, hand: hand.to_owned(), body: header };
        Self::begin(path, vec![first], options)
    }

    /// How another file's header names this one, whose own name among all is `name`.
    pub(crate) fn as_continued(&self, name: &str) -> Continued {
        Continued {
            file: self.path.file_name().unwrap_or_default().to_string_lossy().into_owned(),
            session: name.to_owned(),
            facts: self.facts.len() as u64,
            last_hash: self.last_hash.to_string(),
        }
    }

    /// Goes on in a new file: its header, then every fact after this one's header word for word.
    pub(crate) fn continue_with(
        &self,
        path: &Path,
        header: B,
        hand: &str,
        options: FileOptions,
    ) -> Result<Self, Error> {
        let time = options.opener.now;
        let format = header.format();
        let mut facts = vec![Fact { seq: 1, time, hand: hand.to_owned(), body: header }];
        facts.extend_from_slice(self.facts.get(1..).unwrap_or_default());
        if let Some(body) = self.in_part().and_then(|mark| B::noted(&mark, format)) {
            let seq = facts.len() as u64 + 1;
            facts.push(Fact { seq, time, hand: hand.to_owned(), body });
        }
        Self::begin(path, facts, options)
    }

    /// What a file that goes on from this one must say of it, where this one had more than is here.
    fn in_part(&self) -> Option<FileMark> {
        let why = match (&self.access, self.end_missing()) {
            // Its line ends are not as they were, but all that it said is here.
            (Access::ReadOnly(ReadOnlyReason::Damaged(damage)), _)
                if damage.line <= self.facts.len() as u64 =>
            {
                return None;
            }
            (Access::ReadOnly(ReadOnlyReason::Damaged(damage)), _) => damage.to_string(),
            (_, Some(end)) => end.to_string(),
            (_, None) => return None,
        };
        let name = Path::new(self.path.file_name().unwrap_or_default());
        Some(FileMark::ContinuedInPart { file: crate::shown::path(name), why })
    }

    pub(crate) fn begin(
        path: &Path,
        facts: Vec<Fact<B>>,
        options: FileOptions,
    ) -> Result<Self, Error> {
        let mut bytes = Vec::new();
        let mut hash = ChainHash::START;
        let format = facts.first().map_or(B::FORMAT, |first| first.body.format());
        let mut signing_hashes = Vec::new();
        for fact in &facts {
            let (line, next) = line_of(&hash, fact, format)?;
            if fact.body.is_signing() {
                signing_hashes.push((fact.seq, next));
            }
            bytes.extend_from_slice(&line);
            hash = next;
        }
        names::taken_everywhere(path).map_err(|why| refused_new(path, why))?;
        let disk = &*options.disk;
        let (lock, lock_missing) = match lock::take(disk, path, &options.opener) {
            LockAnswer::Held(lock) => (Some(lock), false),
            LockAnswer::Taken(holder) => {
                let why = ReadOnlyReason::InUse(holder).to_string();
                return Err(Error::ReadOnly { path: path.to_owned(), why });
            }
            LockAnswer::Unsupported => (None, true),
            LockAnswer::Refused(why) => {
                return Err(Error::io("make a file in the folder of", path, why));
            }
        };
        let mut file = disk.create_new(path).map_err(|why| refused_new(path, why))?;
        // Nobody else can have what was made just now; where it cannot be locked, ask.
        let made = supported(file.try_lock().map(drop)).and_then(|locked| {
            Ok((lock_missing || !locked, write_new(disk, path, &mut *file, &bytes)?))
        });
        let (lock_missing, lasting) = match made {
            Ok(made) => made,
            Err(why) => {
                let _ = disk.remove(path);
                return Err(Error::io("write", path, why));
            }
        };
        let sync_missing = !(lasting.bytes && lasting.name);
        let scan = Scan {
            facts,
            format,
            signing_hashes,
            last_hash: hash,
            good_length: bytes.len() as u64,
            lacks_line_end: false,
            end: End::Clean,
        };
        let missing = missing(lock_missing, sync_missing);
        Self::for_writing(path, scan, file, lock, (missing, lasting.name), options)
    }

    /// Of a file that was begun just now: where files cannot be locked or synced it goes on if the user
    /// agreed, else the new file is taken away again.
    ///
    /// # Errors
    /// [`Error::Unsupported`] unless agreed; as [`agree`](Self::agree).
    pub fn begun(mut self, agreed: bool) -> Result<Self, Error> {
        let Access::AskFirst { missing } = self.access else { return Ok(self) };
        if agreed {
            self.agree()?;
            return Ok(self);
        }
        let (path, disk) = (self.path.clone(), Arc::clone(&self.disk));
        drop(self);
        let _ = disk.remove(&path);
        Err(Error::Unsupported { path, missing })
    }

    /// Opens a file to add to it, where that can be; else for reading, and
    /// [`access`](Self::access) says why.
    ///
    /// Nothing is ever cut: where the end is missing the file is open for reading until the hand
    /// says otherwise, by [`set_end_aside`](Self::set_end_aside).
    ///
    /// # Errors
    /// [`Error::Io`] when it cannot even be read, [`Error::WrongFile`], [`Error::NewerFormat`], and
    /// [`Error::Damaged`] when the very first line is.
    pub fn open(path: &Path, options: FileOptions) -> Result<Self, Error> {
        let disk = Arc::clone(&options.disk);
        // Before a lock file is made beside it, there must be something to lock.
        disk.state(path).map_err(|why| Error::io("open", path, why))?;
        let (lock, lock_missing) = match lock::take(&*disk, path, &options.opener) {
            LockAnswer::Held(lock) => (Some(lock), false),
            LockAnswer::Unsupported => (None, true),
            LockAnswer::Taken(holder) => {
                return Self::for_reading(path, ReadOnlyReason::InUse(holder), options);
            }
            LockAnswer::Refused(why) => {
                let why = Error::io("make a lock file beside", path, why);
                return Self::for_reading(path, ReadOnlyReason::NotPermitted(why), options);
            }
        };
        let mut file = match disk.open_append(path) {
            Ok(file) => file,
            // Where a file is kept from others by opening it.
            Err(why) if why.kind() == io::ErrorKind::ResourceBusy => {
                return Self::for_reading(path, ReadOnlyReason::InUse(Holder::default()), options);
            }
            Err(why) => {
                let why = Error::io("write to", path, why);
                return Self::for_reading(path, ReadOnlyReason::NotPermitted(why), options);
            }
        };
        // The lock file may have been moved away, or lie beside another name of the same file.
        let lock_missing = match file.try_lock() {
            Ok(true) => lock_missing,
            Ok(false) => {
                return Self::for_reading(path, ReadOnlyReason::InUse(Holder::default()), options);
            }
            Err(why) if why.kind() == io::ErrorKind::Unsupported => true,
            Err(why) => {
                let why = Error::io("lock", path, why);
                return Self::for_reading(path, ReadOnlyReason::NotPermitted(why), options);
            }
        };
        let scanned = scan_facts(path, &mut *file)?;
        if let End::Damaged(damage) = &scanned.end {
            let reason = ReadOnlyReason::Damaged(damage.clone());
            return Ok(Self::read_only(path, scanned, reason, options));
        }
        let missing = missing(lock_missing, false);
        Self::for_writing(path, scanned, file, lock, (missing, true), options)
    }

    /// Opens a file to look at it, touching nothing: no lock, no lock file.
    ///
    /// # Errors
    /// As [`open`](Self::open).
    pub fn open_read_only(path: &Path, options: FileOptions) -> Result<Self, Error> {
        Self::for_reading(path, ReadOnlyReason::Asked, options)
    }

    fn for_reading(
        path: &Path,
        reason: ReadOnlyReason,
        options: FileOptions,
    ) -> Result<Self, Error> {
        let bytes = options.disk.open_read(path).map_err(|why| Error::io("open", path, why))?;
        let scanned = scan_facts(path, bytes)?;
        let reason = match &scanned.end {
            End::Damaged(damage) => ReadOnlyReason::Damaged(damage.clone()),
            End::Missing(_) | End::Clean => reason,
        };
        Ok(Self::read_only(path, scanned, reason, options))
    }

    pub(crate) fn read_only(
        path: &Path,
        scanned: Scan<B>,
        reason: ReadOnlyReason,
        options: FileOptions,
    ) -> Self {
        Self::assemble(path, scanned, Access::ReadOnly(reason), options)
    }

    fn for_writing(
        path: &Path,
        scanned: Scan<B>,
        file: Box<dyn DiskFile>,
        lock: Option<Box<dyn Send>>,
        (missing, name_lasts): (Option<&'static str>, bool),
        options: FileOptions,
    ) -> Result<Self, Error> {
        let desk = Desk {
            disk: Arc::clone(&options.disk),
            path: path.to_owned(),
            file,
            acknowledged: scanned.good_length,
            torn: None,
            without_sync: false,
            name_lasts,
            wake: Arc::clone(&options.wake),
        };
        let mut session = Self::assemble(path, scanned, Access::Writing, options);
        session.lock = lock;
        if let Some(missing) = missing {
            session.access = Access::AskFirst { missing };
            session.waiting_desk = Some(desk);
        } else if let Some(end) = session.end_missing() {
            session.waits_for_the_end(end);
            session.waiting_desk = Some(desk);
        } else {
            session.writer = Some(Writer::start(desk)?);
        }
        Ok(session)
    }

    fn assemble(path: &Path, scanned: Scan<B>, access: Access, options: FileOptions) -> Self {
        let end_missing = match scanned.end {
            End::Missing(end) => Some(end),
            End::Damaged(_) | End::Clean => None,
        };
        Self {
            path: path.to_owned(),
            disk: options.disk,
            facts: scanned.facts,
            format: scanned.format,
            signing_hashes: scanned.signing_hashes,
            access,
            notices: end_missing.map(Notice::EndMissing).into_iter().collect(),
            end_missing,
            lock: None,
            writer: None,
            waiting_desk: None,
            last_hash: scanned.last_hash,
            saved_hash: scanned.last_hash,
            saved_length: scanned.good_length,
            lacks_line_end: scanned.lacks_line_end,
            waiting: std::collections::VecDeque::new(),
            stopped: None,
            written_only: false,
        }
    }

    /// Copies the file's bytes, as far as they are on disk, to a new file, with the lines that wait
    /// behind them, and goes on with this one. A damaged file is copied whole, damage and all. Where
    /// the file is gone, or another lies under its name, every fact is written from memory.
    ///
    /// # Errors
    /// [`Error::AlreadyThere`], or [`Error::Io`]; nothing is left behind then.
    pub fn keep_copy(&self, to: &Path) -> Result<KeptCopy, Error> {
        let saved: Box<dyn Read> = match self.access {
            Access::ReadOnly(_) => {
                let there = self
                    .disk
                    .state(&self.path)
                    .map_err(|why| Error::io("read", &self.path, why))?;
                if there.length > LARGEST_FILE {
                    let why =
                        "it is larger than 256 MiB, most of it no facts; copy it by other means";
                    let why = io::Error::new(io::ErrorKind::FileTooLarge, why);
                    return Err(Error::io("copy", &self.path, why));
                }
                self.disk.open_read(&self.path).map_err(|why| Error::io("read", &self.path, why))?
            }
            Access::Writing | Access::AskFirst { .. } if self.lies_as_saved() => {
                let from = self.disk.open_read(&self.path);
                let from = from.map_err(|why| Error::io("read", &self.path, why))?;
                Box::new(from.take(self.saved_length))
            }
            Access::Writing | Access::AskFirst { .. } => {
                let mut bytes = Vec::new();
                write_all_lines(&self.facts, &mut bytes)?;
                return self.put_copy(to, &bytes[..], false);
            }
        };
        self.put_copy(to, saved, true)
    }

    /// Whether what lies under the name still begins with every line that was saved.
    fn lies_as_saved(&self) -> bool {
        let Ok(bytes) = self.disk.open_read(&self.path) else { return false };
        let last = line_hashes(&self.path, bytes.take(self.saved_length));
        last.is_ok_and(|hashes| hashes.last() == Some(&self.saved_hash))
    }

    fn put_copy(&self, to: &Path, saved: impl Read, and_waiting: bool) -> Result<KeptCopy, Error> {
        names::taken_everywhere(to).map_err(|why| refused_new(to, why))?;
        let mut copy = self.disk.create_new(to).map_err(|why| refused_new(to, why))?;
        let copied = copy_bytes(saved, &mut *copy).and_then(|mut bytes| {
            for waiting in self.waiting.iter().filter(|_| and_waiting) {
                copy.append(&waiting.line)?;
                bytes += waiting.line.len() as u64;
            }
            accept_unsupported(copy.sync())?;
            accept_unsupported(self.disk.sync_folder(folder_of(to)))?;
            Ok(bytes)
        });
        match copied {
            Ok(bytes) => Ok(KeptCopy { bytes, in_memory: self.waiting.len() }),
            Err(why) => {
                let _ = self.disk.remove(to);
                Err(Error::io("copy it to", to, why))
            }
        }
    }
}

const fn missing(lock: bool, sync: bool) -> Option<&'static str> {
    match (lock, sync) {
        (_, true) => Some(SYNCED),
        (true, false) => Some("locked"),
        (false, false) => None,
    }
}

pub(crate) fn refused_new(path: &Path, why: io::Error) -> Error {
    if why.kind() == io::ErrorKind::AlreadyExists {
        Error::AlreadyThere { path: path.to_owned() }
    } else {
        Error::io("make", path, why)
    }
}

/// Whether what a new file holds, and its name, would survive a power cut.
struct Lasting {
    bytes: bool,
    name: bool,
}

fn write_new(
    disk: &dyn Disk,
    path: &Path,
    file: &mut dyn DiskFile,
    bytes: &[u8],
) -> io::Result<Lasting> {
    file.append(bytes)?;
    let bytes = supported(file.sync())?;
    let name = supported(disk.sync_folder(folder_of(path)))?;
    Ok(Lasting { bytes, name })
}

fn supported(result: io::Result<()>) -> io::Result<bool> {
    match result {
        Ok(()) => Ok(true),
        Err(why) if why.kind() == io::ErrorKind::Unsupported => Ok(false),
        Err(why) => Err(why),
    }
}

pub(crate) fn accept_unsupported(result: io::Result<()>) -> io::Result<()> {
    supported(result).map(drop)
}

/// The folder a file lies in; `.` for a bare name.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

pub(super) fn copy_bytes(mut from: impl Read, to: &mut dyn DiskFile) -> io::Result<u64> {
    let mut chunk = vec![0; 1 << 16];
    let mut total = 0;
    loop {
        let got = match from.read(&mut chunk) {
            Ok(0) => return Ok(total),
            Ok(got) => got,
            Err(why) if why.kind() == io::ErrorKind::Interrupted => continue,
            Err(why) => return Err(why),
        };
        to.append(chunk.get(..got).unwrap_or_default())?;
        total += got as u64;
    }
}
