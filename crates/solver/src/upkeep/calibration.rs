//! Whether a station is in calibration. The solver reads no clock: dates come in as day numbers
//! (any count of days, the same for all).

use crate::error::Error;

/// Where a station stands between two calibrations.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CalibrationState {
    /// In calibration, so many whole days left; 0 on the last day.
    InDate {
        /// Days left.
        days_left: i64,
    },
    /// In calibration, but due within the warning.
    DueSoon {
        /// Days left.
        days_left: i64,
    },
    /// Past its date.
    Overdue {
        /// Days past, at least 1.
        days: i64,
    },
    /// Its calibration lies in the future: a date is wrong.
    NotYet {
        /// Days until it.
        days: i64,
    },
}

impl CalibrationState {
    /// On a day, from the day of the last calibration, the interval in days (365 is common practice)
    /// and how long before the end to warn.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an interval that is not above 0 or a warning below 0.
    ///
    /// ```
    /// use solver::upkeep::calibration::Calibration;
    /// assert_eq!(Calibration::on(370, 10, 365, 30)?, Calibration::DueSoon { days_left: 5 });
    /// assert_eq!(Calibration::on(376, 10, 365, 30)?, Calibration::Overdue { days: 1 });
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn on(today: i64, last: i64, interval: i64, warning: i64) -> Result<Self, Error> {
        let (what, must) = ("a calibration interval in days", "more than 0");
        Error::check(interval > 0, what, interval as f64, must)?;
        Error::check(warning >= 0, "a warning in days", warning as f64, "0 or more")?;
        if last > today {
            return Ok(Self::NotYet { days: last.saturating_sub(today) });
        }
        let days_left = last.saturating_add(interval).saturating_sub(today);
        Ok(if days_left < 0 {
            Self::Overdue { days: days_left.saturating_neg() }
        } else if days_left <= warning {
            Self::DueSoon { days_left }
        } else {
            Self::InDate { days_left }
        })
    }

    /// Whether readings may be trusted.
    #[must_use]
    pub const fn is_valid(self) -> bool {
        matches!(self, Self::InDate { .. } | Self::DueSoon { .. })
    }
}
