//! When something was done: RFC 3339 with a numeric offset and milliseconds.

use core::fmt;
use core::str::FromStr;

use jiff::Timestamp;
use jiff::fmt::temporal::Pieces;
use jiff::tz::Offset;

use crate::error::Error;

/// A moment and the offset of the clock that told it.
///
/// Two stamps are equal when moment and offset are; [`Stamp::is_before`] compares moments.
///
/// ```
/// use record::Stamp;
/// let stamp: Stamp = "2026-11-25T14:03:22.080+01:00".parse()?;
/// assert_eq!(stamp.to_string(), "2026-11-25T14:03:22.080+01:00");
/// # Ok::<(), record::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Stamp {
    moment: Timestamp,
    offset: Offset,
}

impl Stamp {
    /// What the system's clock and time zone say, to the millisecond.
    #[must_use]
    pub fn now() -> Self {
        let now = jiff::ZonedDateTime::now();
        // RFC 3339 offsets have no seconds; an offset that has is shown as UTC.
        let offset = if now.offset().seconds() % 60 == 0 { now.offset() } else { Offset::UTC };
        Self { moment: whole_millisecond(now.timestamp()), offset }
    }

    /// A moment in milliseconds since 1970-01-01T00:00Z, told in UTC; `None` outside the years
    /// −9999 to 9999.
    #[must_use]
    pub fn from_unix_milliseconds(milliseconds: i64) -> Option<Self> {
        let moment = Timestamp::from_millisecond(milliseconds).ok()?;
        Some(Self { moment, offset: Offset::UTC })
    }

    /// A moment in milliseconds since 1970-01-01T00:00Z, told by a clock of an offset, seconds east of UTC; `None`
    /// where there is no such moment or offset.
    #[must_use]
    pub fn at(milliseconds: i64, offset_seconds: i32) -> Option<Self> {
        let moment = Timestamp::from_millisecond(milliseconds).ok()?;
        Some(Self { moment, offset: Offset::from_seconds(offset_seconds).ok()? })
    }

    /// The clock's offset, seconds east of UTC.
    #[must_use]
    pub const fn offset_seconds(self) -> i32 {
        self.offset.seconds()
    }

    /// Milliseconds since 1970-01-01T00:00Z.
    #[must_use]
    pub fn unix_milliseconds(self) -> i64 {
        self.moment.as_millisecond()
    }

    /// Whether this moment is earlier than another.
    #[must_use]
    pub fn is_before(self, other: Self) -> bool {
        self.moment < other.moment
    }

    /// The calendar day where the clock stood.
    #[must_use]
    pub fn date(self) -> jiff::civil::Date {
        self.offset.to_datetime(self.moment).date()
    }

    /// Hours, minutes and seconds where the clock stood, `14:03:22`.
    #[must_use]
    pub fn time_of_day(self) -> String {
        let time = self.offset.to_datetime(self.moment).time();
        format!("{:02}:{:02}:{:02}", time.hour(), time.minute(), time.second())
    }

    /// For file names: `20261125-140322`.
    #[must_use]
    pub fn for_file_name(self) -> String {
        let at = self.offset.to_datetime(self.moment);
        let (date, time) = (at.date(), at.time());
        format!(
            "{:04}{:02}{:02}-{:02}{:02}{:02}",
            date.year(),
            date.month(),
            date.day(),
            time.hour(),
            time.minute(),
            time.second()
        )
    }
}

fn whole_millisecond(moment: Timestamp) -> Timestamp {
    Timestamp::from_millisecond(moment.as_millisecond()).unwrap_or(moment)
}

impl fmt::Display for Stamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.3}", self.moment.display_with_offset(self.offset))
    }
}

impl FromStr for Stamp {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let refused = || Error::NotATime { text: text.chars().take(60).collect() };
        let pieces = Pieces::parse(text).map_err(|_| refused())?;
        let offset = pieces.to_numeric_offset().ok_or_else(refused)?;
        let time = pieces.time().ok_or_else(refused)?;
        let moment = offset.to_timestamp(pieces.date().to_datetime(time)).map_err(|_| refused())?;
        Ok(Self { moment: whole_millisecond(moment), offset })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    #[test]
    fn text_and_back() {
        for text in [
            "2026-11-25T14:03:22.080+01:00",
            "2026-11-25T14:03:22.000+00:00",
            "2026-03-01T23:59:59.999-09:30",
            "1970-01-01T00:00:00.001+14:00",
        ] {
            let stamp: Stamp = text.parse().unwrap();
            assert_eq!(stamp.to_string(), text);
            assert_eq!(Stamp::at(stamp.unix_milliseconds(), stamp.offset_seconds()), Some(stamp));
        }
        assert_eq!(Stamp::at(i64::MAX, 0), None);
        assert_eq!(Stamp::at(0, i32::MAX), None);
    }

    #[test]
    fn a_time_without_offset_is_refused() {
        for text in ["2026-11-25T14:03:22", "14:03", "yesterday", "", "2026-11-25"] {
            assert!(text.parse::<Stamp>().is_err(), "{text:?}");
        }
    }

    #[test]
    fn moments_compare_across_offsets() {
        let noon: Stamp = "2026-11-25T12:00:00.000+00:00".parse().unwrap();
        let before: Stamp = "2026-11-25T12:59:00.000+01:00".parse().unwrap();
        assert!(before.is_before(noon) && !noon.is_before(before));
        assert_eq!(before.time_of_day(), "12:59:00");
        assert_eq!(before.for_file_name(), "20261125-125900");
    }
}
