//! One row a session file.

use record::axis::Axis;
use record::ledger::LedgerFinding;
use record::review::BlindWord;
use record::{Channel, FileMarkKind, SessionSummary, Stamp, Verdict};
use solver::{Relation, Sense};

use super::common::{InSession, OfSession, common};
use super::{Cell, Column, meaning};
use crate::buffer::days_since_1970;

/// A session's row.
#[derive(Clone, Debug)]
pub struct SessionRow<'a> {
    /// Which.
    pub of: OfSession<'a>,
    /// What it comes to; `None` where its file is damaged or cannot be read.
    pub summary: Option<&'a SessionSummary>,
    /// What its file says of itself.
    pub file: FileSays<'a>,
    /// The file in another folder that counts in its stead.
    pub elsewhere: Option<&'a str>,
}

/// What a session's file says of itself.
#[derive(Clone, Copy, Debug, Default)]
pub struct FileSays<'a> {
    /// The number of its format.
    pub format: Option<u32>,
    /// The exercise, of practice.
    pub exercise: Option<&'a str>,
    /// When the first fact was said.
    pub begun: Option<Stamp>,
    /// When the last was.
    pub last: Option<Stamp>,
    /// The hash of its last good line.
    pub last_hash: Option<&'a str>,
    /// The job.
    pub job: Option<&'a str>,
}

impl InSession for SessionRow<'_> {
    fn of(&self) -> &OfSession<'_> {
        &self.of
    }
}

impl SessionRow<'_> {
    fn text<'r>(&'r self, of: impl FnOnce(&'r SessionSummary) -> &'r str) -> Cell<'r> {
        Cell::maybe_text(self.summary.map(of))
    }

    fn number(&self, of: impl FnOnce(&SessionSummary) -> Option<f64>) -> Cell<'static> {
        Cell::number(self.summary.and_then(of))
    }

    fn truth(&self, of: impl FnOnce(&SessionSummary) -> bool) -> Cell<'static> {
        Cell::truth(self.summary.map(of))
    }

    fn zero_off(&self, channel: Channel, axis: Axis) -> Cell<'static> {
        self.number(|one| Some(axis.of(one.recall.as_ref()?.zero[channel]?.off)))
    }
}

/// The columns.
#[must_use]
pub fn columns<'a>() -> Vec<Column<SessionRow<'a>>> {
    let mut columns = common();
    columns.extend(file());
    columns.extend(named());
    columns.extend(judged());
    columns.extend(measured());
    columns.extend(recalled());
    columns
}

fn file<'a>() -> Vec<Column<SessionRow<'a>>> {
    vec![
        Column::count("format", "the format its file is written in", |row| {
            Cell::count(row.file.format)
        }),
        Column::count("facts", "facts in the file, up to the first damage", |row| {
            Cell::count(row.summary.map(|one| one.facts))
        }),
        Column::text("last_hash", "the 64 hex digits of its last line", |row| {
            Cell::maybe_text(row.file.last_hash)
        }),
        Column::moment("begun_utc", "when its first fact was said", |row| {
            Cell::moment(row.file.begun)
        }),
        Column::moment("last_utc", "when its last fact was said", |row| {
            Cell::moment(row.file.last)
        }),
        Column::truth(
            "end_missing",
            "whether the end of its file is missing, and may have been saved",
            |row| row.truth(|one| one.end_missing.is_some()),
        ),
        Column::text(
            "marks",
            "what the program noted about the file, parted by semicolons",
            |row| {
                let mut marks: Vec<&str> = row
                    .summary
                    .iter()
                    .flat_map(|one| one.marks.iter().copied().map(FileMarkKind::word))
                    .collect();
                marks.dedup();
                Cell::said(marks.join("; "))
            },
        ),
        Column::text("continues", "the own name of the session it goes on from", |row| {
            Cell::maybe_text(row.summary.and_then(|one| one.continues.as_deref()))
        }),
        Column::text("continued_in", "the file of its shop in which it was gone on with", |row| {
            Cell::maybe_text(row.summary.and_then(|one| one.continued_in.as_deref()))
        }),
        Column::text(
            "copy_of",
            "the file of its shop of the same session that counts in its stead",
            |row| Cell::maybe_text(row.summary.and_then(|one| one.copy_of.as_deref())),
        ),
        Column::text(
            "counted_elsewhere",
            "the file of another folder that counts in its stead",
            |row| Cell::maybe_text(row.elsewhere),
        ),
        Column::truth(
            "forked",
            "whether another file of its shop is the same session with other lines",
            |row| row.truth(SessionSummary::is_forked),
        ),
        Column::text(
            "checks_blind",
            "the file it checks by blind readings, where it does",
            |row| Cell::maybe_text(row.summary.and_then(|one| one.checks.as_deref())),
        ),
        Column::text("exercise", "the exercise, of practice", |row| {
            Cell::maybe_text(row.file.exercise)
        }),
    ]
}

fn named<'a>() -> Vec<Column<SessionRow<'a>>> {
    vec![
        Column::day("day", "the day of its last reading, where it was read", |row| {
            Cell::day(row.summary.and_then(|one| one.day))
        }),
        Column::count(
            "day_number",
            "that day as days since 1970-01-01, for lines through time",
            |row| Cell::count(row.summary.and_then(|one| one.day).map(days_since_1970)),
        ),
        Column::text("job", "order or job number", |row| Cell::maybe_text(row.file.job)),
        Column::text("unit", meaning::UNIT_NAME, |row| row.text(|one| &one.unit)),
        Column::text("housing", "its housing type", |row| row.text(|one| &one.housing)),
        Column::text("left_tube", "serial number of the tube in the left pod, as left", |row| {
            row.text(|one| &one.tubes.left)
        }),
        Column::text("right_tube", "serial number of the tube in the right pod, as left", |row| {
            row.text(|one| &one.tubes.right)
        }),
        Column::text("station", "the station in force", |row| row.text(|one| &one.station)),
        Column::truth(
            "only_difference",
            "whether that station shows the difference of the channels alone",
            |row| row.truth(|one| one.only_difference),
        ),
        Column::text("hand", "whose hand took most of the readings in use", |row| {
            row.text(|one| &one.hand)
        }),
        Column::text("window", "the tolerance window in force", |row| row.text(|one| &one.window)),
    ]
}

fn judged<'a>() -> Vec<Column<SessionRow<'a>>> {
    vec![
        Column::count("rounds", "how many rounds", |row| {
            Cell::count(row.summary.map(|one| one.rounds))
        }),
        Column::text(
            "verdict",
            "as the readings give it: pass, fail, undecided, not measured",
            |row| Cell::maybe_text(row.summary.and_then(|one| one.verdict).map(Verdict::word)),
        ),
        Column::truth("decided", "whether it came to a verdict: pass, fail or undecided", |row| {
            row.truth(SessionSummary::is_decided)
        }),
        Column::truth(
            "passed_first",
            "whether it passed without a second round; of decided ones alone",
            |row| {
                let decided = row.summary.filter(|one| one.is_decided());
                Cell::truth(decided.map(SessionSummary::passed_first))
            },
        ),
        Column::truth("signed", "whether somebody signed and nothing was added since", |row| {
            row.truth(|one| one.signed)
        }),
        Column::text("signature", "how the signature stands by the facts alone", |row| {
            Cell::maybe_text(row.summary.map(|one| one.signature.word()))
        }),
        Column::truth(
            "answered_by_no_other",
            "whether the hand that signed, or nobody, countersigned",
            |row| row.truth(|one| one.answered_by_no_other),
        ),
        Column::text("returned_by", "who sent it back, where nobody signed it anew", |row| {
            let sent_back = row.summary.and_then(|one| one.sent_back.as_ref());
            Cell::maybe_text(sent_back.map(|back| back.by.as_str()))
        }),
        Column::truth("follows", "whether what was stored follows from the readings", |row| {
            Cell::truth(row.summary.and_then(|one| one.follows))
        }),
        Column::text("blind_readings", "what blind readings come to", |row| {
            Cell::maybe_text(row.summary.and_then(|one| one.blind).map(BlindWord::word))
        }),
        Column::text(
            "ledger",
            "what the shop’s ledger notes that the file does not hold",
            |row| {
                let finding = row.summary.and_then(|one| one.ledger.first());
                Cell::maybe_text(finding.map(LedgerFinding::word))
            },
        ),
        Column::text("otherwise", "what its shop has otherwise now, parted by semicolons", |row| {
            let each =
                row.summary.iter().flat_map(|one| one.otherwise.iter().map(ToString::to_string));
            Cell::said(each.collect::<Vec<_>>().join("; "))
        }),
    ]
}

fn measured<'a>() -> Vec<Column<SessionRow<'a>>> {
    vec![
        Column::arcmin(
            "boresight_arcmin",
            "how far both crosshairs’ middle was left from boresight",
            |row| row.number(|one| one.boresight_arcmin),
        ),
        Column::arcmin(
            "misalignment_x_arcmin",
            "right less left as left, across; divergence above 0",
            |row| row.number(|one| Some(one.misalignment?.x_arcmin)),
        ),
        Column::arcmin(
            "misalignment_y_arcmin",
            "right less left as left, up; dipvergence",
            |row| row.number(|one| Some(one.misalignment?.y_arcmin)),
        ),
        Column::share(
            "window_use_share",
            "how much of the tolerance window that uses; above 1 is outside",
            |row| row.number(|one| one.window_use),
        ),
        Column::arcmin(
            "centres_apart_arcmin",
            "between the circles’ centres in the first round",
            |row| row.number(|one| one.centres_apart_arcmin),
        ),
        Column::arcmin(
            "left_centre_x_arcmin",
            "the left circle’s centre in the first round, across",
            |row| row.number(|one| Some(one.centres.left?.x_arcmin)),
        ),
        Column::arcmin(
            "left_centre_y_arcmin",
            "the left circle’s centre in the first round, up",
            |row| row.number(|one| Some(one.centres.left?.y_arcmin)),
        ),
        Column::arcmin(
            "right_centre_x_arcmin",
            "the right circle’s centre in the first round, across",
            |row| row.number(|one| Some(one.centres.right?.x_arcmin)),
        ),
        Column::arcmin(
            "right_centre_y_arcmin",
            "the right circle’s centre in the first round, up",
            |row| row.number(|one| Some(one.centres.right?.y_arcmin)),
        ),
        Column::arcmin(
            "middle_x_arcmin",
            "the middle of both centres, across: what a wandering zero moves",
            |row| row.number(|one| Some(one.middle()?.x_arcmin)),
        ),
        Column::arcmin(
            "middle_y_arcmin",
            "the middle of both centres, up: what a wandering zero moves",
            |row| row.number(|one| Some(one.middle()?.y_arcmin)),
        ),
        Column::text("circles", "how the circles of the first round lie to each other", |row| {
            Cell::maybe_text(row.summary.and_then(|one| one.relation).map(Relation::word))
        }),
        Column::text(
            "left_sense",
            "which way the left crosshair runs: with the ring or against",
            |row| Cell::maybe_text(row.summary.and_then(|one| one.senses.left).map(Sense::word)),
        ),
        Column::text(
            "right_sense",
            "which way the right crosshair runs: with the ring or against",
            |row| Cell::maybe_text(row.summary.and_then(|one| one.senses.right).map(Sense::word)),
        ),
        Column::arcmin(
            "scatter_arcmin",
            "root mean square of the first round’s readings about their circles",
            |row| row.number(|one| one.scatter_arcmin),
        ),
        Column::arcmin(
            "setting_miss_arcmin",
            "how far the crosshairs were left from where they were meant to be",
            |row| row.number(|one| one.setting_miss_arcmin),
        ),
        Column::deg(
            "left_lock_turn_deg",
            "how far tightening turned the left ring, clockwise",
            |row| row.number(|one| one.lock_turn_deg.left),
        ),
        Column::deg(
            "right_lock_turn_deg",
            "how far tightening turned the right ring, clockwise",
            |row| row.number(|one| one.lock_turn_deg.right),
        ),
    ]
}

fn recalled<'a>() -> Vec<Column<SessionRow<'a>>> {
    vec![
        Column::truth("recalled", "whether it was read while its station’s zero was off", |row| {
            row.truth(|one| one.recall.is_some())
        }),
        Column::day(
            "last_good_check",
            "the station’s last good check before it, where it is recalled",
            |row| Cell::day(row.summary.and_then(|one| one.recall.as_ref()?.last_good)),
        ),
        Column::arcmin("left_zero_off_x_arcmin", "how far the left zero was off, across", |row| {
            row.zero_off(Channel::Left, Axis::X)
        }),
        Column::arcmin("left_zero_off_y_arcmin", "how far the left zero was off, up", |row| {
            row.zero_off(Channel::Left, Axis::Y)
        }),
        Column::arcmin(
            "right_zero_off_x_arcmin",
            "how far the right zero was off, across",
            |row| row.zero_off(Channel::Right, Axis::X),
        ),
        Column::arcmin("right_zero_off_y_arcmin", "how far the right zero was off, up", |row| {
            row.zero_off(Channel::Right, Axis::Y)
        }),
        Column::text("corrected", "what its verdict would be with the zero taken off", |row| {
            let recall = row.summary.and_then(|one| one.recall.as_ref());
            Cell::maybe_text(recall.map(|recall| recall.would.word()))
        }),
        Column::share(
            "corrected_window_use_share",
            "what it would use of its window with the zero taken off",
            |row| row.number(|one| one.recall.as_ref()?.window_use),
        ),
    ]
}
