//! Periods of days, and in which of them something was done with a session.

use core::fmt;

use jiff::civil::{Date, date};

use super::SessionSummary;
use crate::error::Error;

/// Days from one to another, both in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Period {
    from: Date,
    until: Date,
}

impl Period {
    /// From a day until a day.
    ///
    /// # Errors
    /// [`Error::PeriodBackwards`].
    pub fn new(from: Date, until: Date) -> Result<Self, Error> {
        if until < from {
            return Err(Error::PeriodBackwards { from, until });
        }
        Ok(Self { from, until })
    }

    /// A month, as `2026-11`.
    ///
    /// # Errors
    /// [`Error::NotAMonth`].
    pub fn month(text: &str) -> Result<Self, Error> {
        let refused = || Error::NotAMonth { text: text.to_owned() };
        let (year, month) = text.trim().split_once('-').ok_or_else(refused)?;
        let digits = |text: &str, count| {
            text.len() == count && text.bytes().all(|byte| byte.is_ascii_digit())
        };
        if !(digits(year, 4) && digits(month, 2)) {
            return Err(refused());
        }
        let year: i16 = year.parse().map_err(|_| refused())?;
        let month: i8 = month.parse().map_err(|_| refused())?;
        if !(1..=12).contains(&month) {
            return Err(refused());
        }
        let first = date(year, month, 1);
        Ok(Self { from: first, until: first.last_of_month() })
    }

    /// The month that a day lies in.
    #[must_use]
    pub fn month_of(day: Date) -> Self {
        Self { from: day.first_of_month(), until: day.last_of_month() }
    }

    /// Its first day.
    #[must_use]
    pub const fn from(self) -> Date {
        self.from
    }

    /// Its last day.
    #[must_use]
    pub const fn until(self) -> Date {
        self.until
    }

    /// Whether a day lies in it.
    #[must_use]
    pub fn holds(self, day: Date) -> bool {
        (self.from..=self.until).contains(&day)
    }

    /// A month as `2026-11`, else as its days.
    #[must_use]
    pub fn name(self) -> String {
        let whole = Self::month_of(self.from) == self;
        if whole { self.from.strftime("%Y-%m").to_string() } else { self.to_string() }
    }
}

impl fmt::Display for Period {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} to {}", self.from, self.until)
    }
}

impl SessionSummary {
    /// From the first to the last day that its file names: begun, last read, signed, answered. `None` where it names
    /// none.
    #[must_use]
    pub fn days(&self) -> Option<[Date; 2]> {
        let signed = self.signed_as.as_ref();
        let answered = signed.and_then(|signed| Some(signed.answered.as_ref()?.day));
        let named = [self.begun, self.day, signed.map(|signed| signed.day), answered];
        let known = || named.into_iter().flatten();
        Some([known().min()?, known().max()?])
    }

    /// Whether it was worked on in a period: begun before its end, and read, signed or answered after its beginning.
    /// `None` where no day of it is known.
    #[must_use]
    pub fn worked_on_in(&self, period: Period) -> Option<bool> {
        let [first, last] = self.days()?;
        Some(first <= period.until && last >= period.from)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests fail by panicking")]
mod tests {
    use super::*;

    /// ISO 8601, 5.2.2: a month as year and month of the calendar; 2024 is a leap year, 1900 none.
    #[test]
    fn months_are_those_of_the_calendar() {
        for (text, last) in [("2024-02", 29), ("1900-02", 28), ("2026-11", 30), ("2026-12", 31)] {
            let month = Period::month(text).unwrap();
            assert_eq!((month.from().day(), month.until().day()), (1, last), "{text}");
            assert_eq!(month.name(), text);
        }
        for text in ["", "2026", "2026-13", "2026-00", "2026-1", "26-01", "2026-11-01", "+026-11"] {
            assert!(Period::month(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_session_lies_in_the_periods_that_it_was_worked_on_in() {
        let day = |day: i8| date(2026, 5, day);
        let session =
            SessionSummary { begun: Some(day(4)), day: Some(day(10)), ..SessionSummary::default() };
        let within =
            |from, until| session.worked_on_in(Period::new(day(from), day(until)).unwrap());
        assert_eq!([within(1, 3), within(1, 4), within(5, 6)], [false, true, true].map(Some));
        assert_eq!([within(10, 12), within(11, 12)], [true, false].map(Some));
        let none = SessionSummary::default();
        assert_eq!(none.worked_on_in(Period::new(day(1), day(31)).unwrap()), None);
        assert!(Period::new(day(2), day(1)).is_err());
    }
}
