//! What the facts of a calibration come to, and what may be said next.

use std::collections::BTreeSet;

use solver::direction::FIELD_LIMIT_ARCMIN;
use solver::{Channel, Direction, PerChannel};

use super::{
    CalibrationAbout, CalibrationBody, CalibrationSigned, CalibrationTerms, DeviationRead,
    DeviationShown, FlipSeen,
};
use crate::axis::Axis;
use crate::error::Error;
use crate::fact::{Fact, Seq, Withdrawn};
use crate::fold::Withdrawal;
use crate::journal::{JournalState, Meaning, Vocabulary};
use crate::number::Typed;
use crate::stamp::Stamp;
use crate::validate::{named, not_negative, positive};

/// No station is shown more known deviations in one calibration, those left out among them, nor are they read more
/// often: a file that says more is no calibration, and would take minutes to work out.
pub const MOST_DEVIATIONS: usize = 200;
/// The same of readings.
pub const MOST_READINGS: usize = 2_000;

/// What a calibration comes to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Calibrating {
    /// Of what, and what was noted about the file.
    pub journal: JournalState<CalibrationAbout>,
    /// Whether a number was seen to fall, x first; `None`: not looked at yet.
    pub flips: PerChannel<[Option<bool>; 2]>,
    /// All deviations that were shown, withdrawn ones too, in order.
    pub shown: Vec<KnownShown>,
    /// All their readings, withdrawn ones too, in order.
    pub readings: Vec<ReadingOf>,
    /// What holds for the whole.
    pub terms: Option<CalibrationTerms>,
    /// The last signature.
    pub signed: Option<Fact<CalibrationSigned>>,
    /// Facts said after it.
    pub said_since: usize,
    /// When the last of all was said.
    pub last: Option<Stamp>,
}

/// A deviation that was shown.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownShown {
    /// Its identity.
    pub seq: Seq,
    /// As said.
    pub taken: DeviationShown,
    /// Set when it was withdrawn.
    pub withdrawn: Option<Withdrawal>,
}

impl KnownShown {
    /// Where it points.
    #[must_use]
    pub fn direction(&self) -> Direction {
        Direction::new(self.taken.x.value(), self.taken.y.value())
    }

    /// It in words: `20′, 0′ (wedge 12)`.
    #[must_use]
    pub fn words(&self) -> String {
        let DeviationShown { x, y, source, .. } = &self.taken;
        if x.value() == 0.0 && y.value() == 0.0 {
            return format!("boresight ({source})");
        }
        format!("{}′, {}′ ({source})", x.shown(), y.shown())
    }
}

/// A reading of one.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadingOf {
    /// Its identity.
    pub seq: Seq,
    /// When.
    pub time: Stamp,
    /// Whose hand.
    pub hand: String,
    /// As typed.
    pub taken: DeviationRead,
    /// Set when it was withdrawn.
    pub withdrawn: Option<Withdrawal>,
}

impl Vocabulary for CalibrationBody {
    const FILE: &'static str = "calibration";
    const TAG: &'static str = "calibration of a station";
    type About = CalibrationAbout;
    type Means = Calibrating;

    fn check_about(about: &CalibrationAbout) -> Result<(), Error> {
        named("station", &about.station)
    }

    fn check(&self) -> Result<(), Error> {
        match self {
            Self::Signed(signed) => signed.check(),
            Self::Flip(_)
            | Self::Shown(_)
            | Self::Read(_)
            | Self::Withdrawn(_)
            | Self::Terms(_) => Ok(()),
        }
    }
}

impl Meaning for Calibrating {
    type Says = CalibrationBody;

    fn journal(&self) -> &JournalState<CalibrationAbout> {
        &self.journal
    }

    fn journal_mut(&mut self) -> &mut JournalState<CalibrationAbout> {
        &mut self.journal
    }

    fn admits(&self, says: &CalibrationBody) -> Result<(), Error> {
        match says {
            CalibrationBody::Flip(_) => Ok(()),
            CalibrationBody::Shown(shown) => {
                named("source", &shown.source)?;
                for part in [&shown.x, &shown.y] {
                    within(part.value())?;
                }
                at_least_nothing("u", shown.u.as_ref())?;
                shown.u.as_ref().map_or(Ok(()), |u| within(u.value()))?;
                room(self.shown.len(), MOST_DEVIATIONS, "known deviations")
            }
            CalibrationBody::Read(read) => {
                let shown = self.in_use().any(|shown| shown.seq == read.deviation);
                if !shown {
                    return Err(Error::NotADeviationInUse { seq: read.deviation });
                }
                room(self.readings.len(), MOST_READINGS, "readings")
            }
            CalibrationBody::Withdrawn(Withdrawn { reading, reason }) => {
                named("the reason", reason)?;
                let shown = self.in_use().any(|shown| shown.seq == *reading);
                let read = self.readings_in_use().any(|read| read.seq == *reading);
                if shown || read { Ok(()) } else { Err(Error::NotAReadingInUse { seq: *reading }) }
            }
            CalibrationBody::Terms(terms) => terms_check(terms),
            CalibrationBody::Signed(signed) => named("program", &signed.program),
        }
    }

    fn take(&mut self, fact: Fact<CalibrationBody>) -> Result<(), Error> {
        let Fact { seq, time, hand, body } = fact;
        self.said_since += 1;
        self.last = Some(time);
        match body {
            CalibrationBody::Flip(FlipSeen { channel, axis, falls }) => {
                let [x, y] = &mut self.flips[channel];
                *(if axis == Axis::X { x } else { y }) = Some(falls);
            }
            CalibrationBody::Shown(taken) => {
                self.shown.push(KnownShown { seq, taken, withdrawn: None });
            }
            CalibrationBody::Read(taken) => {
                self.readings.push(ReadingOf { seq, time, hand, taken, withdrawn: None });
            }
            CalibrationBody::Withdrawn(Withdrawn { reading, reason }) => {
                let out = Some(Withdrawal { by: seq, reason });
                if let Some(shown) = self.shown.iter_mut().find(|shown| shown.seq == reading) {
                    shown.withdrawn = out;
                } else if let Some(read) = self.readings.iter_mut().find(|read| read.seq == reading)
                {
                    read.withdrawn = out;
                }
            }
            CalibrationBody::Terms(terms) => self.terms = Some(terms),
            CalibrationBody::Signed(signed) => {
                self.signed = Some(Fact { seq, time, hand, body: signed });
                self.said_since = 0;
            }
        }
        Ok(())
    }
}

impl Calibrating {
    /// The deviations that count, in order.
    pub fn in_use(&self) -> impl Iterator<Item = &KnownShown> {
        self.shown.iter().filter(|shown| shown.withdrawn.is_none())
    }

    /// The readings that count: those of deviations that do.
    pub fn readings_in_use(&self) -> impl Iterator<Item = &ReadingOf> {
        let used: BTreeSet<Seq> = self.in_use().map(|shown| shown.seq).collect();
        let counts = |read: &&ReadingOf| read.withdrawn.is_none();
        self.readings.iter().filter(counts).filter(move |read| used.contains(&read.taken.deviation))
    }

    /// What was left out, in order, each in words with its reason.
    #[must_use]
    pub fn left_out(&self) -> Vec<String> {
        let mut out: Vec<(Seq, String)> = Vec::new();
        for shown in &self.shown {
            if let Some(Withdrawal { by, reason }) = &shown.withdrawn {
                out.push((*by, format!("{} left out: {reason}", shown.words())));
            }
        }
        for read in &self.readings {
            let Some(Withdrawal { by, reason }) = &read.withdrawn else { continue };
            let of = self.shown.iter().find(|shown| shown.seq == read.taken.deviation);
            let of = of.map_or_else(String::new, KnownShown::words);
            let DeviationRead { channel, x, y, .. } = &read.taken;
            let (x, y) = (x.shown(), y.shown());
            out.push((*by, format!("{channel} {x}, {y} of {of} left out: {reason}")));
        }
        out.sort();
        out.into_iter().map(|(_, words)| words).collect()
    }

    /// Readings of one deviation in one channel, divisions.
    #[must_use]
    pub fn read_of(&self, deviation: Seq, channel: Channel) -> Vec<[f64; 2]> {
        let of =
            |read: &&ReadingOf| read.taken.deviation == deviation && read.taken.channel == channel;
        let pair = |read: &ReadingOf| [read.taken.x.value(), read.taken.y.value()];
        self.readings_in_use().filter(of).map(pair).collect()
    }

    /// What undo would leave out: the last reading or deviation that counts, whichever was said later.
    #[must_use]
    pub fn last_undone(&self) -> Option<Seq> {
        let shown = self.in_use().map(|shown| shown.seq).max();
        let read = self.readings_in_use().map(|read| read.seq).max();
        shown.max(read)
    }

    /// What the station was called.
    #[must_use]
    pub fn station(&self) -> &str {
        self.journal.header.as_ref().map_or("", |header| &header.about.station)
    }
}

fn room(held: usize, most: usize, what: &'static str) -> Result<(), Error> {
    if held < most { Ok(()) } else { Err(Error::CalibrationFull { most, what }) }
}

fn within(value_arcmin: f64) -> Result<(), Error> {
    if value_arcmin.abs() > FIELD_LIMIT_ARCMIN {
        return Err(Error::BeyondField { value_arcmin, limit_arcmin: FIELD_LIMIT_ARCMIN });
    }
    Ok(())
}

fn at_least_nothing(field: &str, typed: Option<&Typed>) -> Result<(), Error> {
    typed.map_or(Ok(()), |typed| not_negative(field, typed.value()))
}

fn terms_check(terms: &CalibrationTerms) -> Result<(), Error> {
    named("certificate", &terms.certificate)?;
    at_least_nothing("common_x", terms.common_x.as_ref())?;
    at_least_nothing("common_y", terms.common_y.as_ref())?;
    if let Some(sigma) = &terms.sigma {
        positive("sigma", sigma.value())?;
    }
    if terms.due < terms.done {
        return Err(Error::DueBeforeDone { done: terms.done, due: terms.due });
    }
    Ok(())
}
