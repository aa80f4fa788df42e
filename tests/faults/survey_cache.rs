//! What a survey kept of a shop: used only while the files look as they did, and never missed.

use std::fs;
use std::io::{self, Read};
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::Duration;

use record::file::{DiskFile, FileState, Locking, scan, write_all_lines};
use record::shop::survey::{SurveyCache, SurveyOptions, SurveyProgress, survey_by};
use record::{Body, Countersigned, Disk, Fact, RealDisk, Survey, Verdict, survey};

use super::copied::copy_all;
use super::support::{HAND, stamp};

const WHOLE: &str = "tests/data/format1/whole-job.samepoint";
const DEMO: &str = "demo-data";

/// The machine's disk, and what was opened on it to be read from its beginning.
#[derive(Default)]
struct Counting(Mutex<Vec<PathBuf>>);

impl Disk for Counting {
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        RealDisk.create_new(path)
    }
    fn open_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        RealDisk.open_append(path)
    }
    fn open_read(&self, path: &Path) -> io::Result<Box<dyn Read + Send>> {
        self.0.lock().unwrap().push(path.to_owned());
        RealDisk.open_read(path)
    }
    fn state(&self, path: &Path) -> io::Result<FileState> {
        RealDisk.state(path)
    }
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        RealDisk.rename(from, to)
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        RealDisk.remove(path)
    }
    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        RealDisk.sync_folder(folder)
    }
    fn try_lock(&self, path: &Path, note: &str) -> io::Result<Locking> {
        RealDisk.try_lock(path, note)
    }
}

/// A shop, a cache folder beside it and the build of the program.
pub(super) struct Opened {
    folder: tempfile::TempDir,
    pub(super) build: &'static str,
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn facts() -> Vec<Fact> {
    scan(Path::new(WHOLE), &fs::read(root().join(WHOLE)).unwrap()[..]).unwrap().facts
}

impl Opened {
    /// Three sessions.
    pub(super) fn new() -> Self {
        let shop = Self { folder: tempfile::tempdir().unwrap(), build: "1" };
        fs::create_dir_all(shop.shop().join("sessions")).unwrap();
        for name in ["a", "b", "c"] {
            shop.keep(name, &facts());
        }
        shop
    }

    /// The demo shop, in which sessions lean on windows, checks, pictures and each other.
    fn demo() -> Self {
        let shop = Self { folder: tempfile::tempdir().unwrap(), build: "1" };
        copy_all(&root().join(DEMO), &shop.shop());
        shop
    }

    pub(super) fn shop(&self) -> PathBuf {
        self.folder.path().join("shop")
    }

    fn cache_folder(&self) -> PathBuf {
        self.folder.path().join("cache")
    }

    pub(super) fn cache(&self) -> SurveyCache {
        SurveyCache::new(self.cache_folder(), self.build.to_owned())
    }

    pub(super) fn database(&self) -> PathBuf {
        self.cache().file_of(&self.shop())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.shop().join("sessions").join(format!("{name}.samepoint"))
    }

    /// Each file is a session of its own.
    fn keep(&self, name: &str, facts: &[Fact]) {
        let mut facts = facts.to_vec();
        let Body::Header(header) = &mut facts[0].body else { panic!("no header") };
        header.session =
            format!("{:032x}", name.bytes().fold(7, |id, byte| id * 131 + u128::from(byte)));
        let mut bytes = Vec::new();
        write_all_lines(&facts, &mut bytes).unwrap();
        fs::write(self.path(name), bytes).unwrap();
    }

    /// Opens the shop with its cache, holds what it comes to against a survey that reads every file, and says
    /// which files were read whole.
    #[track_caller]
    pub(super) fn open(&self, cache: &SurveyCache) -> Vec<String> {
        let disk = Counting::default();
        let workers = NonZeroUsize::new(2).unwrap();
        let progress = SurveyProgress::default();
        let looking = SurveyOptions {
            disk: &disk,
            cache: Some(cache),
            progress: Some(&progress),
            ..SurveyOptions::whole(workers)
        };
        let found = survey_by(&self.shop(), &looking).unwrap().unwrap();
        // However each was looked at, it was.
        let all = found.sessions.len() + found.skipped.len();
        assert_eq!(progress.so_far(), (all, all));
        let whole = survey(&self.shop(), workers).unwrap();
        same(&found, &whole);
        let read = disk.0.into_inner().unwrap();
        let mut names: Vec<String> = read
            .iter()
            .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names.dedup();
        names
    }

    #[track_caller]
    pub(super) fn reads(&self, names: &[&str]) {
        assert_eq!(self.open(&self.cache()), names);
    }
}

/// All that a survey says, but how many files it read for it.
#[track_caller]
fn same(one: &Survey, other: &Survey) {
    for (a, b) in one.sessions.iter().zip(&other.sessions) {
        assert_eq!(a, b);
    }
    let told = |survey: &Survey| {
        let Survey {
            sessions, skipped, risks, ledger, spells, zeros_judged, checks_unread, ..
        } = survey;
        format!(
            "{sessions:?} {skipped:?} {risks:?} {ledger:?} {spells:?} {zeros_judged:?} {checks_unread:?}"
        )
    };
    assert_eq!(told(one), told(other));
}

#[test]
fn a_second_opening_reads_no_file_whole() {
    let shop = Opened::new();
    let keeps = |shop: &Opened| shop.cache().keeps_any_of(&shop.shop());
    assert!(!keeps(&shop));
    // Stopped on its way, it keeps nothing.
    let cache = shop.cache();
    let whole = SurveyOptions::whole(NonZeroUsize::MIN);
    let stopped = SurveyOptions { go_on: &|| false, cache: Some(&cache), ..whole };
    assert!(survey_by(&shop.shop(), &stopped).unwrap().is_none());
    assert!(shop.database().is_file() && !keeps(&shop));
    shop.reads(&["a", "b", "c"]);
    assert!(keeps(&shop));
    // Another build would read all of it whole.
    let other = SurveyCache::new(shop.cache_folder(), "2".to_owned());
    assert!(!other.keeps_any_of(&shop.shop()));
    shop.reads(&[]);
    fs::remove_dir_all(shop.cache_folder()).unwrap();
    assert!(!keeps(&shop));
    shop.reads(&["a", "b", "c"]);
    shop.reads(&[]);
    assert_eq!(shop.open(&shop.cache().read_anew()), ["a", "b", "c"], "asked to trust nothing");
    shop.reads(&[]);
    // Nothing was put beside the sessions.
    let mut names: Vec<_> =
        fs::read_dir(shop.shop()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["sessions"]);
}

#[test]
fn what_changed_is_read_and_nothing_else() {
    let shop = Opened::new();
    shop.reads(&["a", "b", "c"]);
    // Gone on with.
    let mut more = facts();
    let Fact { seq, time, .. } = more.last().unwrap().clone();
    let note = Body::Note(record::Note { text: "later".to_owned(), about: None });
    more.push(Fact { seq: seq + 1, time, hand: HAND.to_owned(), body: note });
    shop.keep("b", &more);
    shop.reads(&["b"]);
    // Gone, and come.
    fs::remove_file(shop.path("a")).unwrap();
    shop.keep("d", &facts());
    shop.reads(&["d"]);
    shop.reads(&[]);
    // Another name is another file, and one that took a name of another is not that one.
    fs::rename(shop.path("b"), shop.path("e")).unwrap();
    shop.reads(&["e"]);
    fs::rename(shop.path("e"), shop.path("c")).unwrap();
    shop.reads(&["c"]);
    shop.reads(&[]);
}

/// A damaged file is never kept: it is looked at each time, and as soon as it is whole again it counts.
#[test]
fn damage_is_looked_at_each_time() {
    let shop = Opened::new();
    let whole = fs::read(shop.path("b")).unwrap();
    let mut flipped = whole.clone();
    flipped[whole.len() / 2] ^= 4;
    fs::write(shop.path("b"), &flipped).unwrap();
    let other = fs::read(shop.path("c")).unwrap();
    fs::write(shop.path("c"), &other[..other.len() - 9]).unwrap();
    shop.reads(&["a", "b", "c"]);
    shop.reads(&["b", "c"]);
    fs::write(shop.path("b"), &whole).unwrap();
    shop.reads(&["b", "c"]);
    shop.reads(&["c"]);
}

/// A forger writes a file anew, chain and all, to the same length, and sets its time back.
#[test]
fn a_file_written_anew_to_the_same_length_is_read_again() {
    let shop = Opened::new();
    shop.reads(&["a", "b", "c"]);
    let path = shop.path("b");
    let before = fs::metadata(&path).unwrap();
    let mut forged = facts();
    let reading = forged.iter_mut().find_map(|fact| match &mut fact.body {
        Body::Unit(unit) => Some(&mut unit.name),
        _ => None,
    });
    let name = reading.unwrap();
    let first = if name.starts_with('9') { "8" } else { "9" };
    name.replace_range(0..1, first);
    shop.keep("b", &forged);
    let file = fs::File::options().write(true).open(&path).unwrap();
    file.set_modified(before.modified().unwrap()).unwrap();
    let after = fs::metadata(&path).unwrap();
    assert_eq!(after.len(), before.len());
    assert_eq!(after.modified().unwrap(), before.modified().unwrap());
    shop.reads(&["b"]);
}

/// The same within one line in the middle, its hash left as it was: the last line is the same, and so are
/// length and time. Where the file system keeps when a file was last touched at all, that tells.
#[cfg(unix)]
#[test]
fn a_byte_changed_in_the_middle_is_found_by_the_time_nobody_can_set() {
    let shop = Opened::new();
    shop.reads(&["a", "b", "c"]);
    let path = shop.path("b");
    let modified = fs::metadata(&path).unwrap().modified().unwrap();
    std::thread::sleep(Duration::from_millis(20));
    let mut bytes = fs::read(&path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 4;
    fs::write(&path, bytes).unwrap();
    fs::File::options().write(true).open(&path).unwrap().set_modified(modified).unwrap();
    shop.reads(&["b"]);
}

/// What a summary leans on besides its file: windows, stations, checks, pictures, checked sessions. Whatever
/// of these changes, what is told is what a survey tells that reads every file.
#[test]
fn a_shop_that_changed_is_told_of_as_it_is() {
    let shop = Opened::demo();
    let all = shop.open(&shop.cache());
    assert!(all.len() > 10, "{all:?}");
    let again = shop.open(&shop.cache());
    assert!(again.len() < all.len(), "{again:?}");
    let mut changed = 0;
    for folder in
        ["windows", "stations", "cameras", "checks", "pictures", "sessions", "ledger", "hands"]
    {
        let Ok(entries) = fs::read_dir(shop.shop().join(folder)) else { continue };
        let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        for path in paths.into_iter().filter(|path| path.is_file()).take(2) {
            let bytes = fs::read(&path).unwrap();
            // Gone, then there again, as another file of the same bytes; then broken, then whole.
            fs::remove_file(&path).unwrap();
            shop.open(&shop.cache());
            fs::write(&path, &bytes).unwrap();
            shop.open(&shop.cache());
            fs::write(&path, &bytes[..bytes.len() / 2]).unwrap();
            shop.open(&shop.cache());
            fs::write(&path, &bytes).unwrap();
            shop.open(&shop.cache());
            changed += 1;
        }
    }
    assert!(changed > 8);
    // A wider window, by another number under the same name.
    for entry in fs::read_dir(shop.shop().join("windows")).unwrap() {
        let path = entry.unwrap().path();
        let text = fs::read_to_string(&path).unwrap();
        let wider = text.replace("convergence_arcmin: ", "convergence_arcmin: 1");
        assert_ne!(text, wider);
        fs::write(&path, wider).unwrap();
    }
    let read = shop.open(&shop.cache());
    assert!(!read.is_empty());
}

#[test]
fn what_another_build_kept_is_not_used() {
    let mut shop = Opened::new();
    shop.reads(&["a", "b", "c"]);
    shop.build = "2";
    shop.reads(&["a", "b", "c"]);
    shop.reads(&[]);
    shop.build = "1";
    shop.reads(&["a", "b", "c"]);
}

/// Whatever byte of the database is another, and wherever it ends, nothing that is told is.
#[test]
fn a_damaged_cache_is_made_anew() {
    let shop = Opened::new();
    shop.reads(&["a", "b", "c"]);
    let database = shop.database();
    let whole = fs::read(&database).unwrap();
    let step = whole.len() / 80 + 1;
    let mut survived = 0;
    for at in (0..whole.len()).step_by(step).chain((0..256).step_by(7)) {
        let mut damaged = whole.clone();
        damaged[at] ^= 0x55;
        fs::write(&database, damaged).unwrap();
        let read = shop.open(&shop.cache());
        survived += usize::from(read.is_empty());
        assert!(read.is_empty() || read == ["a", "b", "c"], "{at}: {read:?}");
        shop.reads(&[]);
    }
    assert!(survived > 0, "unused pages may be damaged");
    for cut in [0, 1, 100, whole.len() / 2, whole.len() - 1] {
        fs::write(&database, &whole[..cut]).unwrap();
        shop.reads(&["a", "b", "c"]);
        shop.reads(&[]);
    }
    for nonsense in [&b"not a database"[..], &[0; 8192], &[0xff; 70_000]] {
        fs::write(&database, nonsense).unwrap();
        shop.reads(&["a", "b", "c"]);
        shop.reads(&[]);
    }
}

/// An opening in which nothing changed writes nothing, so that two windows may look at a shop at once; and where what
/// the database sums up to is lost or damaged, the database is looked through, and that is all.
#[test]
fn an_opening_in_which_nothing_changed_writes_nothing() {
    let shop = Opened::new();
    shop.reads(&["a", "b", "c"]);
    let (database, sum) = (shop.database(), shop.database().with_extension("sum"));
    let looks =
        |path: &Path| (fs::read(path).unwrap(), fs::metadata(path).unwrap().modified().unwrap());
    let before = (looks(&database), looks(&sum));
    // Another window reads it.
    let held = fs::File::open(&database).unwrap();
    held.lock_shared().unwrap();
    shop.reads(&[]);
    shop.reads(&[]);
    assert_eq!((looks(&database), looks(&sum)), before);
    // What changed is read, though it cannot be kept.
    shop.keep("d", &facts());
    shop.reads(&["d"]);
    shop.reads(&["d"]);
    drop(held);
    shop.reads(&["d"]);
    shop.reads(&[]);
    let kept = fs::read(&sum).unwrap();
    for at in 0..kept.len() {
        let mut damaged = kept.clone();
        damaged[at] ^= 1;
        fs::write(&sum, damaged).unwrap();
        shop.reads(&[]);
    }
    for other in [&kept[..kept.len() - 1], &[]] {
        fs::write(&sum, other).unwrap();
        shop.reads(&[]);
    }
    fs::remove_file(&sum).unwrap();
    shop.reads(&[]);
    assert_eq!(fs::read(&sum).unwrap().len(), kept.len());
    // A link is replaced, and what it leads to is left alone.
    #[cfg(unix)]
    {
        let elsewhere = shop.folder.path().join("elsewhere");
        fs::write(&elsewhere, b"mine").unwrap();
        fs::remove_file(&sum).unwrap();
        std::os::unix::fs::symlink(&elsewhere, &sum).unwrap();
        shop.reads(&[]);
        assert_eq!(fs::read(&elsewhere).unwrap(), b"mine");
    }
}

/// Summaries of one session under the name of another, as where a database was put together by hand.
#[test]
fn another_shops_cache_tells_nothing() {
    let (one, other) = (Opened::new(), Opened::new());
    let mut more = facts();
    more.truncate(more.len() - 1);
    other.keep("a", &more);
    one.reads(&["a", "b", "c"]);
    other.reads(&["a", "b", "c"]);
    fs::copy(one.database(), other.database()).unwrap();
    assert!(other.open(&other.cache()).contains(&"a".to_owned()));
}

#[test]
fn a_cache_that_cannot_be_had_is_worked_without() {
    let shop = Opened::new();
    // Somebody holds it.
    shop.reads(&["a", "b", "c"]);
    let held = fs::File::options().read(true).write(true).open(shop.database()).unwrap();
    held.lock().unwrap();
    shop.reads(&["a", "b", "c"]);
    shop.reads(&["a", "b", "c"]);
    drop(held);
    shop.reads(&[]);
    // A file stands where its folder belongs; a folder stands where its file belongs.
    fs::remove_dir_all(shop.cache_folder()).unwrap();
    fs::write(shop.cache_folder(), b"mine").unwrap();
    shop.reads(&["a", "b", "c"]);
    assert_eq!(fs::read(shop.cache_folder()).unwrap(), b"mine");
    fs::remove_file(shop.cache_folder()).unwrap();
    fs::create_dir_all(shop.database().join("mine")).unwrap();
    shop.reads(&["a", "b", "c"]);
    assert!(shop.database().join("mine").is_dir());
    fs::remove_dir_all(shop.cache_folder()).unwrap();
    // A link leads elsewhere, and what it leads to is left alone.
    #[cfg(unix)]
    {
        fs::create_dir_all(shop.cache_folder()).unwrap();
        let elsewhere = shop.folder.path().join("elsewhere");
        fs::write(&elsewhere, b"mine").unwrap();
        std::os::unix::fs::symlink(&elsewhere, shop.database()).unwrap();
        shop.reads(&["a", "b", "c"]);
        assert_eq!(fs::read(&elsewhere).unwrap(), b"mine");
    }
}

/// Two files of one session: which counts, and that they are told apart, is worked out each time.
#[test]
fn copies_are_found_among_what_is_kept() {
    let shop = Opened::new();
    shop.reads(&["a", "b", "c"]);
    fs::copy(shop.path("a"), shop.path("z")).unwrap();
    shop.reads(&["a", "z"]);
    shop.reads(&["a", "z"]);
    fs::remove_file(shop.path("z")).unwrap();
    shop.reads(&[]);
}

/// A countersignature that names a line of another file is told of from what is kept, too.
#[test]
fn what_does_not_follow_is_kept_as_that() {
    let shop = Opened::new();
    let mut facts = facts();
    let signature =
        facts.iter().rev().find(|fact| matches!(fact.body, Body::Signed(_))).unwrap().seq;
    let seq = facts.len() as u64 + 1;
    let countersigned = Countersigned {
        signature,
        last_hash: "ab".repeat(32),
        comment: String::new(),
        hands_sha256: None,
    };
    let body = Body::Countersigned(countersigned);
    facts.push(Fact { seq, time: stamp(90_000_000), hand: "SH".to_owned(), body });
    shop.keep("b", &facts);
    let opened = || {
        let cache = shop.cache();
        let looking =
            SurveyOptions { cache: Some(&cache), ..SurveyOptions::whole(NonZeroUsize::MIN) };
        survey_by(&shop.shop(), &looking).unwrap().unwrap()
    };
    for read in [3, 0] {
        let found = opened();
        assert_eq!(found.read_whole, read);
        assert_eq!(found.sessions[1].state, record::State::DoesNotFollow);
        assert_ne!(found.sessions[0].verdict, Some(Verdict::NotMeasured));
    }
}
