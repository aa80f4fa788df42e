//! The check standard of a station: its open file, what it comes to, and the sheet that reads it.

use record::checks::{CheckBody, CheckFile, CheckLimits, CheckPoint, CheckTaken, Checks, fold};
use record::fact::{Approach, Fact, Seq, Withdrawn};
use record::file::SetAside;
use record::{Error, Event, Stamp, Station, Typed};
use solver::Channel;

use super::check_picture::CheckPicture;
use super::kept_file::{Mend, saved_words};

/// A station's checks, open for reading and, once something was read, for writing.
pub struct OpenChecks {
    station: Station,
    /// None until the first reading of a station that was never checked.
    file: Option<CheckFile>,
    checks: Checks,
    picture: CheckPicture,
}

impl OpenChecks {
    /// Folds and draws what a station's file holds; no file is no reading yet.
    #[must_use]
    pub fn new(station: Station, file: Option<CheckFile>, now: Stamp) -> Self {
        let mut open =
            Self { station, file, checks: Checks::default(), picture: CheckPicture::default() };
        open.fold(now);
        open
    }

    /// Whose checks they are.
    #[must_use]
    pub const fn station(&self) -> &Station {
        &self.station
    }

    /// The file, once there is one.
    #[must_use]
    pub const fn file(&self) -> Option<&CheckFile> {
        self.file.as_ref()
    }

    /// The file, to agree, try again or close.
    pub const fn file_mut(&mut self) -> Option<&mut CheckFile> {
        self.file.as_mut()
    }

    /// What the facts come to.
    #[must_use]
    pub const fn checks(&self) -> &Checks {
        &self.checks
    }

    /// The charts and all words about them.
    #[must_use]
    pub const fn picture(&self) -> &CheckPicture {
        &self.picture
    }

    /// What is read, once it was named.
    #[must_use]
    pub fn standard(&self) -> Option<&str> {
        self.checks.header.as_ref().map(|header| header.standard.as_str())
    }

    /// Takes up the file that was begun, or goes on from a damaged one.
    pub fn take_up(&mut self, file: CheckFile, now: Stamp) {
        self.file = Some(file);
        self.fold(now);
    }

    /// Adds a fact: folded and drawn at once, on its way to disk.
    ///
    /// # Errors
    /// Why the fact cannot be added; nothing has changed then.
    pub fn append(&mut self, body: CheckBody, now: Stamp, hand: &str) -> Result<Seq, Error> {
        self.checks.admits(&body)?;
        let Some(file) = &mut self.file else { return Err(Error::HeaderOutOfPlace) };
        let seq = file.append(body, now, hand)?;
        self.fold(now);
        Ok(seq)
    }

    /// Goes on although the end is missing, as [`CheckFile::set_end_aside`] does; `None` without a file.
    ///
    /// # Errors
    /// As there.
    pub fn set_end_aside(&mut self, now: Stamp, hand: &str) -> Option<Result<SetAside, Error>> {
        let aside = self.file.as_mut()?.set_end_aside(now, hand);
        self.fold(now);
        Some(aside)
    }

    fn fold(&mut self, now: Stamp) {
        let facts = self.file.as_ref().map(CheckFile::facts).unwrap_or_default();
        self.checks = fold(facts);
        self.picture = CheckPicture::of(&self.checks, now.date());
    }

    /// Draws anew when the day has turned.
    pub fn refresh(&mut self, now: Stamp) {
        if self.picture.day != Some(now.date()) {
            self.picture = CheckPicture::of(&self.checks, now.date());
        }
    }

    /// What limits drawn now would be, in words.
    ///
    /// # Errors
    /// Why they cannot be drawn.
    pub fn preview(&self, now: Stamp) -> Result<Vec<String>, String> {
        let limits = self.limits("preview");
        let from = limits.from.len();
        let body = CheckBody::Limits(limits);
        self.checks.admits(&body).map_err(|why| why.to_string())?;
        let mut facts: Vec<Fact<CheckBody>> =
            self.file.as_ref().map(|file| file.facts().to_vec()).unwrap_or_default();
        let seq = facts.len() as Seq + 1;
        facts.push(Fact { seq, time: now, hand: String::new(), body });
        let mut told = vec![format!(
            "They will rest on all {from} readings since the station was last started anew: withdraw \
             first what is not to count. They hold until others are drawn."
        )];
        told.extend(super::check_picture::limits_in_words(&fold(&facts)));
        Ok(told)
    }

    /// The usual limits, from every reading that may be compared.
    #[must_use]
    pub fn limits(&self, reason: &str) -> CheckLimits {
        CheckLimits::usual(self.checks.comparable().map(|held| held.seq).collect(), reason)
    }

    /// Hears what became of facts on their way to disk; returns what must be said.
    pub fn hear(&mut self) -> Vec<String> {
        let events = self.file.as_mut().map(CheckFile::poll).unwrap_or_default();
        let stopped = events.into_iter().filter_map(|event| match event {
            Event::Stopped { why, .. } => Some(why.to_string()),
            Event::Saved { .. } | Event::Written { .. } => None,
        });
        stopped.collect()
    }

    /// Whether nothing waits to be written.
    #[must_use]
    pub fn is_settled(&self) -> bool {
        self.file.as_ref().is_none_or(|file| file.unsaved().is_empty())
    }

    /// Whether facts are safe, in words, and whether that needs a look.
    #[must_use]
    pub fn saved(&self) -> (String, bool) {
        let Some(file) = &self.file else {
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

/// A field of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CheckField {
    /// The ring angle.
    Ring,
    /// Across.
    X,
    /// Up.
    Y,
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
    /// The ring angle as typed; empty is none.
    pub ring: String,
    /// Across, as typed.
    pub x: String,
    /// Up, as typed.
    pub y: String,
    /// Whose hand.
    pub hand: String,
    /// What a reason is asked for.
    pub decision: Decision,
    /// The reason.
    pub reason: String,
    /// What was refused, and in which field if it was one.
    pub refused: Option<(Option<CheckField>, String)>,
    /// Where the keyboard goes.
    pub focus: Option<CheckField>,
}

impl CheckSheet {
    /// An empty one for a station, turned to what is to be read first.
    #[must_use]
    pub fn of(checks: &OpenChecks, hand: &str) -> Self {
        let mut sheet = Self {
            station: checks.station().name.clone(),
            standard: String::new(),
            channel: Channel::Left,
            ring: String::new(),
            x: String::new(),
            y: String::new(),
            hand: hand.to_owned(),
            decision: Decision::None,
            reason: String::new(),
            refused: None,
            focus: checks.file().map(|_| CheckField::X),
        };
        sheet.turn_to(checks.picture().next);
        sheet
    }

    /// Whether something typed would be lost with it.
    #[must_use]
    pub const fn holds_work(&self) -> bool {
        !(self.x.is_empty() && self.y.is_empty() && self.reason.is_empty())
    }

    /// Turns to what is to be read next and waits at x.
    pub fn turn_to(&mut self, point: Option<CheckPoint>) {
        if let Some(point) = point {
            self.channel = point.channel;
            self.ring = point.ring_deg.map_or_else(String::new, |deg| deg.to_string());
        }
    }

    /// The reading typed.
    ///
    /// # Errors
    /// Which field is wrong, and how.
    pub fn taken(&self, station: &Station) -> Result<CheckTaken, (CheckField, String)> {
        let parse = |field, text: &str| {
            Typed::by_hand(text.trim()).map_err(|why: Error| (field, why.to_string()))
        };
        let ring_deg = match self.ring.trim() {
            "" => None,
            typed => Some(parse(CheckField::Ring, typed)?),
        };
        let (x, y) = (parse(CheckField::X, &self.x)?, parse(CheckField::Y, &self.y)?);
        station
            .on_graticule(self.channel, station.usual_unit, [x.value(), y.value()], false)
            .map_err(|why| (CheckField::X, why.to_string()))?;
        Ok(CheckTaken {
            channel: self.channel,
            ring_deg,
            x,
            y,
            unit: station.usual_unit,
            map: station.map[self.channel],
            approach: Approach::NotNoted,
        })
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
