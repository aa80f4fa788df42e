//! The shop's ledger: what was signed and is gone, rewritten, copied or in two files is named.

use std::fs;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use crate::flips::lines_of;
use crate::support::*;
use record::fact::Exercise;
use record::ledger::{
    Copied, Ledger, LedgerFile, LedgerFinding, Noting, SigningKind, note_all, note_files,
    note_session,
};
use record::shop::survey::troubles::Trouble;
use record::{
    Access, Account, Body, Fact, FileOptions, Opener, RealDisk, Seq, SessionKind, Shop, Stamp,
    Survey, review, survey,
};

pub(crate) const ONE: &str = "000000000000000000000000000000a1";
pub(crate) const TWO: &str = "000000000000000000000000000000a2";
const THREE: &str = "000000000000000000000000000000a3";

/// A whole job, countersigned, under a name of its own.
pub(crate) fn job(session: &str) -> Vec<Fact> {
    let mut facts = facts_of(&whole_job());
    if let Body::Header(header) = &mut facts[0].body {
        header.session = session.to_owned();
    }
    facts
}

pub(crate) struct Kept {
    pub(crate) folder: tempfile::TempDir,
}

impl Kept {
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        Shop::lay_out(folder.path()).unwrap();
        Self { folder }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join("sessions").join(name)
    }

    pub(crate) fn keep(&self, name: &str, facts: &[Fact]) -> PathBuf {
        let path = self.path(name);
        fs::write(&path, lines_of(facts)).unwrap();
        path
    }

    pub(crate) fn note(&self, now: &str) -> usize {
        note_all(self.folder.path(), &noting(now)).unwrap()
    }

    pub(crate) fn ledger(&self) -> Ledger {
        Ledger::load(self.folder.path(), &RealDisk)
    }

    pub(crate) fn ledger_files(&self) -> Vec<String> {
        let names = fs::read_dir(self.folder.path().join("ledger")).unwrap().flatten();
        let mut names: Vec<String> =
            names.map(|entry| entry.file_name().into_string().unwrap()).collect();
        names.retain(|name| !name.starts_with('.'));
        names.sort();
        names
    }

    pub(crate) fn ledger_path(&self, name: &str) -> PathBuf {
        self.folder.path().join("ledger").join(name)
    }

    pub(crate) fn survey(&self) -> Survey {
        survey(self.folder.path(), NonZeroUsize::MIN).unwrap()
    }
}

pub(crate) const NOVEMBER: &str = "2026-11-25T12:00:00.000+00:00";

pub(crate) fn noting(now: &str) -> Noting {
    let now: Stamp = now.parse().unwrap();
    let options = FileOptions::real(Opener { now, ..opener() });
    Noting { program: "samepoint 0.1.0".to_owned(), hand: HAND.to_owned(), agreed: false, options }
}

pub(crate) fn reviewed(path: &Path) -> Account {
    review(path, &RealDisk).unwrap()
}

/// The last two facts of a job: signature and countersignature.
fn signing(facts: &[Fact]) -> [Seq; 2] {
    let last = facts.len() as Seq;
    [last - 1, last]
}

#[test]
fn what_was_saved_is_noted_once() {
    let shop = Kept::new();
    let facts = job(ONE);
    let [signed, countersigned] = signing(&facts);
    let path = shop.keep("a.samepoint", &facts);
    assert!(reviewed(&path).words().contains("No ledger stands beside it."));
    assert!(!shop.survey().ledger.stands);
    let folder = shop.folder.path();
    // One was saved just now, the other nobody noted in its day.
    let noted = note_session(folder, &path, &[countersigned], &noting(NOVEMBER)).unwrap();
    assert_eq!((noted, shop.note(NOVEMBER)), (2, 0));
    assert_eq!(shop.ledger_files(), ["2026.samepoint-ledger"]);
    let ledger = shop.ledger();
    let said: Vec<(Seq, SigningKind, bool)> = ledger
        .of(ONE)
        .iter()
        .map(|noted| (noted.entry.line.seq, noted.entry.line.kind, noted.entry.late))
        .collect();
    let expected =
        [(signed, SigningKind::Signed, true), (countersigned, SigningKind::Countersigned, false)];
    assert_eq!(said, expected);
    // The hash is that of the line as it stands in the file.
    let text = fs::read_to_string(&path).unwrap();
    assert_eq!(ledger.of(ONE)[1].entry.line.hash.as_str(), &text.lines().last().unwrap()[2..66]);
    let account = reviewed(&path);
    let words = account.words();
    assert!(words.contains("All that the ledger notes of it is there, 2 lines."), "{words}");
    assert!(words.contains("was noted late, on 2026-11-25"), "{words}");
    assert!(!account.beside_contradicts());
    let found = shop.survey();
    assert!(found.ledger.stands && found.ledger.to_look_at().is_empty());
    assert_eq!(found.ledger.not_noted, 0);
    // One more session: the same file goes on.
    shop.keep("b.samepoint", &job(TWO));
    assert_eq!(shop.survey().ledger.not_noted, 2);
    assert_eq!((shop.note(NOVEMBER), shop.ledger_files().len()), (2, 1));
}

/// Where sessions were read already, only files are read again in which something may be missing, and the ledger comes
/// to say the same.
#[test]
fn what_was_read_tells_which_files_the_ledger_misses() {
    let [read, all] = [Kept::new(), Kept::new()];
    let lines = |shop: &Kept| {
        let ledger = shop.ledger();
        [ONE, TWO, THREE].map(|session| {
            let noted = ledger.of(session).iter();
            noted.map(|noted| (noted.entry.line.clone(), noted.entry.late)).collect::<Vec<_>>()
        })
    };
    let note_read = |shop: &Kept| {
        let survey = shop.survey();
        let files = survey.not_noted().unwrap();
        let names: Vec<String> = files
            .iter()
            .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
            .collect();
        let noted = note_files(shop.folder.path(), files, &noting(NOVEMBER)).unwrap();
        (names.join(" "), noted)
    };
    for shop in [&read, &all] {
        shop.keep("a.samepoint", &job(ONE));
    }
    assert_eq!((note_read(&read), all.note(NOVEMBER)), (("a.samepoint".to_owned(), 2), 2));
    assert_eq!(note_read(&read), (String::new(), 0));
    // One came, unsigned work beside it, and a signed one whose last line is damaged: what stands before that is noted.
    for shop in [&read, &all] {
        shop.keep("b.samepoint", &job(TWO));
        let begun = job("000000000000000000000000000000a4");
        shop.keep("c.samepoint", &begun[..begun.len() - 2]);
        let mut damaged = lines_of(&job(THREE));
        let last = damaged.len() - 9;
        damaged[last] ^= 1;
        fs::write(shop.path("d.samepoint"), damaged).unwrap();
    }
    assert_eq!(note_read(&read), ("b.samepoint d.samepoint".to_owned(), 3));
    assert_eq!(all.note(NOVEMBER), 3);
    assert_eq!(lines(&read), lines(&all));
    // What cannot be read to its end is looked at each time.
    assert_eq!(note_read(&read), ("d.samepoint".to_owned(), 0));
}

#[test]
fn practice_is_not_noted() {
    let shop = Kept::new();
    let mut facts = job(ONE);
    if let Body::Header(header) = &mut facts[0].body {
        header.kind =
            SessionKind::Practice(Exercise { name: "first".to_owned(), ..Exercise::default() });
    }
    let path = shop.keep("a.samepoint", &facts);
    assert_eq!(shop.note(NOVEMBER), 0);
    assert!(!shop.ledger().stands() && reviewed(&path).ledger.is_none());
}

/// Whole lines off the end leave a chain that is intact: the ledger tells.
#[test]
fn a_session_cut_off_is_named() {
    let shop = Kept::new();
    let facts = job(ONE);
    let path = shop.keep("a.samepoint", &facts);
    shop.note(NOVEMBER);
    for left in [facts.len() - 1, facts.len() - 2, 3] {
        shop.keep("a.samepoint", &facts[..left]);
        let account = reviewed(&path);
        let says = account.ledger.clone().unwrap();
        assert_eq!(says.findings.len(), (facts.len() - left).min(2));
        assert!(says.findings.iter().all(|found| matches!(found, LedgerFinding::CutOff(_))));
        assert_eq!(account.exit_code(), 3, "{left} left");
        let words = account.words();
        let expected = format!("is missing: the file ends with fact {left}");
        assert!(
            words.contains(&expected) && words.contains("countersignature of R. Voss"),
            "{words}"
        );
        let found = shop.survey();
        let why: Vec<String> = found.sessions[0].troubles().iter().map(Trouble::words).collect();
        assert!(why.iter().any(|words| words.contains(&expected)), "{why:?}");
        // What is missing is not noted anew, and what is there is not noted twice.
        assert_eq!(shop.note(NOVEMBER), 0);
    }
}

/// A torn end: what may have been saved is known as far as the ledger notes it.
#[test]
fn a_missing_end_is_known_by_the_ledger() {
    let shop = Kept::new();
    let mut facts = job(ONE);
    let path = shop.keep("a.samepoint", &facts);
    shop.note(NOVEMBER);
    let mut bytes = fs::read(&path).unwrap();
    bytes.truncate(bytes.len() - 5);
    fs::write(&path, &bytes).unwrap();
    let words = reviewed(&path).words();
    assert!(words.contains("shows that the countersignature of R. Voss"), "{words}");
    // The torn line is another one: all that was noted is there.
    let last = facts.last().unwrap().clone();
    facts.push(Fact {
        seq: last.seq + 1,
        body: Body::Note(record::Note { text: "later".to_owned(), about: None }),
        ..last
    });
    let mut bytes = lines_of(&facts);
    bytes.truncate(bytes.len() - 5);
    fs::write(&path, &bytes).unwrap();
    let account = reviewed(&path);
    let words = account.words();
    let known =
        "All that the ledger notes of it is there, 2 lines; what else may have been saved is not";
    assert!(words.contains(known), "{words}");
    assert!(!account.beside_contradicts() && account.exit_code() == 3);
}

/// Readings or signature made anew, chain and all.
#[test]
fn a_session_rewritten_is_named() {
    let shop = Kept::new();
    let facts = job(ONE);
    let path = shop.keep("a.samepoint", &facts);
    shop.note(NOVEMBER);
    let mut forged = facts.clone();
    forged[8].hand = "somebody".to_owned();
    shop.keep("a.samepoint", &forged);
    let account = reviewed(&path);
    assert!(account.chain == record::Chain::Intact && account.exit_code() == 3);
    let findings = account.ledger.clone().unwrap().findings;
    assert!(
        findings.len() == 2 && matches!(findings[0], LedgerFinding::Rewritten(_)),
        "{findings:?}"
    );
    assert!(account.words().contains("of this file is another line"), "{}", account.words());
    // Opening the shop does not note the forged lines as if they were news.
    assert_eq!(shop.note(NOVEMBER), 0);
    // Something else stands where the signature stood, and behind it more.
    let mut other = facts[..facts.len() - 2].to_vec();
    while other.len() < facts.len() + 2 {
        let last = other.last().unwrap().clone();
        other.push(Fact {
            seq: last.seq + 1,
            body: log(record::Channel::Left, "5", "1", "1"),
            ..last
        });
    }
    shop.keep("a.samepoint", &other);
    assert_eq!(reviewed(&path).ledger.unwrap().findings.len(), 2);
    assert_eq!(shop.survey().sessions[0].ledger.len(), 2);
}

#[test]
fn a_session_deleted_is_named_and_a_damaged_one_is_not() {
    let shop = Kept::new();
    shop.keep("a.samepoint", &job(ONE));
    let other = shop.keep("b.samepoint", &job(TWO));
    shop.note(NOVEMBER);
    fs::remove_file(shop.path("a.samepoint")).unwrap();
    let missing = shop.survey().ledger.missing;
    assert_eq!((missing.len(), missing[0].session.as_str()), (1, ONE));
    let words = missing[0].words();
    assert!(words.contains("a.samepoint") && words.contains("signature of R. Voss"), "{words}");
    // Under another name it is here.
    shop.keep("renamed.samepoint", &job(ONE));
    assert!(shop.survey().ledger.missing.is_empty());
    // Damaged is not deleted.
    let mut bytes = fs::read(&other).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 4;
    fs::write(&other, bytes).unwrap();
    let found = shop.survey();
    assert!(found.ledger.missing.is_empty() && found.skipped.len() == 1);
    assert_eq!(reviewed(&other).ledger.unwrap().findings.len(), 2, "beyond the damage");
}

/// All of them gone, or a ledger that was carried in from elsewhere.
#[test]
fn a_ledger_of_another_shop_is_told() {
    let (shop, other) = (Kept::new(), Kept::new());
    shop.keep("a.samepoint", &job(ONE));
    shop.note(NOVEMBER);
    other.keep("b.samepoint", &job(TWO));
    fs::create_dir(other.folder.path().join("ledger")).unwrap();
    let name = "2026.samepoint-ledger";
    fs::copy(shop.ledger_path(name), other.ledger_path(name)).unwrap();
    let found = other.survey().ledger;
    assert!(found.of_no_session_here && found.not_noted == 2);
    assert!(found.to_look_at()[0].contains("another shop’s ledger"), "{:?}", found.to_look_at());
    // Its own sessions are noted all the same.
    other.note(NOVEMBER);
    assert!(!other.survey().ledger.of_no_session_here);
}

/// Each file is read where it lies: behind files that are passed over, and under a name that is no text.
#[test]
fn copies_are_found_among_files_of_all_kinds() {
    let shop = Kept::new();
    for broken in ["a broken.samepoint", "c broken.samepoint"] {
        fs::write(shop.path(broken), b"not a session").unwrap();
    }
    shop.keep("b.samepoint", &job(ONE));
    shop.keep("d other.samepoint", &job(TWO));
    shop.keep("e copy.samepoint", &job(ONE));
    #[cfg(unix)]
    {
        use std::os::unix::ffi::OsStrExt as _;
        let name = std::ffi::OsStr::from_bytes(b"f \xff.samepoint");
        fs::copy(shop.path("b.samepoint"), shop.path("b.samepoint").with_file_name(name)).unwrap();
    }
    let found = shop.survey();
    let copies: Vec<(&str, usize, bool)> = found
        .sessions
        .iter()
        .map(|one| (one.file.as_str(), one.copies.len(), one.copy_of.is_some()))
        .collect();
    let others = if cfg!(unix) { 2 } else { 1 };
    let mut wanted = vec![
        ("b.samepoint", others, false),
        ("d other.samepoint", 0, false),
        ("e copy.samepoint", others, true),
    ];
    if cfg!(unix) {
        wanted.push(("f \u{fffd}.samepoint", others, true));
    }
    assert_eq!((copies, found.skipped.len()), (wanted, 2));
    assert!(found.sessions.iter().flat_map(|one| &one.copies).all(|one| one.how == Copied::Same));
}

#[test]
fn copies_count_once_and_forks_are_named() {
    let shop = Kept::new();
    let facts = job(ONE);
    let path = shop.keep("a.samepoint", &facts);
    shop.keep("b copy.samepoint", &facts);
    shop.keep("c older.samepoint", &facts[..facts.len() - 1]);
    shop.keep("d other.samepoint", &job(TWO));
    let found = shop.survey();
    let counted: Vec<&str> = found.counted().map(|(_, one)| one.file.as_str()).collect();
    assert_eq!((counted, found.doubled()), (vec!["a.samepoint", "d other.samepoint"], 2));
    let older = &found.sessions[2];
    assert_eq!(older.copy_of.as_deref(), Some("a.samepoint"));
    let copies: Vec<Copied> = reviewed(&path).copies.iter().map(|copy| copy.how).collect();
    assert_eq!(copies, [Copied::Same, Copied::EndsEarlier(facts.len() as Seq - 1)]);
    let account = reviewed(&shop.path("c older.samepoint"));
    assert!(account.goes_on_elsewhere() && account.exit_code() != 0);
    assert!(account.words().contains("a.samepoint is the same session and goes on to fact"));

    // Two files that went on differently: without a ledger nobody knows which is the one.
    let mut forked = facts.clone();
    forked.last_mut().unwrap().hand = "another".to_owned();
    let fork = shop.keep("e fork.samepoint", &forked);
    fs::remove_file(shop.path("c older.samepoint")).unwrap();
    for path in [&path, &fork] {
        let account = reviewed(path);
        assert_eq!(account.exit_code(), 3, "{}", account.words());
        assert!(
            account.words().contains("one session went on in two files"),
            "{}",
            account.words()
        );
    }
    let found = shop.survey();
    assert_eq!(found.counted().count(), 2);
    assert!(found.sessions[0].is_forked());
    let csv = String::from_utf8(found.csv().unwrap()).unwrap();
    assert!(csv.lines().next().unwrap().contains("session,counts,ledger"), "{csv}");
    // With one, the file whose every signature is noted is told from the other.
    fs::remove_file(&fork).unwrap();
    shop.note(NOVEMBER);
    shop.keep("e fork.samepoint", &forked);
    assert!(!reviewed(&path).beside_contradicts());
    assert!(matches!(reviewed(&fork).ledger.unwrap().findings[..], [LedgerFinding::Rewritten(_)]));
    // Both were signed at a bench: the ledger notes two lines as one fact.
    let last = facts.len() as Seq;
    note_session(shop.folder.path(), &fork, &[last], &noting(NOVEMBER)).unwrap();
    for path in [&path, &fork] {
        let account = reviewed(path);
        let findings = account.ledger.clone().unwrap().findings;
        assert!(matches!(findings[..], [LedgerFinding::Forked(_)]), "{findings:?}");
        assert_eq!(account.exit_code(), 3);
    }
}

/// A session that was gone on with in a new file counts with that one.
#[test]
fn a_continued_session_counts_once() {
    let shop = Kept::new();
    shop.keep("a.samepoint", &job(ONE));
    let mut goes_on = job(TWO);
    if let Body::Header(header) = &mut goes_on[0].body {
        header.continues = Some(record::fact::Continued {
            file: "a.samepoint".to_owned(),
            session: ONE.to_owned(),
            facts: 9,
            last_hash: "0".repeat(64),
        });
    }
    shop.keep("b.samepoint", &goes_on);
    let found = shop.survey();
    let counted: Vec<&str> = found.counted().map(|(_, one)| one.file.as_str()).collect();
    assert_eq!(counted, ["b.samepoint"]);
    assert!(found.sessions[0].troubles()[0].words().contains("gone on with in b.samepoint"));
}

/// Who finds the ledger held waits, gives up, and nothing is lost: the next try notes it.
#[test]
fn a_ledger_that_is_held_is_tried_again() {
    let shop = Kept::new();
    shop.keep("a.samepoint", &job(ONE));
    shop.note(NOVEMBER);
    let path = shop.keep("b.samepoint", &job(TWO));
    let held = LedgerFile::open(&shop.ledger_path("2026.samepoint-ledger"), real()).unwrap();
    assert!(matches!(held.access(), Access::Writing));
    let refused = note_session(shop.folder.path(), &path, &[], &noting(NOVEMBER)).unwrap_err();
    assert!(refused.to_string().contains("has it open"), "{refused}");
    drop(held);
    assert_eq!((shop.note(NOVEMBER), shop.ledger_files().len()), (2, 1));
    assert_eq!(shop.ledger().of(TWO).len(), 2);
    // Many at once: each line is noted exactly once.
    let three = "000000000000000000000000000000a3";
    let path = shop.keep("c.samepoint", &job(three));
    std::thread::scope(|scope| {
        for _ in 0..4 {
            scope
                .spawn(|| note_session(shop.folder.path(), &path, &[], &noting(NOVEMBER)).unwrap());
        }
    });
    let bytes = fs::read_to_string(shop.ledger_path("2026.samepoint-ledger")).unwrap();
    assert_eq!(bytes.matches(three).count(), 2);
}

/// A damaged ledger is named, compared as far as it goes, and gone on with beside.
#[test]
fn a_damaged_ledger_is_named_and_another_begun() {
    let shop = Kept::new();
    let path = shop.keep("a.samepoint", &job(ONE));
    shop.note(NOVEMBER);
    let file = shop.ledger_path("2026.samepoint-ledger");
    let whole = fs::read(&file).unwrap();
    let lines: Vec<&[u8]> = whole.split_inclusive(|byte| *byte == b'\n').collect();
    // Its last line changed, its end torn, its header spoilt.
    let flipped = |at: usize| {
        let mut bytes = whole.clone();
        bytes[at] ^= 4;
        bytes
    };
    let changed = flipped(lines[0].len() + lines[1].len() + 80);
    let torn = whole[..whole.len() - 9].to_vec();
    for (bytes, noted) in [(changed, 1), (torn, 1), (flipped(100), 0)] {
        fs::write(&file, bytes).unwrap();
        let ledger = shop.ledger();
        assert_eq!((ledger.troubles().len(), ledger.of(ONE).len()), (1, noted));
        let account = reviewed(&path);
        assert!(account.words().contains("edger"), "{}", account.words());
        assert!(!account.beside_contradicts(), "{}", account.words());
        assert_eq!(shop.note(NOVEMBER), 2 - noted);
        assert_eq!(
            shop.ledger_files(),
            ["2026 (2).samepoint-ledger", "2026.samepoint-ledger"],
            "it is left as it is"
        );
        assert_eq!(shop.ledger().of(ONE).len(), 2);
        assert_eq!(shop.survey().ledger.to_look_at().len(), 1);
        fs::remove_file(shop.ledger_path("2026 (2).samepoint-ledger")).unwrap();
    }
}

/// Signed at New Year, noted the next day; a clock that goes back; a ledger whose end was cut before the
/// next year's began.
#[test]
fn the_year_means_nothing_but_a_cut_is_known() {
    let shop = Kept::new();
    let path = shop.keep("a.samepoint", &job(ONE));
    shop.note("2026-12-31T23:59:59.000+00:00");
    shop.keep("b.samepoint", &job(TWO));
    shop.note("2027-01-01T00:00:05.000+00:00");
    shop.keep("c.samepoint", &job("000000000000000000000000000000a3"));
    // The clock was set back by a year.
    shop.note("2026-01-01T00:00:05.000+00:00");
    assert_eq!(shop.ledger_files(), ["2026.samepoint-ledger", "2027.samepoint-ledger"]);
    let ledger = shop.ledger();
    assert!(ledger.troubles().is_empty(), "{:?}", ledger.troubles());
    assert_eq!(ledger.sessions().count(), 3);
    // What stood in 2026 when 2027 was begun is cut by a line, its chain intact.
    let file = shop.ledger_path("2026.samepoint-ledger");
    let whole = fs::read_to_string(&file).unwrap();
    let cut: String = whole.split_inclusive('\n').take(2).collect();
    fs::write(&file, cut).unwrap();
    let troubles = shop.ledger().troubles();
    assert!(
        troubles.len() == 1 && troubles[0].contains("it was cut or written anew"),
        "{troubles:?}"
    );
    assert!(reviewed(&path).words().contains("it was cut or written anew"));
    fs::remove_file(&file).unwrap();
    assert!(
        shop.ledger().troubles()[0].contains("which is gone"),
        "{:?}",
        shop.ledger().troubles()
    );
}

/// One ledger copied, and both gone on with: each line counts, and the fork is named.
#[test]
fn a_ledger_that_went_on_in_two_files_is_named() {
    let shop = Kept::new();
    shop.keep("a.samepoint", &job(ONE));
    shop.note(NOVEMBER);
    let [file, copy] =
        ["2026.samepoint-ledger", "2026 copy.samepoint-ledger"].map(|name| shop.ledger_path(name));
    let begun = fs::read(&file).unwrap();
    shop.keep("b.samepoint", &job(TWO));
    shop.note(NOVEMBER);
    let went_on = fs::read(&file).unwrap();
    // The other went on from the same line with another session.
    fs::write(&file, &begun).unwrap();
    fs::remove_file(shop.path("b.samepoint")).unwrap();
    let three = "000000000000000000000000000000a3";
    shop.keep("c.samepoint", &job(three));
    shop.note(NOVEMBER);
    fs::write(&copy, went_on).unwrap();
    let ledger = shop.ledger();
    assert_eq!([ONE, TWO, three].map(|one| ledger.of(one).len()), [2, 2, 2]);
    let troubles = ledger.troubles();
    assert!(
        troubles.len() == 1 && troubles[0].contains("went on in two files after line 3"),
        "{troubles:?}"
    );
    // A copy that is only older is none.
    fs::write(&copy, begun).unwrap();
    assert!(shop.ledger().troubles().is_empty());
}

/// Names of files and hands are outside text, and a ledger may hold anything.
#[test]
fn what_a_ledger_says_makes_no_lines_of_its_own() {
    let shop = Kept::new();
    let mut facts = job(ONE);
    facts.last_mut().unwrap().hand = "X\nSigned “pass” by SH".to_owned();
    let path = shop.keep("a.samepoint", &facts);
    shop.note(NOVEMBER);
    shop.keep("a.samepoint", &facts[..4]);
    for sentence in reviewed(&path).beside_words() {
        assert!(!sentence.contains('\n'), "{sentence:?}");
    }
    fs::remove_file(&path).unwrap();
    for sentence in shop.survey().ledger.to_look_at() {
        assert!(!sentence.contains('\n'), "{sentence:?}");
    }
}
