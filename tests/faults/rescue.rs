//! Facts that could not be written: kept in a rescue file as soon as writing stops, verified, joined
//! to what they go on from and to nothing else, and taken away only when they are safe.

use std::fs;
use std::io::ErrorKind::{PermissionDenied, StorageFull};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use record::rescue::{
    FileStands, Keeper, KeptWhere, discard, look, rescue_files, take_into, take_into_new,
};
use record::{
    Access, Body, Error, FileMarkKind, FileOptions, Note, SaveState, SessionFile, fold, review,
};

use crate::failing_disk::{FailingDisk, Fails};
use crate::support::*;

/// A shop on a disk that can be made to fail, and a state folder on another.
struct Bench {
    home: tempfile::TempDir,
    disk: FailingDisk,
    keeper: Keeper,
}

impl Bench {
    fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        for folder in ["shop", "state", "run"] {
            fs::create_dir(home.path().join(folder)).unwrap();
        }
        Self { home, disk: FailingDisk::default(), keeper: Keeper::default() }
    }

    fn at(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    fn session(&self) -> PathBuf {
        self.at("shop/0147.samepoint")
    }

    fn options(&self) -> FileOptions {
        FileOptions { disk: Arc::new(self.disk.clone()), ..real() }
    }

    fn follow(&mut self, file: &SessionFile) {
        let folders = [self.at("state"), self.at("run")];
        self.keeper.follow(file, ("0147", HAND), &folders, &self.disk, stamp(900), false);
    }

    /// A session with three facts on disk and `count` that wait.
    fn stopped(&mut self, count: i64) -> SessionFile {
        let mut file =
            SessionFile::create(&self.session(), header(), HAND, self.options()).unwrap();
        for second in 1..=2 {
            file.append(note(second), stamp(second), HAND).unwrap();
        }
        settle(&mut file);
        self.disk.fail(&self.at("shop"), Fails::Writing(StorageFull));
        for second in 3..3 + count {
            file.append(note(second), stamp(second), if second % 2 == 0 { HAND } else { "KT" })
                .unwrap();
            settle(&mut file);
            self.follow(&file);
        }
        assert!(matches!(file.save_state(), SaveState::Stopped { .. }));
        file
    }

    fn rescued(&self) -> Vec<PathBuf> {
        rescue_files(&self.at("state"), &self.disk).unwrap()
    }

    /// The rescue file that a program which is gone left behind.
    fn left(&mut self, file: SessionFile) -> PathBuf {
        drop(file);
        self.keeper.forget();
        let [path] = &self.rescued()[..] else { panic!("{:?}", self.rescued()) };
        path.clone()
    }
}

fn note(number: i64) -> Body {
    Body::Note(Note { text: format!("remark {number}"), about: None })
}

fn facts_in(path: &Path) -> Vec<record::Fact> {
    SessionFile::open_read_only(path, real()).unwrap().facts().to_vec()
}

#[test]
fn what_waits_is_kept_and_taken_back_as_it_was_said() {
    let mut bench = Bench::new();
    let file = bench.stopped(14);
    let KeptWhere::InFile(path) = bench.keeper.kept() else { panic!("{:?}", bench.keeper.kept()) };
    assert!(path.starts_with(bench.at("state")));
    assert!(bench.rescued().is_empty(), "what is being written here is offered nowhere");
    let facts = file.facts().to_vec();
    let path = bench.left(file);
    assert_eq!(facts_in(&bench.session()), facts[..3], "the disk was full");

    let offer = look(&path, &bench.disk).unwrap();
    assert_eq!((offer.facts, offer.stands, offer.whole), (14, FileStands::Fits(14), true));
    assert_eq!((offer.about.title.as_str(), offer.about.saved), ("0147", 3));
    assert_eq!(offer.hands, ["KT", HAND]);
    assert_eq!(offer.said, Some((stamp(3), stamp(16))));
    assert!(offer.words[0].contains("remark 3") && offer.words.len() == 14, "{:?}", offer.words);
    assert_eq!(offer.damage, None);

    // Still full: refused, and nothing is lost.
    assert!(matches!(take_into(&path, &bench.options(), false), Err(Error::Io { .. })));
    assert_eq!(look(&path, &bench.disk).unwrap(), offer);
    bench.disk.mend(&bench.at("shop"));
    assert_eq!(take_into(&path, &bench.options(), false).unwrap(), 14);
    assert_eq!(facts_in(&bench.session()), facts, "times, hands and numbers as they were");
    assert!(!path.exists());
}

#[test]
fn once_all_is_saved_the_rescue_file_goes_and_not_before() {
    let mut bench = Bench::new();
    let mut file = bench.stopped(3);
    let KeptWhere::InFile(path) = bench.keeper.kept() else { panic!() };
    let path = path.to_owned();
    file.try_again();
    settle(&mut file);
    bench.follow(&file);
    assert!(path.exists(), "the disk is still full");
    bench.disk.mend(&bench.at("shop"));
    file.try_again();
    while matches!(file.save_state(), SaveState::Saving { .. }) {
        settle(&mut file);
    }
    bench.follow(&file);
    assert!(!path.exists() && matches!(bench.keeper.kept(), KeptWhere::Nothing));
    assert_eq!(fs::read_dir(bench.at("state")).unwrap().count(), 0, "no lock file either");
}

/// Killed between the last line saved and the rescue file taken away: found saved, not said twice.
#[test]
fn facts_that_did_reach_the_session_are_not_taken_twice() {
    let mut bench = Bench::new();
    let mut file = bench.stopped(4);
    bench.disk.mend(&bench.at("shop"));
    file.try_again();
    file.finish().unwrap();
    let facts = file.facts().to_vec();
    let path = bench.left(file);
    assert_eq!(look(&path, &bench.disk).unwrap().stands, FileStands::Saved);
    assert_eq!(take_into(&path, &bench.options(), false).unwrap(), 0);
    assert_eq!(facts_in(&bench.session()), facts);
}

/// Half of them were saved before writing stopped again: only the other half is taken.
#[test]
fn the_part_that_is_missing_is_taken() {
    let mut bench = Bench::new();
    let file = bench.stopped(6);
    let facts = file.facts().to_vec();
    let path = bench.left(file);
    bench.disk.mend(&bench.at("shop"));
    let mut file = SessionFile::open(&bench.session(), bench.options()).unwrap();
    file.adopt(facts[3..5].to_vec()).unwrap();
    file.finish().unwrap();
    drop(file);
    assert_eq!(look(&path, &bench.disk).unwrap().stands, FileStands::Fits(4));
    assert_eq!(take_into(&path, &bench.options(), false).unwrap(), 4);
    assert_eq!(facts_in(&bench.session()), facts);
}

/// What is done to the session meanwhile, and how it then stands.
type Case<'a> = (&'a dyn Fn(&Bench), FileStands);

/// A session that went on otherwise, one that is gone and one that was rewritten: never joined; a new
/// file that continues holds everything.
#[test]
fn a_session_that_moved_on_is_continued_in_a_new_file() {
    let moved_on = |bench: &Bench| {
        bench.disk.mend(&bench.at("shop"));
        let mut file = SessionFile::open(&bench.session(), bench.options()).unwrap();
        file.append(note(99), stamp(500), "RV").unwrap();
        file.finish().unwrap();
    };
    let gone = |bench: &Bench| fs::remove_dir_all(bench.at("shop")).unwrap();
    let rewritten = |bench: &Bench| {
        let bytes = fs::read(bench.session()).unwrap();
        let end = bytes[..bytes.len() - 1].iter().rposition(|&byte| byte == b'\n').unwrap();
        fs::write(bench.session(), &bytes[..=end]).unwrap();
    };
    let cases: [Case<'_>; 3] = [
        (&moved_on, FileStands::MovedOn),
        (&gone, FileStands::Gone),
        (&rewritten, FileStands::Otherwise),
    ];
    for (change, stands) in cases {
        let mut bench = Bench::new();
        let file = bench.stopped(5);
        let facts = file.facts().to_vec();
        let path = bench.left(file);
        change(&bench);
        let session = fs::read(bench.session()).ok();
        let offer = look(&path, &bench.disk).unwrap();
        assert_eq!((offer.stands, offer.whole), (stands, true));
        assert!(take_into(&path, &bench.options(), false).is_err(), "{stands:?}");
        assert_eq!(fs::read(bench.session()).ok(), session, "{stands:?}: it was written to");
        let new = bench.at("continued.samepoint");
        let said_by = ("samepoint 0.1.0", HAND);
        assert_eq!(take_into_new(&path, &new, said_by, &bench.options(), false).unwrap(), 5);
        assert_eq!(facts_in(&new)[1..], facts[1..]);
        let Body::Header(first) = &facts_in(&new)[0].body else { panic!() };
        let continues = first.continues.as_ref().unwrap();
        assert_eq!((continues.session.as_str(), continues.facts), (&*header().session, 8));
        assert!(!path.exists());
        // A name that is taken is left alone, and the facts stay.
        let mut bench = Bench::new();
        let file = bench.stopped(2);
        let path = bench.left(file);
        change(&bench);
        let taken = take_into_new(&path, &new, said_by, &bench.options(), false);
        assert!(matches!(taken, Err(Error::AlreadyThere { .. })), "{taken:?}");
        assert_eq!(look(&path, &bench.disk).unwrap().facts, 2);
    }
}

/// Cut at every byte, and one bit flipped in every byte: what verifies is offered and said exactly;
/// nothing else is, nothing panics, and a damaged rescue file is put aside, not removed.
#[test]
fn a_damaged_rescue_file_gives_what_verifies() {
    let mut bench = Bench::new();
    let file = bench.stopped(3);
    let facts = file.facts().to_vec();
    let path = bench.left(file);
    bench.disk.mend(&bench.at("shop"));
    let whole = fs::read(&path).unwrap();
    let mut parts = 0;
    let broken = (0..whole.len()).flat_map(|at| {
        let mut flipped = whole.clone();
        flipped[at] ^= 1 << (at % 8);
        [whole[..at].to_vec(), flipped]
    });
    for bytes in broken {
        fs::write(&path, &bytes).unwrap();
        let Ok(rescue) = record::rescue::read::<Body>(&path, &bench.disk) else { continue };
        assert_eq!(rescue.waiting[..], facts[3..3 + rescue.waiting.len()]);
        assert!(rescue.known.is_empty() || rescue.known[..] == facts[..3]);
        let missing = rescue.waiting.len() < 3;
        // A cut between two lines leaves a whole chain: no chain shows that.
        let between = whole.starts_with(&bytes)
            && [bytes.last(), whole.get(bytes.len())].contains(&Some(&b'\n'));
        assert!(rescue.damage.is_some() || !missing || between, "what is missing is not told");
        parts += usize::from(missing && !rescue.waiting.is_empty());
    }
    assert!(parts > 100, "{parts} cases in which a part was there");

    let last = whole[..whole.len() - 1].iter().rposition(|&byte| byte == b'\n').unwrap();
    fs::write(&path, &whole[..last + 40]).unwrap();
    let offer = look(&path, &bench.disk).unwrap();
    assert!(offer.damage.unwrap().contains("not whole"));
    let new = bench.at("continued.samepoint");
    take_into_new(&path, &new, ("samepoint 0.1.0", HAND), &bench.options(), false).unwrap();
    assert_eq!(facts_in(&new)[1..5], facts[1..5]);
    assert_eq!(fold(&facts_in(&new)).marks(), [FileMarkKind::ContinuedInPart]);
    let kept: Vec<_> = fs::read_dir(bench.at("state")).unwrap().flatten().collect();
    assert!(kept.iter().any(|entry| entry.file_name().to_string_lossy().ends_with(".damaged")));
    assert!(bench.rescued().is_empty(), "it is offered no more");
}

#[test]
fn the_next_folder_is_taken_where_the_first_refuses_and_memory_only_is_said() {
    let mut bench = Bench::new();
    bench.disk.fail(&bench.at("state"), Fails::Writing(StorageFull));
    let mut file = bench.stopped(2);
    let KeptWhere::InFile(path) = bench.keeper.kept() else { panic!("{:?}", bench.keeper.kept()) };
    assert!(path.starts_with(bench.at("run")));
    assert_eq!(fs::read_dir(bench.at("state")).unwrap().count(), 0, "no empty file stays");
    // That fills too, in the middle of the work; then the first has room again.
    bench.disk.fail(&bench.at("run"), Fails::Writing(PermissionDenied));
    file.append(note(50), stamp(50), HAND).unwrap();
    bench.follow(&file);
    let KeptWhere::MemoryOnly(why) = bench.keeper.kept() else { panic!() };
    assert!(matches!(why, Error::Io { .. }), "{why}");
    bench.disk.mend(&bench.at("state"));
    file.append(note(51), stamp(51), HAND).unwrap();
    bench.follow(&file);
    let KeptWhere::InFile(path) = bench.keeper.kept() else { panic!("{:?}", bench.keeper.kept()) };
    assert!(path.starts_with(bench.at("state")));
    assert_eq!(fs::read_dir(bench.at("run")).unwrap().count(), 0, "one rescue file holds them all");
    let path = bench.left(file);
    assert_eq!(look(&path, &bench.disk).unwrap().facts, 4);
}

#[test]
fn discarding_takes_it_away() {
    let mut bench = Bench::new();
    let file = bench.stopped(2);
    let path = bench.left(file);
    discard(&path, &bench.disk).unwrap();
    assert!(bench.rescued().is_empty());
    assert_eq!(fs::read_dir(bench.at("state")).unwrap().count(), 0);
    // One that says nothing is put aside instead.
    let strange = bench.at("state/strange.samepoint-rescue");
    fs::write(&strange, "dear customer\n").unwrap();
    assert!(look(&strange, &bench.disk).is_err());
    discard(&strange, &bench.disk).unwrap();
    assert!(bench.rescued().is_empty());
    assert_eq!(fs::read_dir(bench.at("state")).unwrap().count(), 1);
}

/// A copy holds what is only in memory too, and is a whole session.
#[test]
fn a_copy_takes_waiting_facts_along() {
    let mut bench = Bench::new();
    let mut file = bench.stopped(14);
    let copy = bench.at("copy.samepoint");
    let copied = file.keep_copy(&copy).unwrap();
    assert_eq!((copied.in_memory, copied.bytes), (14, fs::metadata(&copy).unwrap().len()));
    assert_eq!(facts_in(&copy), file.facts());
    assert!(fs::read(&copy).unwrap().starts_with(&fs::read(bench.session()).unwrap()));
    assert!(matches!(review(&copy, &bench.disk).unwrap().chain, record::Chain::Intact));
    // Onto the full disk: refused, nothing left behind; over a file: refused.
    assert!(file.keep_copy(&bench.at("shop/copy.samepoint")).is_err());
    assert!(!bench.at("shop/copy.samepoint").exists());
    assert!(matches!(file.keep_copy(&copy), Err(Error::AlreadyThere { .. })));
    // Another's file under the name is not what is copied.
    fs::write(bench.at("other"), "another's file ".repeat(1000)).unwrap();
    fs::rename(bench.at("other"), bench.session()).unwrap();
    let copy = bench.at("copy 2.samepoint");
    file.keep_copy(&copy).unwrap();
    assert_eq!(facts_in(&copy), file.facts());
    fs::remove_dir_all(bench.at("shop")).unwrap();
    let copy = bench.at("copy 3.samepoint");
    file.keep_copy(&copy).unwrap();
    assert_eq!(facts_in(&copy), file.facts());
    file.try_again();
    settle(&mut file);
    let SaveState::Stopped { why: Error::FileGone { .. }, waiting: 14 } = file.save_state() else {
        panic!("{:?}", file.save_state())
    };
}

/// Where files cannot be synced a new one is begun only once the hand agreed, and is not left behind.
#[test]
fn a_file_begun_where_nothing_syncs_waits_for_the_hand() {
    let bench = Bench::new();
    bench.disk.fail(&bench.at("shop"), Fails::Syncing);
    let begin = || SessionFile::create(&bench.session(), header(), HAND, bench.options()).unwrap();
    let why = begin().begun(false).unwrap_err();
    assert!(matches!(why, Error::Unsupported { missing: "synced to disk", .. }), "{why}");
    assert!(!bench.session().exists());
    let file = begin().begun(true).unwrap();
    assert!(matches!(file.access(), Access::Writing));
    assert!(matches!(file.save_state(), SaveState::Written), "its header is not synced either");
}
