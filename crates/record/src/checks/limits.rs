//! The limits of one point and axis, drawn from the days of a baseline.

use jiff::civil::Date;
use solver::Direction;
use solver::upkeep::check_standard::{ControlChart, ControlLimits, ewma, precision};

use super::{CheckLimits, SpreadFrom};
use crate::axis::Axis;
use crate::error::Error;
use crate::fact::Seq;
use crate::stamp::Stamp;

/// The readings of one point on one day.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckDay {
    /// The day.
    pub day: Date,
    /// When the last of them was taken.
    pub last: Stamp,
    /// The readings, by `seq`.
    pub readings: Vec<Seq>,
    /// Their mean.
    pub mean: Direction,
    /// Their standard deviation, x and y, arcminutes; `None` of one.
    pub deviation_arcmin: Option<[f64; 2]>,
}

/// The limits of one point and axis, arcminutes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointLimits {
    /// For a day's value.
    pub value: ControlLimits,
    /// For the difference from the day before; the upper edge is what counts.
    pub step: ControlLimits,
    /// For the moving average.
    pub average: ControlLimits,
    /// For the standard deviation within a day, and how many readings such a day has; `None` where the
    /// baseline's days were not all read equally often, at least twice.
    pub scatter: Option<(f64, usize)>,
    /// For a day's value, round the accepted value, where that is known.
    pub accepted: Option<ControlLimits>,
    /// Standard deviation of a day's value.
    pub sigma: f64,
    /// How many days they are drawn from.
    pub days: usize,
    /// Where the next day's value of a sound station lies with the same confidence, since the limits are
    /// known only as well as so many days tell.
    pub next: ControlLimits,
}

impl PointLimits {
    /// Limits from the days of a baseline, and the accepted value with its standard uncertainty.
    pub(super) fn drawn(
        limits: &CheckLimits,
        days: &[CheckDay],
        axis: Axis,
        accepted: Option<(f64, f64)>,
    ) -> Result<Self, Error> {
        let values: Vec<f64> = days.iter().map(|day| axis.of(day.mean)).collect();
        let chart = ControlChart::from_baseline(&values)?;
        let value = match limits.spread {
            SpreadFrom::MovingRange => chart.individuals(limits.factor),
            SpreadFrom::Deviation => chart.individuals_from_deviation(limits.factor),
        };
        let sigma = (value.high - value.low) / (2.0 * limits.factor);
        if sigma <= 0.0 {
            return Err(Error::CheckDaysAllAlike { axis: axis.word() });
        }
        let average = ewma(&[], limits.weight, value.centre, sigma, limits.factor)?.limits;
        let around = |(centre, u): (f64, f64)| {
            let reach = limits.factor * sigma.hypot(u);
            ControlLimits { low: centre - reach, centre, high: centre + reach }
        };
        Ok(Self {
            value,
            step: chart.moving_ranges(limits.factor),
            average,
            scatter: scatter(limits, days, axis)?,
            accepted: accepted.map(around),
            sigma,
            days: days.len(),
            next: chart.next_value(limits.factor, limits.spread == SpreadFrom::MovingRange)?,
        })
    }
}

fn scatter(
    limits: &CheckLimits,
    days: &[CheckDay],
    axis: Axis,
) -> Result<Option<(f64, usize)>, Error> {
    let Some(each) = days.first().map(|day| day.readings.len()).filter(|each| *each > 1) else {
        return Ok(None);
    };
    let deviations: Vec<f64> = days
        .iter()
        .filter(|day| day.readings.len() == each)
        .filter_map(|day| day.deviation_arcmin.map(|pair| axis.pick(pair)))
        .collect();
    if deviations.len() < days.len() {
        return Ok(None);
    }
    let (pooled, limit) = precision(&deviations, each - 1, limits.scatter_share)?;
    // Repeats that never differ say nothing of scatter.
    Ok((pooled > 0.0).then_some((limit, each)))
}
