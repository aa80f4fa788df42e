//! What the facts of a list of units come to, and what may be said next.

use core::fmt;

use jiff::civil::Date;

use super::{Moved, WaitingAbout, WaitingBody, WaitingStep, WaitingUnit};
use crate::error::Error;
use crate::fact::{Fact, Seq};
use crate::figures::{counted, counted_s};
use crate::journal::{JournalState, Meaning, Vocabulary};
use crate::stamp::Stamp;
use crate::validate::named;

/// What a list comes to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct UnitsWaiting {
    /// How it begins, and what was noted about the file.
    pub journal: JournalState<WaitingAbout>,
    /// Every unit that ever was on it, in the order added.
    pub units: Vec<UnitWaiting>,
}

/// A unit of the list.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitWaiting {
    /// Its identity: the fact that added it.
    pub seq: Seq,
    /// Since when.
    pub since: Stamp,
    /// Who wrote it down.
    pub hand: String,
    /// What was written down.
    pub unit: WaitingUnit,
    /// How far it has come.
    pub state: WaitingState,
    /// Who said so, and when.
    pub moved: (String, Stamp),
    /// Why it is off the list, if it is.
    pub off: Option<String>,
}

/// How far a unit has come.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum WaitingState {
    /// Nothing was begun.
    #[default]
    Waiting,
    /// Work goes on in the session of this name.
    Begun(String),
    /// Work rests, for this reason.
    Interrupted(String),
    /// It is done.
    Ready,
}

/// When a unit is due, seen from a day. Earlier is more urgent.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum UnitDue {
    /// In so many days; less than 0: overdue by so many.
    In(i64),
    /// Nobody said.
    NotSaid,
}

impl fmt::Display for UnitDue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let days = |days: i64| counted_s(days, "day");
        match *self {
            Self::In(past) if past < 0 => write!(f, "overdue by {}", days(-past)),
            Self::In(0) => f.write_str("due today"),
            Self::In(ahead) => write!(f, "due in {}", days(ahead)),
            Self::NotSaid => f.write_str("no day set"),
        }
    }
}

impl Vocabulary for WaitingBody {
    const FILE: &'static str = "list of units waiting";
    const TAG: &'static str = "units waiting";
    type About = WaitingAbout;
    type Means = UnitsWaiting;
    const NEWEST_FORMAT: u32 = super::FORMAT;
    const NOTES_FROM_FORMAT: u32 = super::FORMAT;

    fn check_about(_: &WaitingAbout) -> Result<(), Error> {
        Ok(())
    }
}

impl Meaning for UnitsWaiting {
    type Says = WaitingBody;

    fn journal(&self) -> &JournalState<WaitingAbout> {
        &self.journal
    }

    fn journal_mut(&mut self) -> &mut JournalState<WaitingAbout> {
        &mut self.journal
    }

    fn admits(&self, says: &WaitingBody) -> Result<(), Error> {
        match says {
            WaitingBody::Added(unit) => named("the unit", &unit.unit),
            WaitingBody::Moved(Moved { entry, to }) => {
                if !self.units.iter().any(|unit| unit.seq == *entry) {
                    return Err(Error::NoSuchUnitWaiting { seq: *entry });
                }
                match to {
                    WaitingStep::Interrupted(why) | WaitingStep::TakenOff(why) => {
                        named("the reason", why)
                    }
                    WaitingStep::Begun(session) => named("the session", session),
                    WaitingStep::Waits | WaitingStep::Ready => Ok(()),
                }
            }
        }
    }

    fn take(&mut self, fact: Fact<WaitingBody>) -> Result<(), Error> {
        let Fact { seq, time, hand, body } = fact;
        match body {
            WaitingBody::Added(unit) => self.units.push(UnitWaiting {
                seq,
                since: time,
                hand: hand.clone(),
                unit,
                state: WaitingState::Waiting,
                moved: (hand, time),
                off: None,
            }),
            WaitingBody::Moved(Moved { entry, to }) => {
                let unit = self.units.iter_mut().find(|unit| unit.seq == entry);
                unit.ok_or(Error::NoSuchUnitWaiting { seq: entry })?.move_to(to, (hand, time));
            }
        }
        Ok(())
    }
}

impl UnitsWaiting {
    /// The units on the list, seen from a day: overdue first, then by the day they are due, then those of
    /// which nobody said; of equals, who waits longest.
    #[must_use]
    pub fn on_list(&self, day: Date) -> Vec<&UnitWaiting> {
        let mut units: Vec<&UnitWaiting> =
            self.units.iter().filter(|unit| unit.off.is_none()).collect();
        units.sort_by_key(|unit| (unit.due(day), unit.seq));
        units
    }

    /// How many wait, in one sentence.
    #[must_use]
    pub fn words(&self, day: Date) -> String {
        let units = self.on_list(day);
        if units.is_empty() {
            return "No unit waits.".to_owned();
        }
        let count = |is: &dyn Fn(&UnitWaiting) -> bool| units.iter().filter(|one| is(one)).count();
        let parts = [
            (count(&|one| one.is_overdue(day)), "overdue"),
            (count(&|one| matches!(one.state, WaitingState::Begun(_))), "begun"),
            (count(&|one| matches!(one.state, WaitingState::Interrupted(_))), "interrupted"),
            (count(&|one| one.state == WaitingState::Ready), "ready"),
        ];
        let said: Vec<String> = parts
            .iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, word)| format!("{count} {word}"))
            .collect();
        let said = if said.is_empty() { String::new() } else { format!(": {}", said.join(", ")) };
        format!("{}{said}.", counted(units.len(), "unit waits", "units wait"))
    }
}

impl UnitWaiting {
    fn move_to(&mut self, to: WaitingStep, moved: (String, Stamp)) {
        self.moved = moved;
        self.off = None;
        match to {
            WaitingStep::Waits => self.state = WaitingState::Waiting,
            WaitingStep::Begun(session) => self.state = WaitingState::Begun(session),
            WaitingStep::Interrupted(why) => self.state = WaitingState::Interrupted(why),
            WaitingStep::Ready => self.state = WaitingState::Ready,
            WaitingStep::TakenOff(why) => self.off = Some(why),
        }
    }

    /// When it is due, seen from a day.
    #[must_use]
    pub fn due(&self, day: Date) -> UnitDue {
        self.unit
            .due
            .map_or(UnitDue::NotSaid, |due| UnitDue::In(due.duration_since(day).as_hours() / 24))
    }

    /// Whether the day it was due has passed and it is not ready.
    #[must_use]
    pub fn is_overdue(&self, day: Date) -> bool {
        self.state != WaitingState::Ready && self.due(day) < UnitDue::In(0)
    }

    /// How far it has come, in words.
    #[must_use]
    pub fn state_words(&self) -> String {
        let (hand, at) = &self.moved;
        match &self.state {
            WaitingState::Waiting => "waiting".to_owned(),
            WaitingState::Begun(_) => format!("begun by {hand} on {}", at.date()),
            WaitingState::Interrupted(why) => {
                format!("interrupted by {hand} on {}: {why}", at.date())
            }
            WaitingState::Ready => format!("ready since {}", at.date()),
        }
    }

    /// All of it in one line, what is most urgent first, without a full stop.
    #[must_use]
    pub fn words(&self, day: Date) -> String {
        let due = match self.unit.due {
            Some(due) => format!("{}, {due}", self.due(day)),
            None => UnitDue::NotSaid.to_string(),
        };
        let mut parts = vec![due, self.state_words(), format!("here since {}", self.since.date())];
        for (word, text) in [("for ", &self.unit.purpose), ("", &self.unit.condition)] {
            if !text.is_empty() {
                parts.push(format!("{word}{text}"));
            }
        }
        format!("{}: {}", self.unit.unit, parts.join(" · "))
    }
}
