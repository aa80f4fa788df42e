//! What a rescue file has to offer at the next start, and taking it: into the file its facts belong
//! to, or into a new one that continues it.

use std::path::{Path, PathBuf};

use super::form::{self, About, Rescue, read};
use crate::checks::CheckBody;
use crate::error::Error;
use crate::fact::{Body, Fact, Seq};
use crate::file::bad_field::BadField;
use crate::file::chain::ChainHash;
use crate::file::damage::DamageKind;
use crate::file::disk::{Disk, Locking};
use crate::file::line_format::{GoesOn, LineFormat};
use crate::file::lock::lock_path;
use crate::file::scan::{Scan, line_hashes};
use crate::file::{Access, Damage, End, FactFile, FileOptions, ReadOnlyReason};
use crate::journal::{JournalBody, Vocabulary};
use crate::stamp::Stamp;
use crate::studies::StudyBody;
use crate::timeline::timeline;

/// What one rescue file has to offer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The rescue file.
    pub path: PathBuf,
    /// What it says of itself.
    pub about: About,
    /// How many facts of it can be read.
    pub facts: usize,
    /// Whose hands said them, each once.
    pub hands: Vec<String>,
    /// When the first and the last of them was said.
    pub said: Option<(Stamp, Stamp)>,
    /// What they say, one line each; empty where that takes the facts before and they are not there.
    pub words: Vec<String>,
    /// How the file they belong to stands beside them.
    pub stands: FileStands,
    /// Whether every fact before them can be had, from the file or from the rescue file.
    pub whole: bool,
    /// What of the rescue file cannot be read, in words.
    pub damage: Option<String>,
}

/// How a file stands beside facts that never reached it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileStands {
    /// It ends with the line they go on from; so many of them are not in it.
    Fits(usize),
    /// All of them are in it.
    Saved,
    /// It went on otherwise since.
    MovedOn,
    /// It does not hold the line they go on from any more.
    Otherwise,
    /// It is not there, or cannot be read.
    Gone,
}

/// The rescue files of a folder that nobody is writing, by name, oldest first.
///
/// # Errors
/// [`Error::Io`] when the folder cannot be listed; none where there is no such folder.
pub fn rescue_files(folder: &Path, disk: &dyn Disk) -> Result<Vec<PathBuf>, Error> {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(why) if why.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(why) => return Err(Error::io("look through", folder, why)),
    };
    let mut found: Vec<PathBuf> = entries
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| form::is_named_so(path))
        .collect();
    found.sort();
    found.retain(|path| !is_being_written(path, disk));
    Ok(found)
}

/// Whether another window keeps facts in it just now. Looking leaves no lock file behind.
fn is_being_written(path: &Path, disk: &dyn Disk) -> bool {
    let lock = lock_path(path);
    disk.state(&lock).is_ok() && matches!(disk.try_lock(&lock, ""), Ok(Locking::Taken(_)))
}

/// What a rescue file has to offer.
///
/// # Errors
/// As [`read`](fn@read), and [`Error::WrongFile`] for a kind that this program does not know.
pub fn look(path: &Path, disk: &dyn Disk) -> Result<Offer, Error> {
    of_kind(path, disk, RescueLook { path, disk })
}

/// Takes the facts of a rescue file into the file they belong to, which nobody may have open, and
/// takes the rescue file away once they are saved; says how many. `agreed`: the hand agreed to write
/// where files cannot be locked or synced.
///
/// # Errors
/// [`Error::DoesNotGoOn`] when that file does not end with the line they go on from;
/// [`Error::Unsupported`] unless agreed; why it cannot be written. The rescue file stays then.
pub fn take_into(path: &Path, options: &FileOptions, agreed: bool) -> Result<usize, Error> {
    let taken = of_kind(path, &*options.disk, TakeInto { options, agreed })?;
    discard(path, &*options.disk)?;
    Ok(taken)
}

/// Takes them into a new file that continues the one they belong to, with every fact before them, and
/// takes the rescue file away once they are saved; says how many.
///
/// # Errors
/// [`Error::DoesNotGoOn`] when the facts before them are nowhere to be had; [`Error::Unsupported`]
/// unless agreed; why the new file cannot be made. The rescue file stays then, and no new file.
pub fn take_into_new(
    path: &Path,
    to: &Path,
    (program, hand): (&str, &str),
    options: &FileOptions,
    agreed: bool,
) -> Result<usize, Error> {
    let doing = TakeIntoNew { to, program, hand, options, agreed };
    let taken = of_kind(path, &*options.disk, doing)?;
    discard(path, &*options.disk)?;
    Ok(taken)
}

/// Takes a rescue file out of the way: one that can be read whole is removed, one that is damaged is
/// given another name, under which it is no longer offered.
///
/// # Errors
/// [`Error::Io`].
pub fn discard(path: &Path, disk: &dyn Disk) -> Result<(), Error> {
    let whole = look(path, disk).is_ok_and(|offer| offer.damage.is_none());
    if !whole {
        let mut name = path.file_name().unwrap_or_default().to_owned();
        name.push(".damaged");
        let aside = path.with_file_name(name);
        return disk.rename(path, &aside).map_err(|why| Error::io("put away", path, why));
    }
    disk.remove(path).map_err(|why| Error::io("take away", path, why))?;
    let _ = disk.remove(&lock_path(path));
    Ok(())
}

/// A kind of file that facts are rescued of.
trait RescuedKind: GoesOn {
    /// What the facts from the given one on say, one line each.
    fn lines(_facts: &[Fact<Self>], _from: Seq) -> Vec<String> {
        Vec::new()
    }
}

impl RescuedKind for Body {
    fn lines(facts: &[Fact], from: Seq) -> Vec<String> {
        let told = timeline(facts).into_iter().filter(|entry| entry.seq >= from);
        told.map(|entry| format!("{} {}: {}", entry.time.time_of_day(), entry.hand, entry.words))
            .collect()
    }
}

impl<V: Vocabulary> RescuedKind for JournalBody<V> where Self: LineFormat {}

/// Something that is done with a rescue file of whatever kind.
trait Doing {
    type Done;
    fn with<B: RescuedKind>(self, rescue: Rescue<B>) -> Result<Self::Done, Error>;
}

fn of_kind<D: Doing>(path: &Path, disk: &dyn Disk, doing: D) -> Result<D::Done, Error> {
    let kind = form::about(path, disk)?.kind;
    match kind.as_str() {
        Body::FILE => doing.with(read::<Body>(path, disk)?),
        CheckBody::FILE => doing.with(read::<JournalBody<CheckBody>>(path, disk)?),
        StudyBody::FILE => doing.with(read::<JournalBody<StudyBody>>(path, disk)?),
        other => Err(Error::WrongFile {
            path: path.to_owned(),
            wanted: "rescue file",
            what: format!("its facts are of a {}", crate::shown::one_line(other)),
        }),
    }
}

struct RescueLook<'a> {
    path: &'a Path,
    disk: &'a dyn Disk,
}

impl Doing for RescueLook<'_> {
    type Done = Offer;
    fn with<B: RescuedKind>(self, rescue: Rescue<B>) -> Result<Offer, Error> {
        let stands = stands(&rescue, self.disk);
        let before = before(&rescue, self.disk);
        let words = before.as_ref().map_or_else(Vec::new, |before| {
            let facts = [&before[..], &rescue.waiting].concat();
            B::lines(&facts, rescue.about.saved + 1)
        });
        let mut hands: Vec<String> = rescue.waiting.iter().map(|fact| fact.hand.clone()).collect();
        hands.dedup();
        hands.sort_unstable();
        hands.dedup();
        let times = rescue.waiting.iter().map(|fact| fact.time);
        Ok(Offer {
            path: self.path.to_owned(),
            facts: rescue.waiting.len(),
            hands,
            said: times.clone().next().zip(times.last()),
            words,
            stands,
            whole: before.is_some(),
            damage: rescue.damage,
            about: rescue.about,
        })
    }
}

/// How the file that facts belong to stands beside them.
fn stands<B: LineFormat>(rescue: &Rescue<B>, disk: &dyn Disk) -> FileStands {
    let about = &rescue.about;
    let hashes = disk
        .open_read(&about.path)
        .map_err(|why| Error::io("read", &about.path, why))
        .and_then(|bytes| line_hashes(&about.path, bytes));
    let Ok(hashes) = hashes else { return FileStands::Gone };
    let saved = usize::try_from(about.saved).unwrap_or(usize::MAX);
    let goes_on_there = saved
        .checked_sub(1)
        .and_then(|last| hashes.get(last))
        .is_some_and(|hash| hash.as_str() == about.saved_hash);
    if !goes_on_there {
        return FileStands::Otherwise;
    }
    let behind = hashes.get(saved..).unwrap_or_default();
    let same = behind.iter().zip(&rescue.hashes).take_while(|(there, ours)| there == ours).count();
    if same == rescue.hashes.len() {
        FileStands::Saved
    } else if same == behind.len() {
        FileStands::Fits(rescue.hashes.len() - same)
    } else {
        FileStands::MovedOn
    }
}

/// Every fact before the waiting ones: as the rescue file has them, else as the file has them.
fn before<B: LineFormat>(rescue: &Rescue<B>, disk: &dyn Disk) -> Option<Vec<Fact<B>>> {
    if !rescue.known.is_empty() {
        return Some(rescue.known.clone());
    }
    if matches!(stands(rescue, disk), FileStands::Otherwise | FileStands::Gone) {
        return None;
    }
    let path = &rescue.about.path;
    let bytes = disk.open_read(path).ok()?;
    let scan = crate::file::scan::scan_facts::<B>(path, bytes).ok()?;
    let saved = usize::try_from(rescue.about.saved).ok()?;
    scan.facts.get(..saved).map(<[_]>::to_vec)
}

struct TakeInto<'a> {
    options: &'a FileOptions,
    agreed: bool,
}

impl Doing for TakeInto<'_> {
    type Done = usize;
    fn with<B: RescuedKind>(self, rescue: Rescue<B>) -> Result<usize, Error> {
        let path = &rescue.about.path;
        let mut file = FactFile::<B>::open(path, self.options.clone())?;
        if self.agreed && matches!(file.access(), Access::AskFirst { .. }) {
            file.agree()?;
        }
        let (ends, there) = (file.end_hash(), file.facts().len() as Seq);
        let ours = |hash: &ChainHash, seq: Seq| *hash == ends && seq == there;
        let as_left = there == rescue.about.saved && ends.as_str() == rescue.about.saved_hash;
        let missing = if as_left {
            rescue.waiting
        } else {
            let mut pairs = rescue.hashes.iter().zip(&rescue.waiting);
            let Some(last) = pairs.position(|(hash, fact)| ours(hash, fact.seq)) else {
                return Err(Error::DoesNotGoOn { path: path.clone() });
            };
            rescue.waiting.into_iter().skip(last + 1).collect()
        };
        let count = missing.len();
        file.adopt(missing)?;
        file.finish()?;
        Ok(count)
    }
}

struct TakeIntoNew<'a> {
    to: &'a Path,
    program: &'a str,
    hand: &'a str,
    options: &'a FileOptions,
    agreed: bool,
}

impl Doing for TakeIntoNew<'_> {
    type Done = usize;
    fn with<B: RescuedKind>(self, rescue: Rescue<B>) -> Result<usize, Error> {
        let path = rescue.about.path.clone();
        let Some(before) = before(&rescue, &*self.options.disk) else {
            return Err(Error::DoesNotGoOn { path });
        };
        let count = rescue.waiting.len();
        let facts = [before, rescue.waiting].concat();
        let last_hash = rescue
            .hashes
            .last()
            .copied()
            .or_else(|| ChainHash::read(&rescue.about.saved_hash))
            .unwrap_or(ChainHash::START);
        let reason = match rescue.damage {
            None => ReadOnlyReason::Asked,
            Some(what) => ReadOnlyReason::Damaged(Damage {
                line: facts.len() as Seq + 1,
                offset: 0,
                kind: DamageKind::NotAFact { what: BadField::new(what) },
            }),
        };
        let scan = Scan {
            facts,
            format: B::FORMAT,
            signing_hashes: Vec::new(),
            last_hash,
            good_length: 0,
            lacks_line_end: false,
            end: End::Clean,
        };
        let old = FactFile::read_only(&path, scan, reason, self.options.clone());
        let new = old.continue_in(self.to, self.program, self.hand, self.options.clone())?;
        new.begun(self.agreed)?.finish()?;
        Ok(count)
    }
}
