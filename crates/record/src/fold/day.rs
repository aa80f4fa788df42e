//! What a session says of the working day: handovers, how the unit came in, whether work rested.

use jiff::civil::Date;

use super::session::Session;
use crate::fact::{DayKind, DayNote, Fact, NotedPicture, Seq};
use crate::stamp::Stamp;

/// After so many minutes without a reading in a round nobody can know that nothing but rings was touched
/// unless the hand says so: longer than a careful reading takes, shorter than a break; our own choice.
pub const RESTED_MINUTES: i64 = 30;

/// A handover, and who read it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Handover {
    /// Its fact.
    pub seq: Seq,
    /// When it was left.
    pub time: Stamp,
    /// By whom.
    pub hand: String,
    /// What was done and what is next.
    pub text: String,
    /// By whom it was read, and when, in order.
    pub read: Vec<(String, Stamp)>,
}

impl Handover {
    /// It in a sentence, with who read it.
    #[must_use]
    pub fn words(&self) -> String {
        let Self { seq, time, hand, text, read } = self;
        let at = |time: &Stamp| format!("{} {}", time.date(), time.time_of_day());
        let read: Vec<String> =
            read.iter().map(|(hand, time)| format!("{hand} on {}", at(time))).collect();
        let read = match read.is_empty() {
            true => "nobody said that it was read".to_owned(),
            false => format!("read by {}", read.join(", ")),
        };
        format!("Handover by {hand} on {} (fact {seq}): {text}; {read}", at(time))
    }
}

/// How the unit came in, as last said.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Received<'a> {
    /// In which condition.
    pub condition: Option<Fact<String>>,
    /// With which accessories.
    pub accessories: Option<Fact<String>>,
    /// Pictures taken then.
    pub pictures: Vec<&'a Fact<NotedPicture>>,
}

impl Received<'_> {
    /// Whether nothing was said of it.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.condition.is_none() && self.accessories.is_none() && self.pictures.is_empty()
    }
}

/// Readings of the open round that lie some time back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rested {
    /// The last of them.
    pub reading: Seq,
    /// When it was taken, or when it was last said that nothing was touched.
    pub since: Stamp,
    /// By whom.
    pub hand: String,
    /// How long ago, minutes.
    pub minutes: i64,
}

impl Rested {
    /// Whether the round may be gone on with only when a hand says that nothing was touched.
    #[must_use]
    pub const fn must_be_asked(&self) -> bool {
        self.minutes >= RESTED_MINUTES
    }

    /// How many minutes are left until it must be asked; `None`: it must be now.
    #[must_use]
    pub const fn minutes_left(&self) -> Option<i64> {
        if self.must_be_asked() { None } else { Some(RESTED_MINUTES - self.minutes) }
    }

    /// How long, in words: `14 h 20 min`, `2 days 3 h`.
    #[must_use]
    pub fn long(&self) -> String {
        let (days, hours, minutes) =
            (self.minutes / 1440, self.minutes / 60 % 24, self.minutes % 60);
        match (days, hours) {
            (0, 0) => format!("{minutes} min"),
            (0, _) => format!("{hours} h {minutes} min"),
            (1, _) => format!("1 day {hours} h"),
            _ => format!("{days} days {hours} h"),
        }
    }

    /// The note of a hand that says that nothing was touched.
    #[must_use]
    pub fn untouched(&self) -> DayNote {
        let text = format!(
            "{} after reading {}: unit, dioptres and locks were not touched, the hand says",
            self.long(),
            self.reading
        );
        DayNote::said(DayKind::Untouched, &text)
    }

    /// The words of a round that ends because something was.
    #[must_use]
    pub fn touched(&self) -> String {
        format!("touched while work rested for {}", self.long())
    }
}

impl Session {
    /// What was noted of the day of one kind, in order.
    pub fn day_notes(&self, kind: DayKind) -> impl DoubleEndedIterator<Item = Fact<DayNote>> {
        self.notes.iter().filter_map(move |said| {
            let body = DayNote::of(&said.body).filter(|day| day.kind == kind)?;
            Some(Fact { seq: said.seq, time: said.time, hand: said.hand.clone(), body })
        })
    }

    /// The handovers, in order.
    #[must_use]
    pub fn handovers(&self) -> Vec<Handover> {
        let read: Vec<Fact<DayNote>> = self.day_notes(DayKind::HandoverRead).collect();
        let of = |seq| {
            let of = read.iter().filter(move |said| said.body.about == Some(seq));
            of.map(|said| (said.hand.clone(), said.time)).collect()
        };
        let left = self.day_notes(DayKind::Handover);
        left.map(|Fact { seq, time, hand, body }| Handover {
            seq,
            time,
            hand,
            text: body.text,
            read: of(seq),
        })
        .collect()
    }

    /// The handovers that nobody said was read.
    pub fn unread_handovers(&self) -> impl Iterator<Item = Handover> {
        self.handovers().into_iter().filter(|handover| handover.read.is_empty())
    }

    /// How the unit came in.
    #[must_use]
    pub fn received(&self) -> Received<'_> {
        let last = |kind| {
            let said = self.day_notes(kind).next_back()?;
            let Fact { seq, time, hand, body } = said;
            Some(Fact { seq, time, hand, body: body.text })
        };
        let of_receiving = |said: &&Fact<NotedPicture>| said.body.caption.starts_with(RECEIVED);
        Received {
            condition: last(DayKind::Condition),
            accessories: last(DayKind::Accessories),
            pictures: self.pictures.iter().filter(of_receiving).collect(),
        }
    }

    /// Whether a station of this name was read against its check standard on a day, all of it, and nothing
    /// judged that.
    #[must_use]
    pub fn was_checked_unjudged(&self, station: &str, day: Date) -> bool {
        let of_day = self.day_notes(DayKind::Checked).filter(|said| said.time.date() == day);
        of_day.filter_map(|said| said.body.is_check_of(station)).next_back().unwrap_or(false)
    }

    /// How long ago the open round was last read; `None` where it has no reading in use. A clock that was
    /// set back tells nothing.
    #[must_use]
    pub fn rested(&self, now: Stamp) -> Option<Rested> {
        let round = self.round()?;
        let last = round.in_use().next_back()?;
        let said = self.day_notes(DayKind::Untouched).rfind(|said| said.seq > last.seq);
        let (since, hand) =
            said.map_or_else(|| (last.time, last.hand.clone()), |said| (said.time, said.hand));
        let minutes = (now.unix_milliseconds() - since.unix_milliseconds()) / 60_000;
        Some(Rested { reading: last.seq, since, hand, minutes: minutes.max(0) })
    }
}

/// What the caption of a picture taken on receiving begins with.
pub const RECEIVED: &str = "received: ";

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn how_long_is_said_in_words() {
        let long = |minutes| {
            let since = Stamp::from_unix_milliseconds(0).unwrap();
            Rested { reading: 3, since, hand: String::new(), minutes }.long()
        };
        assert_eq!([0, 59, 60, 860].map(long), ["0 min", "59 min", "1 h 0 min", "14 h 20 min"]);
        assert_eq!([1440, 3059].map(long), ["1 day 0 h", "2 days 2 h"]);
    }
}
