//! Facts and files to test with.

use std::path::{Path, PathBuf};

use record::checks::{
    Accepted, CheckAbout, CheckBody, CheckFact, CheckHeader, CheckLimits, CheckTaken, Checks, fold,
};
use record::file::{scan_facts, write_all_lines};
use record::journal::FIRST_FORMAT;
use record::{
    Approach, Channel, Fact, FileOptions, JournalBody, LineFormat, Meaning as _, Note, Opener,
    ReadingUnit, Seq, Stamp, StationMap, Typed,
};

pub(crate) const HAND: &str = "R. Voss";

/// Nine in the morning of a day, days counted from 2026-11-01.
pub(crate) fn morning(day: i64) -> Stamp {
    let start: Stamp = "2026-11-01T09:00:00.000+00:00".parse().unwrap();
    Stamp::from_unix_milliseconds(start.unix_milliseconds() + day * 86_400_000).unwrap()
}

pub(crate) fn real() -> FileOptions {
    FileOptions::real(Opener { who: HAND.into(), place: "bench-2".into(), now: morning(0) })
}

pub(crate) fn typed(text: &str) -> Typed {
    Typed::parse(text).unwrap()
}

pub(crate) fn header() -> CheckHeader {
    CheckHeader {
        format: FIRST_FORMAT,
        program: "samepoint 0.1.0".into(),
        name: "00112233445566778899aabbccddeeff".into(),
        continues: None,
        about: CheckAbout {
            station: "Bench 2".into(),
            standard: "fixed mirror 4".into(),
            accepted: Vec::new(),
        },
    }
}

/// What that header is about, with where the standard points.
pub(crate) fn accepting(accepted: Accepted) -> CheckAbout {
    CheckAbout { accepted: vec![accepted], ..header().about }
}

/// A file that is kept for ever in `tests/data`.
pub(crate) fn kept(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data").join(name)
}

/// What the program notes of a file, as it was first written.
pub(crate) fn own_note() -> Note {
    let text = "samepoint notes, end set aside: the end was missing from line 9 on and may have been \
        saved; the 6 bytes that stood there (SHA-256 00) are kept in a.torn-20261125";
    Note { text: text.to_owned(), about: None }
}

/// The left crosshair read in arcminutes.
pub(crate) fn taken(x: f64, y: f64) -> CheckTaken {
    CheckTaken {
        channel: Channel::Left,
        ring_deg: None,
        // As many decimals as the published results need.
        x: typed(&format!("{x:.12}")),
        y: typed(&format!("{y:.12}")),
        unit: ReadingUnit::Arcmin,
        map: StationMap::PLAIN,
        approach: Approach::NotNoted,
    }
}

/// A check file in memory, day by day.
pub(crate) struct Log {
    pub(crate) facts: Vec<CheckFact>,
}

impl Log {
    pub(crate) fn begun(header: CheckHeader) -> Self {
        let mut log = Self { facts: Vec::new() };
        log.add(0, JournalBody::Header(header));
        log
    }

    pub(crate) fn checks(&self) -> Checks {
        fold(&self.facts)
    }

    /// Adds a fact as the program does: asked for first.
    pub(crate) fn say(&mut self, day: i64, body: CheckBody) -> Seq {
        self.checks().admits(&body).unwrap();
        self.add(day, body)
    }

    pub(crate) fn add(&mut self, day: i64, body: impl Into<JournalBody<CheckBody>>) -> Seq {
        let (seq, body) = (self.facts.len() as Seq + 1, body.into());
        self.facts.push(Fact { seq, time: morning(day), hand: HAND.into(), body });
        seq
    }

    /// Draws limits from all that can be compared.
    pub(crate) fn draw(&mut self, day: i64, edit: impl FnOnce(&mut CheckLimits)) -> Seq {
        let from = self.checks().comparable().map(|held| held.seq).collect();
        let mut limits = CheckLimits::usual(from, "first month");
        edit(&mut limits);
        self.say(day, CheckBody::Limits(limits))
    }

    /// Writes the facts to a file and folds what is read back.
    pub(crate) fn through_a_file(&self) -> Checks {
        fold(&read_back(&self.facts))
    }
}

pub(crate) fn read_back<B: LineFormat>(facts: &[Fact<B>]) -> Vec<Fact<B>> {
    let mut bytes = Vec::new();
    write_all_lines(facts, &mut bytes).unwrap();
    scan_facts(Path::new("a"), &bytes[..]).unwrap().facts
}

/// Equal to as many decimals as were printed.
pub(crate) fn printed(what: &str, found: f64, published: f64, decimals: i32) {
    let half = 0.5 * 10_f64.powi(-decimals);
    assert!((found - published).abs() <= half * 1.000_001, "{what}: {found}, not {published}");
}
