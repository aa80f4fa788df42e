//! Scores over time, from the sessions in a shop's `practice/`.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use jiff::civil::Date;

use super::grade::Grade;
use super::score::{Score, ScorePart, score};
use super::seen::{EarlierMeeting, UnitAsked};
use super::series::{Exam, Series};
use super::truth::Truth;
use super::unit::{MOST_UNITS, PracticeUnit};
use crate::csv_cell;
use crate::error::Error;
use crate::fact::{Fact, SessionKind, same_hand};
use crate::file::{Disk, scan};
use crate::fold::{Session, fold};
use crate::shop::Shop;

/// The columns of the table, in order. Only ever added to, at the end.
pub const COLUMNS: [&str; 24] = [
    "file",
    "day",
    "hand",
    "grade",
    "unit",
    "total_percent",
    "window_use_percent",
    "boresight_percent",
    "remedy_percent",
    "thrift_percent",
    "verdict_percent",
    "passed_failing",
    "verdict",
    "readings",
    "rounds",
    "formula",
    "reading_percent",
    "procedure_percent",
    "setting_percent",
    "finding_percent",
    "told_readings",
    "examination",
    "minutes",
    "seen_before",
];

/// One signed practice session.
#[derive(Clone, Debug, PartialEq)]
pub struct Attempt {
    /// The file's name.
    pub file: String,
    /// The day it was signed.
    pub day: Date,
    /// When, for the order within a day: milliseconds since 1970-01-01T00:00Z.
    pub signed_at: i64,
    /// Who signed.
    pub hand: String,
    /// The unit's series.
    pub series: Series,
    /// The unit's grade.
    pub grade: Grade,
    /// The unit's number.
    pub number: u64,
    /// What was signed.
    pub verdict: crate::fact::Verdict,
    /// How many readings, withdrawn ones too.
    pub readings: usize,
    /// How many rounds.
    pub rounds: usize,
    /// How many of them the program told.
    pub told: usize,
    /// Whether it was an examination, and with what limit.
    pub exam: Option<Exam>,
    /// From its first fact to the signature, minutes.
    pub minutes: f64,
    /// The score.
    pub score: Score,
    /// Of an examination: when its hand had met the unit before, if so. Known only beside the shop's other
    /// files.
    pub seen: Option<EarlierMeeting>,
}

/// A practice session that was begun and not signed.
#[derive(Clone, Debug, PartialEq)]
pub struct Unsigned {
    /// The file.
    pub path: PathBuf,
    /// The day it was begun.
    pub day: Date,
    /// The unit's series.
    pub series: Series,
    /// The unit's grade.
    pub grade: Grade,
    /// The unit's number.
    pub number: u64,
    /// Who began it.
    pub hand: String,
    /// When: milliseconds since 1970-01-01T00:00Z.
    pub began: i64,
    /// Whether it is sat as an examination.
    pub exam: bool,
}

impl Unsigned {
    /// The file's name.
    #[must_use]
    pub fn file(&self) -> String {
        self.path.file_name().unwrap_or_default().to_string_lossy().into_owned()
    }
}

/// An attempt on its grade's course.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnCourse<'a> {
    /// The attempt.
    pub attempt: &'a Attempt,
    /// The mean total of it and the last ones before it in its grade, per cent; [`OVER`] at most.
    pub mean_percent: f64,
}

/// The running mean is of this many attempts.
pub const OVER: usize = 5;

/// The attempts of a shop, the earliest first.
#[derive(Clone, Debug, Default)]
pub struct Progress {
    /// Those that were signed.
    pub attempts: Vec<Attempt>,
    /// Sessions begun and not signed, the last written first.
    pub unsigned: Vec<Unsigned>,
    /// Files that could not be read or scored, each with what is wrong.
    pub skipped: Vec<Error>,
}

impl Attempt {
    /// Of a session; `None` until it is signed, or when it is no exercise of this program.
    #[must_use]
    pub fn of(file: &str, session: &Session) -> Option<Self> {
        let signature = session.signatures.first()?;
        let truth = Truth::of(session).ok()?;
        Some(Self {
            file: file.to_owned(),
            day: signature.time.date(),
            signed_at: signature.time.unix_milliseconds(),
            hand: signature.hand.clone(),
            series: truth.unit.series,
            grade: truth.unit.grade,
            number: truth.unit.number,
            verdict: signature.signed.verdict,
            readings: truth.readings,
            rounds: truth.rounds,
            told: truth.told,
            exam: truth.unit.exam,
            minutes: truth.minutes,
            score: score(session).ok()?,
            seen: None,
        })
    }

    /// Whether an examination's time limit was kept, if it has one.
    #[must_use]
    pub fn is_in_time(&self) -> bool {
        let limit = self.exam.and_then(|exam| exam.minutes);
        limit.is_none_or(|minutes| self.minutes <= f64::from(minutes))
    }

    fn cells(&self) -> [String; 24] {
        // Empty where the formula has no such part.
        let percent = |share: f64| (100.0 * share).to_string();
        let [used, boresight, remedy, thrift, verdict, reading, procedure, setting, finding] =
            ScorePart::ALL.map(|part| self.score.earned_of(part).map_or_else(String::new, percent));
        [
            csv_cell::text(&self.file),
            self.day.to_string(),
            csv_cell::text(&self.hand),
            self.grade.number().to_string(),
            self.number.to_string(),
            self.score.total_percent().to_string(),
            used,
            boresight,
            remedy,
            thrift,
            verdict,
            self.score.passed_failing.to_string(),
            self.verdict.word().to_owned(),
            self.readings.to_string(),
            self.rounds.to_string(),
            self.score.formula.number().to_string(),
            reading,
            procedure,
            setting,
            finding,
            self.told.to_string(),
            self.exam.is_some().to_string(),
            format!("{:.1}", self.minutes),
            self.seen.as_ref().map_or_else(String::new, |seen| csv_cell::text(&seen.to_string())),
        ]
    }
}

impl Progress {
    /// Of all sessions in a shop's `practice/`. Reads files: not for the window's thread.
    ///
    /// # Errors
    /// As [`Shop::practice_sessions`].
    pub fn of_shop(shop: &Shop, disk: &dyn Disk) -> Result<Self, Error> {
        let mut progress = Self::default();
        for listed in shop.practice_sessions()? {
            let bytes =
                disk.open_read(&listed.path).map_err(|why| Error::io("open", &listed.path, why));
            let scanned = match bytes.and_then(|bytes| scan(&listed.path, bytes)) {
                Ok(scanned) => scanned.facts,
                Err(error) => {
                    progress.skipped.push(error);
                    continue;
                }
            };
            let session = fold(&scanned);
            let file = listed.path.file_name().unwrap_or_default().to_string_lossy();
            match Truth::of(&session) {
                Err(super::Hidden::NotSigned) => match begun(&listed.path, &session, &scanned) {
                    Ok(unsigned) => progress.unsigned.extend(unsigned),
                    Err(why) => progress.skipped.push(why),
                },
                Err(why) => progress
                    .skipped
                    .push(Error::ShopValue { path: listed.path.clone(), what: why.to_string() }),
                Ok(_) => progress.attempts.extend(Attempt::of(&file, &session)),
            }
        }
        progress.attempts.sort_by(|a, b| (a.signed_at, &a.file).cmp(&(b.signed_at, &b.file)));
        progress.mark_seen();
        Ok(progress)
    }

    /// Everybody who signed, each once, in the order of initials.
    #[must_use]
    pub fn hands(&self) -> Vec<&str> {
        let mut hands: Vec<&str> = Vec::new();
        for attempt in &self.attempts {
            if hands.iter().all(|known| !same_hand(known, &attempt.hand)) {
                hands.push(&attempt.hand);
            }
        }
        hands.sort_unstable();
        hands
    }

    /// Everybody who signed or began a unit, each once, in the order of initials.
    #[must_use]
    pub fn everybody(&self) -> Vec<&str> {
        let mut hands = self.hands();
        for begun in &self.unsigned {
            if hands.iter().all(|known| !same_hand(known, &begun.hand)) {
                hands.push(&begun.hand);
            }
        }
        hands.sort_unstable();
        hands
    }

    /// A hand's attempts at a grade in order, each with the running mean of [`OVER`]; of everybody without
    /// a hand.
    #[must_use]
    pub fn course(&self, grade: Grade, hand: Option<&str>) -> Vec<OnCourse<'_>> {
        let whose = |attempt: &&Attempt| hand.is_none_or(|hand| same_hand(&attempt.hand, hand));
        let of_grade = self.attempts.iter().filter(|attempt| attempt.grade == grade);
        let attempts: Vec<&Attempt> = of_grade.filter(whose).collect();
        let total = |attempt: &&Attempt| attempt.score.total_percent();
        let mean_at = |at: usize| {
            let last = attempts.get((at + 1).saturating_sub(OVER)..=at).unwrap_or_default();
            last.iter().map(total).sum::<f64>() / last.len().max(1) as f64
        };
        let on_course = |(at, &attempt)| OnCourse { attempt, mean_percent: mean_at(at) };
        attempts.iter().enumerate().map(on_course).collect()
    }

    /// The least number of a grade that was not begun yet in the series that is begun now.
    #[must_use]
    pub fn next_number(&self, grade: Grade) -> u64 {
        let signed = self.attempts.iter().map(|one| (one.series, one.grade, one.number));
        let unsigned = self.unsigned.iter().map(|one| (one.series, one.grade, one.number));
        let begun: BTreeSet<u64> = signed
            .chain(unsigned)
            .filter(|of| (of.0, of.1) == (Series::NOW, grade))
            .map(|of| of.2)
            .collect();
        (1..=MOST_UNITS).find(|number| !begun.contains(number)).unwrap_or(1)
    }

    /// The attempts as CSV in UTF-8 (RFC 4180), one line each, numbers at full precision.
    ///
    /// # Errors
    /// [`Error::FactNotWritable`] when the table cannot be put together.
    pub fn csv(&self) -> Result<Vec<u8>, Error> {
        let failed = |what: String| Error::FactNotWritable { what };
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(COLUMNS).map_err(|why| failed(why.to_string()))?;
        for attempt in &self.attempts {
            writer.write_record(attempt.cells()).map_err(|why| failed(why.to_string()))?;
        }
        writer.into_inner().map_err(|why| failed(why.to_string()))
    }
}

/// A session that is not signed; `None` when its file holds nothing yet.
fn begun(path: &Path, session: &Session, facts: &[Fact]) -> Result<Option<Unsigned>, Error> {
    let (Some(first), Some(header)) = (facts.first(), &session.header) else { return Ok(None) };
    let SessionKind::Practice(exercise) = &header.kind else { return Ok(None) };
    let PracticeUnit { series, grade, number, exam, .. } = PracticeUnit::of_exercise(exercise)?;
    Ok(Some(Unsigned {
        path: path.to_owned(),
        day: first.time.date(),
        series,
        grade,
        number,
        hand: first.hand.clone(),
        began: first.time.unix_milliseconds(),
        exam: exam.is_some(),
    }))
}

impl Progress {
    /// Everybody who met a unit earlier, signed or not, in the order of their days.
    #[must_use]
    pub fn met(&self, meeting: UnitAsked<'_>) -> Vec<EarlierMeeting> {
        let UnitAsked { grade, number, except, before } = meeting;
        let is_it = |of: (Series, Grade, u64)| of == (Series::NOW, grade, number);
        let signed = self.attempts.iter().filter(|one| {
            is_it((one.series, one.grade, one.number))
                && one.file != except
                && one.signed_at < before
        });
        let signed = signed.map(|one| EarlierMeeting {
            file: one.file.clone(),
            hand: one.hand.clone(),
            day: one.day,
            signed: true,
            exam: one.exam.is_some(),
        });
        let begun = self.unsigned.iter().filter(|one| {
            is_it((one.series, one.grade, one.number)) && one.file() != except && one.began < before
        });
        let begun = begun.map(|one| EarlierMeeting {
            file: one.file(),
            hand: one.hand.clone(),
            day: one.day,
            signed: false,
            exam: one.exam,
        });
        let mut met: Vec<EarlierMeeting> = signed.chain(begun).collect();
        met.sort_by(|a, b| (a.day, &a.file).cmp(&(b.day, &b.file)));
        met
    }

    /// The first time that a hand met a unit earlier.
    #[must_use]
    pub fn met_by(&self, hand: &str, meeting: UnitAsked<'_>) -> Option<EarlierMeeting> {
        self.met(meeting).into_iter().find(|seen| same_hand(&seen.hand, hand))
    }

    /// The examination of a unit that was begun and is not signed: to tell its truth now would answer it.
    #[must_use]
    pub fn being_sat(&self, grade: Grade, number: u64) -> Option<EarlierMeeting> {
        let meeting = UnitAsked { grade, number, except: "", before: i64::MAX };
        self.met(meeting).into_iter().find(|seen| seen.exam && !seen.signed)
    }

    /// Says of every examination whether its hand had met the unit before.
    fn mark_seen(&mut self) {
        let seen: Vec<Option<EarlierMeeting>> =
            self.attempts.iter().map(|one| self.seen_of(one)).collect();
        for (attempt, seen) in self.attempts.iter_mut().zip(seen) {
            attempt.seen = seen;
        }
    }

    fn seen_of(&self, attempt: &Attempt) -> Option<EarlierMeeting> {
        attempt.exam?;
        self.met_by(&attempt.hand, attempt.meeting())
    }
}

impl Attempt {
    fn meeting(&self) -> UnitAsked<'_> {
        let Self { grade, number, file, signed_at, .. } = self;
        UnitAsked { grade: *grade, number: *number, except: file, before: *signed_at }
    }
}

/// Everybody who, by a shop's files, met the unit of a signed examination before it was signed; `None` of
/// what is no signed examination. Reads the shop's practice.
///
/// # Errors
/// As [`Progress::of_shop`].
pub fn met_before(
    path: &Path,
    session: &Session,
    folder: &Path,
    disk: &dyn Disk,
) -> Result<Option<Vec<EarlierMeeting>>, Error> {
    let file = path.file_name().unwrap_or_default().to_string_lossy();
    let Some(attempt) = Attempt::of(&file, session).filter(|one| one.exam.is_some()) else {
        return Ok(None);
    };
    let progress = Progress::of_shop(&Shop::load(folder)?, disk)?;
    Ok(Some(progress.met(attempt.meeting())))
}
