//! The days of one point and axis against their limits: individuals and moving range, the
//! exponentially weighted moving average, the scatter within a day, the accepted value.

use core::fmt;

use jiff::civil::Date;
use solver::upkeep::check_standard::{ControlLimits, ewma};

use super::limits::{CheckDay, PointLimits};
use super::{CheckPoint, Checks};
use crate::axis::Axis;
use crate::fact::Seq;
use crate::journal::Meaning as _;
use crate::number::with_true_minus;

/// A day on the chart of one point and axis.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartedDay {
    /// The day.
    pub day: Date,
    /// Its readings, by `seq`.
    pub readings: Vec<Seq>,
    /// Their mean, arcminutes.
    pub value: f64,
    /// Their standard deviation, arcminutes; `None` of one.
    pub deviation: Option<f64>,
    /// The difference from the day before; `None` of the first.
    pub step: Option<f64>,
    /// The moving average after this day; `None` before the limits were drawn.
    pub average: Option<f64>,
    /// The limits this day is held against; `None` where none were drawn.
    pub limits: Option<PointLimits>,
    /// What it breaks.
    pub findings: Vec<BrokenLimit>,
}

/// A limit that was broken, with the numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BrokenLimit {
    /// Of what.
    pub point: CheckPoint,
    /// On which axis.
    pub axis: Axis,
    /// Which limit.
    pub rule: LimitRule,
    /// What was found, arcminutes.
    pub found: f64,
    /// The limits it should keep.
    pub limits: ControlLimits,
    /// Of a day's value: how many days the limits are from, and where the next day of a sound station may
    /// lie, if what was found lies there.
    pub may_be_chance: Option<(usize, ControlLimits)>,
}

/// Which limit was broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LimitRule {
    /// The day's value.
    Value,
    /// The difference from the day before.
    Step,
    /// The moving average: a drift.
    Average,
    /// The scatter within the day.
    Scatter,
    /// The distance from the accepted value.
    Accepted,
}

impl fmt::Display for BrokenLimit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { point, axis, rule, found, limits, may_be_chance } = self;
        let ControlLimits { low, centre, high } = limits;
        write!(f, "{point}, {axis}: ")?;
        let text = match rule {
            LimitRule::Value => format!("reads {found:.2}′, outside {low:.2}′ to {high:.2}′"),
            LimitRule::Step => {
                format!("moved {found:.2}′ since the day before, more than {high:.2}′")
            }
            LimitRule::Average => {
                format!(
                    "drifts: its moving average is {found:.2}′, outside {low:.2}′ to {high:.2}′"
                )
            }
            LimitRule::Scatter => format!("readings scatter by {found:.2}′, more than {high:.2}′"),
            LimitRule::Accepted => format!(
                "reads {found:.2}′ where the standard's value is {centre:.2}′, outside {low:.2}′ to \
                 {high:.2}′"
            ),
        };
        f.write_str(&with_true_minus(&text))?;
        let Some((days, ControlLimits { low, high, .. })) = may_be_chance else { return Ok(()) };
        let text = format!(
            " (from {days} days: the next day of a sound station lies within {low:.2}′ to {high:.2}′)"
        );
        f.write_str(&with_true_minus(&text))
    }
}

/// Limits as decided once, and the moving average since.
struct InForce {
    from: Seq,
    limits: PointLimits,
    /// The first day after them.
    first: usize,
    averages: Vec<f64>,
}

impl InForce {
    fn average(&self, day: usize) -> Option<f64> {
        // The first average is the centre, before any day.
        self.averages.get(day.checked_sub(self.first)? + 1).copied()
    }
}

impl Checks {
    /// The chart of a point and axis: every day since the station was last started anew, each against
    /// the limits in force when it was read. Days before the first limits are held against those. The
    /// moving average begins at the centre with the first day after its limits were drawn.
    #[must_use]
    pub fn chart(&self, point: CheckPoint, axis: Axis) -> Vec<ChartedDay> {
        let days = self.days(point);
        let values: Vec<f64> = days.iter().map(|day| axis.of(day.mean)).collect();
        let began = self.began();
        let drawn: Vec<InForce> = self
            .limits
            .iter()
            .filter(|limits| limits.seq > began)
            .filter_map(|decided| {
                let baseline = self.days_from(point, &decided.body.from);
                let accepted = self.accepted(point, axis);
                let limits = PointLimits::drawn(&decided.body, &baseline, axis, accepted).ok()?;
                let ControlLimits { centre, .. } = limits.value;
                let (weight, factor) = (decided.body.weight, decided.body.factor);
                let before = |day: &&CheckDay| day.readings.last() < Some(&decided.seq);
                let first = days.iter().filter(before).count();
                let after = values.get(first..).unwrap_or_default();
                let averages = ewma(after, weight, centre, limits.sigma, factor).ok()?.averages;
                Some(InForce { from: decided.seq, limits, first, averages })
            })
            .collect();
        let in_force =
            |seq: Seq| drawn.iter().rev().find(|held| held.from < seq).or_else(|| drawn.first());
        let mut charted: Vec<ChartedDay> = Vec::with_capacity(days.len());
        for (index, day) in days.into_iter().enumerate() {
            let value = axis.of(day.mean);
            let held = day.readings.last().and_then(|seq| in_force(*seq));
            let mut one = ChartedDay {
                day: day.day,
                value,
                deviation: day.deviation_arcmin.map(|pair| axis.pick(pair)),
                step: charted.last().map(|before| value - before.value),
                average: held.and_then(|held| held.average(index)),
                limits: held.map(|held| held.limits),
                readings: day.readings,
                findings: Vec::new(),
            };
            one.findings = findings(point, axis, &one);
            charted.push(one);
        }
        charted
    }

    /// The accepted value of a point and its standard uncertainty, arcminutes.
    #[must_use]
    pub fn accepted(&self, point: CheckPoint, axis: Axis) -> Option<(f64, f64)> {
        let known = &self.about()?.accepted;
        let accepted = known.iter().find(|accepted| accepted.point == point)?;
        Some((axis.pick(accepted.direction_arcmin), accepted.u_arcmin))
    }
}

fn findings(point: CheckPoint, axis: Axis, day: &ChartedDay) -> Vec<BrokenLimit> {
    let Some(limits) = &day.limits else { return Vec::new() };
    let up_to = |high: f64| ControlLimits { low: 0.0, centre: 0.0, high };
    let comparable = limits.scatter.filter(|(_, each)| *each == day.readings.len());
    [
        (LimitRule::Value, Some(day.value), Some(limits.value)),
        (LimitRule::Step, day.step.map(f64::abs), Some(up_to(limits.step.high))),
        (LimitRule::Average, day.average, Some(limits.average)),
        (LimitRule::Scatter, day.deviation, comparable.map(|(limit, _)| up_to(limit))),
        (LimitRule::Accepted, Some(day.value), limits.accepted),
    ]
    .into_iter()
    .filter_map(|(rule, found, limits)| {
        let (found, limits) = (found?, limits?);
        let next = day.limits.as_ref().map(|held| (held.days, held.next));
        let may_be_chance = next.filter(|(_, next)| rule == LimitRule::Value && next.hold(found));
        let finding = BrokenLimit { point, axis, rule, found, limits, may_be_chance };
        (!limits.hold(found)).then_some(finding)
    })
    .collect()
}
