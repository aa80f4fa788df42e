//! The check standard of a station: its open file, what it comes to, and the sheet that reads it.
//!
//! - [`picture`]: the file in words and charts; `acting`: reading it, deciding on it, what is due;
//! - `check_ui`, `chart`, `due_ui`: the sheets.

pub(crate) mod acting;
pub(crate) mod chart;
pub(crate) mod check_ui;
pub(crate) mod due_ui;
pub(crate) mod picture;

use record::checks::{
    CheckBody, CheckFact, CheckFile, CheckLimits, CheckPoint, CheckTaken, Checks, fold,
};
use record::fact::{Approach, Fact, Seq, Withdrawn};
use record::{Meaning as _, Stamp, Station};
use solver::Channel;

use crate::shell::kept_file::{Mend, saved_words};
use crate::shell::open_journal::{JournalView as _, OpenJournal};
use crate::shell::reading_form::{ReadingField, ReadingForm, TypedReading};
use picture::CheckView;

/// A check file that is open.
pub(crate) type CheckJournal = OpenJournal<CheckBody, CheckView>;

/// A station's checks, open for reading and, once something was read, for writing.
pub struct OpenChecks {
    station: Station,
    /// None until the first reading of a station that was never checked.
    journal: Option<CheckJournal>,
    /// What stands there until then.
    nothing: (Checks, CheckView),
}

impl OpenChecks {
    /// Folds and draws what a station's file holds; no file is no reading yet.
    #[must_use]
    pub fn new(station: Station, file: Option<CheckFile>, now: Stamp) -> Self {
        let nothing = (Checks::default(), CheckView::of(&Checks::default(), now.date()));
        Self { station, journal: file.map(|file| CheckJournal::new(file, now)), nothing }
    }

    /// Whose checks they are.
    #[must_use]
    pub const fn station(&self) -> &Station {
        &self.station
    }

    /// The file with what it comes to, once there is one.
    pub const fn journal_mut(&mut self) -> Option<&mut CheckJournal> {
        self.journal.as_mut()
    }

    /// The file, once there is one.
    #[must_use]
    pub fn file(&self) -> Option<&CheckFile> {
        self.journal.as_ref().map(CheckJournal::file)
    }

    /// What the facts come to.
    #[must_use]
    pub fn checks(&self) -> &Checks {
        self.journal.as_ref().map_or(&self.nothing.0, CheckJournal::means)
    }

    /// The charts and all words about them.
    #[must_use]
    pub fn picture(&self) -> &CheckView {
        self.journal.as_ref().map_or(&self.nothing.1, CheckJournal::picture)
    }

    /// What is read, once it was named.
    #[must_use]
    pub fn standard(&self) -> Option<&str> {
        self.checks().about().map(|about| about.standard.as_str())
    }

    /// Takes up the file that was begun, or goes on from a damaged one.
    pub fn take_up(&mut self, file: CheckFile, now: Stamp) {
        self.journal = Some(CheckJournal::new(file, now));
    }

    /// Draws anew when the day has turned.
    pub fn refresh(&mut self, now: Stamp) {
        if self.picture().day == Some(now.date()) {
            return;
        }
        match &mut self.journal {
            Some(journal) => journal.redraw(now),
            None => self.nothing.1 = CheckView::of(&self.nothing.0, now.date()),
        }
    }

    /// What limits drawn now would be, in words.
    ///
    /// # Errors
    /// Why they cannot be drawn.
    pub fn preview(&self, now: Stamp) -> Result<Vec<String>, record::Error> {
        let limits = self.limits("preview");
        let from = limits.from.len();
        let body = CheckBody::Limits(limits);
        self.checks().admits(&body)?;
        let mut facts: Vec<CheckFact> =
            self.file().map(|file| file.facts().to_vec()).unwrap_or_default();
        let seq = facts.len() as Seq + 1;
        facts.push(Fact { seq, time: now, hand: String::new(), body: body.into() });
        let mut told = vec![format!(
            "They will rest on all {from} readings since the station was last started anew: withdraw \
             first what is not to count. They hold until others are drawn."
        )];
        told.extend(picture::limits_in_words(&fold(&facts)));
        Ok(told)
    }

    /// The usual limits, from every reading that may be compared.
    #[must_use]
    pub fn limits(&self, reason: &str) -> CheckLimits {
        CheckLimits::usual(self.checks().comparable().map(|held| held.seq).collect(), reason)
    }

    /// Whether facts are safe, in words, and whether that needs a look.
    #[must_use]
    pub fn saved(&self) -> (String, bool) {
        let Some(file) = self.file() else {
            return ("no check file yet: the first reading begins it".to_owned(), false);
        };
        saved_words(file)
    }
}

/// What a hand asks of a check file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CheckAction {
    /// Open the checks of a station.
    Open(String),
    /// Log the reading on the sheet.
    Log,
    /// Say what the limits would rest on.
    Limits,
    /// Do what the sheet asks a reason for.
    Decide,
    /// Mend the file, or go on beside it.
    Mend(Mend),
}

/// What a reason is asked for.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Decision {
    /// Nothing: the standard is being read.
    #[default]
    None,
    /// Limits, with what they rest on.
    Limits(Vec<String>),
    /// A reading is left out: which, and in words.
    Withdraw(Seq, String),
    /// The station is started anew.
    Anew,
}

/// The sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckSheet {
    /// Whose checks.
    pub station: String,
    /// The standard's name, while the file is to be begun.
    pub standard: String,
    /// Whose crosshair.
    pub channel: Channel,
    /// What is read, as typed, and what of the sheet was refused.
    pub read: ReadingForm,
    /// Whose hand.
    pub hand: String,
    /// What a reason is asked for.
    pub decision: Decision,
    /// The reason.
    pub reason: String,
}

impl CheckSheet {
    /// An empty one for a station, turned to what is to be read first.
    #[must_use]
    pub fn of(checks: &OpenChecks, hand: &str) -> Self {
        let mut sheet = Self {
            station: checks.station().name.clone(),
            standard: String::new(),
            channel: Channel::Left,
            read: ReadingForm::at(checks.file().map(|_| ReadingField::X)),
            hand: hand.to_owned(),
            decision: Decision::None,
            reason: String::new(),
        };
        sheet.turn_to(checks.picture().next);
        sheet
    }

    /// Whether something typed would be lost with it.
    #[must_use]
    pub const fn holds_work(&self) -> bool {
        !(self.read.x.is_empty() && self.read.y.is_empty() && self.reason.is_empty())
    }

    /// Turns to what is to be read next and waits at x.
    pub fn turn_to(&mut self, point: Option<CheckPoint>) {
        if let Some(point) = point {
            self.channel = point.channel;
            self.read.ring = point.ring_deg.map_or_else(String::new, |deg| deg.to_string());
        }
    }

    /// The reading typed.
    ///
    /// # Errors
    /// Which field is wrong, and how.
    pub fn taken(&self, station: &Station) -> Result<CheckTaken, (ReadingField, String)> {
        let TypedReading { ring_deg, x, y, unit, map } = self.read.typed(station, self.channel)?;
        let (channel, approach) = (self.channel, Approach::NotNoted);
        Ok(CheckTaken { channel, ring_deg, x, y, unit, map, approach })
    }

    /// The fact that was decided on; `None` when nothing is being decided.
    #[must_use]
    pub fn decided(&self, checks: &OpenChecks) -> Option<CheckBody> {
        let reason = self.reason.trim().to_owned();
        match &self.decision {
            Decision::None => None,
            Decision::Limits(_) => Some(CheckBody::Limits(checks.limits(&reason))),
            Decision::Withdraw(reading, _) => {
                Some(CheckBody::Withdrawn(Withdrawn { reading: *reading, reason }))
            }
            Decision::Anew => Some(CheckBody::StartedAnew(reason)),
        }
    }
}
