//! When a station's zero was outside its limits, and how far off it was.

use std::collections::BTreeMap;

use jiff::civil::Date;
use solver::{Channel, Direction, PerChannel};

use crate::axis::Axis;
use crate::checks::{BASELINE_DAYS, ChartedDay, Checks, LimitRule};
use crate::figures::direction;
use crate::journal::Meaning as _;
use crate::shown;

/// A time in which a station's zero was outside its limits.
///
/// It has at least two check days in a row farther out than the next day of a sound station may lie, or goes
/// on: a single day outside between good ones is what limits at three standard deviations give once in
/// 370 days.
#[derive(Clone, Debug, PartialEq)]
pub struct Spell {
    /// The station.
    pub station: String,
    /// The last check before it that found nothing wrong with the zero; `None` where none did.
    pub last_good: Option<Date>,
    /// The first check day outside.
    pub first_outside: Date,
    /// The last check day outside.
    pub last_outside: Date,
    /// The next check that found nothing wrong with the zero; `None`: there was none.
    pub next_good: Option<Date>,
    /// Why the station was started anew at its end, where it was.
    pub ended_by: Option<String>,
    /// Where the zero was on the check days, by channel, in the calendar's order; those before and after
    /// the spell too.
    zeros: PerChannel<Vec<ZeroAt>>,
}

/// How far off a channel's zero was on a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ZeroAt {
    /// The day.
    pub day: Date,
    /// What the station reads too much, arcminutes.
    pub off: Direction,
    /// Standard uncertainty of that, each axis, arcminutes.
    pub u_arcmin: [f64; 2],
}

impl ZeroAt {
    /// Half widths of the 95 % intervals, x and y, arcminutes.
    #[must_use]
    pub fn half_widths_95_arcmin(&self) -> [f64; 2] {
        self.u_arcmin.map(|u| 1.96 * u)
    }
}

/// A check day of one channel: whether its zero kept its limits, and where it was.
#[derive(Clone, Copy, Default)]
struct Day {
    /// Farther out than the next day of a sound station may lie, or outside the limits of the accepted
    /// value: limits that take a baseline of twelve days for exact are left by chance, several charts at
    /// once.
    outside: bool,
    /// Outside its limits, or drifting by the moving average.
    doubtful: bool,
}

/// What each point of a channel read too much on a day, x and y, and its standard uncertainty, arcminutes.
type Points = Vec<[(f64, f64); 2]>;

/// Every spell of a station's check file, in order; also those before it was started anew.
#[must_use]
pub fn spells(checks: &Checks) -> Vec<Spell> {
    let Some(about) = checks.about() else { return Vec::new() };
    let mut found = Vec::new();
    for (era, reason) in eras(checks) {
        found.extend(of_era(&about.station, &era, reason));
    }
    found
}

/// The file as it was each time before the station was started anew, with the reason, and as it is.
fn eras(checks: &Checks) -> Vec<(Checks, Option<String>)> {
    let mut eras = Vec::new();
    for (index, anew) in checks.anew.iter().enumerate() {
        let mut before = checks.clone();
        before.anew.truncate(index);
        before.readings.retain(|held| held.seq < anew.seq);
        before.limits.retain(|limits| limits.seq < anew.seq);
        eras.push((before, Some(anew.body.clone())));
    }
    eras.push((checks.clone(), None));
    eras
}

fn of_era(station: &str, checks: &Checks, reason: Option<String>) -> Vec<Spell> {
    let mut days: BTreeMap<Date, Day> = BTreeMap::new();
    let mut seen: PerChannel<BTreeMap<Date, Points>> = PerChannel::default();
    for point in checks.points() {
        let [x, y] = Axis::BOTH.map(|axis| {
            let accepted = checks.accepted(point, axis);
            let charted = checks.chart(point, axis).into_iter();
            charted.map(|day| (off(&day, accepted), day)).collect::<Vec<_>>()
        });
        for ((off_x, day_x), (off_y, day_y)) in x.iter().zip(&y) {
            let held = days.entry(day_x.day).or_default();
            for finding in day_x.findings.iter().chain(&day_y.findings) {
                match finding.rule {
                    LimitRule::Value | LimitRule::Accepted => {
                        held.doubtful = true;
                        held.outside |= finding.may_be_chance.is_none();
                    }
                    LimitRule::Average => held.doubtful = true,
                    LimitRule::Step | LimitRule::Scatter => {}
                }
            }
            if let (Some(off_x), Some(off_y)) = (off_x, off_y) {
                let of_day = seen[point.channel].entry(day_x.day).or_default();
                of_day.push([*off_x, *off_y]);
            }
        }
    }
    let zeros = seen.map(|days| {
        let each = days.into_iter();
        each.filter_map(|(day, points)| zero_at(day, &points)).collect::<Vec<_>>()
    });
    runs(&days)
        .into_iter()
        .map(|run| Spell {
            station: station.to_owned(),
            last_good: run.last_good,
            first_outside: run.first_outside,
            last_outside: run.last_outside,
            next_good: run.next_good,
            ended_by: reason.clone().filter(|_| run.next_good.is_none()),
            zeros: zeros.clone(),
        })
        .collect()
}

/// What a day reads too much, and its standard uncertainty: the day's own scatter and how well the
/// reference is known, which is the accepted value or the mean of the baseline's days.
fn off(day: &ChartedDay, accepted: Option<(f64, f64)>) -> Option<(f64, f64)> {
    let limits = day.limits.as_ref()?;
    let of_baseline = (limits.value.centre, limits.sigma / (BASELINE_DAYS as f64).sqrt());
    let (reference, u) = accepted.unwrap_or(of_baseline);
    Some((day.value - reference, limits.sigma.hypot(u)))
}

/// The mean of a channel's points on a day. Their uncertainties are taken as common to all: the day moves
/// them together.
fn zero_at(day: Date, points: &[[(f64, f64); 2]]) -> Option<ZeroAt> {
    let count = points.len() as f64;
    let mean = |pick: fn(&[(f64, f64); 2]) -> f64| points.iter().map(pick).sum::<f64>() / count;
    let off = Direction::new(mean(|point| point[0].0), mean(|point| point[1].0));
    let u_arcmin = [mean(|point| point[0].1), mean(|point| point[1].1)];
    (count > 0.0).then_some(ZeroAt { day, off, u_arcmin })
}

struct SpellRun {
    last_good: Option<Date>,
    first_outside: Date,
    last_outside: Date,
    next_good: Option<Date>,
    in_a_row: usize,
    most_in_a_row: usize,
}

fn runs(days: &BTreeMap<Date, Day>) -> Vec<SpellRun> {
    let (mut found, mut open, mut last_good) = (Vec::new(), None::<SpellRun>, None);
    for (&date, day) in days {
        if !day.doubtful {
            if let Some(mut run) = open.take() {
                run.next_good = Some(date);
                found.push(run);
            }
            last_good = Some(date);
            continue;
        }
        let run = open.get_or_insert(SpellRun {
            last_good,
            first_outside: date,
            last_outside: date,
            next_good: None,
            in_a_row: 0,
            most_in_a_row: 0,
        });
        if day.outside {
            if run.most_in_a_row == 0 {
                run.first_outside = date;
            }
            run.last_outside = date;
            run.in_a_row += 1;
            run.most_in_a_row = run.most_in_a_row.max(run.in_a_row);
        } else {
            run.in_a_row = 0;
        }
    }
    found.extend(open);
    found.retain(|run| run.most_in_a_row >= 2 || (run.next_good.is_none() && run.in_a_row == 1));
    found
}

impl Spell {
    /// Whether what was read on a day was read in it: after the last good check and before the next one.
    /// A check on the day itself counts for the day.
    #[must_use]
    pub fn holds(&self, day: Date) -> bool {
        self.last_good.is_none_or(|last| day > last) && self.next_good.is_none_or(|next| day < next)
    }

    /// Whether it goes on: the last check of the zero was outside, and the station was not started anew.
    #[must_use]
    pub fn goes_on(&self) -> bool {
        self.next_good.is_none() && self.ended_by.is_none()
    }

    /// How far off each channel's zero was on a day, interpolated between the checks on either side; `None`
    /// of a channel without checks. Before the first and after the last it is that one's.
    ///
    /// # Uncertainty
    /// What the checks themselves leave open, and that in between the zero may have been anywhere between
    /// the two: a rectangle of that width (JCGM 100:2008, 4.3.7), whether it drifted or jumped.
    #[must_use]
    pub fn zero_on(&self, day: Date) -> PerChannel<Option<ZeroAt>> {
        PerChannel::from_fn(|channel| interpolated(&self.zeros[channel], day))
    }

    /// Where the zero was by the last check in it.
    fn last_zero(&self) -> Option<Direction> {
        let last = self.zero_on(self.last_outside);
        match (last.left, last.right) {
            (Some(left), Some(right)) => Some(left.off.midpoint(right.off)),
            (one, other) => one.or(other).map(|zero| zero.off),
        }
    }

    /// It in a sentence or two.
    #[must_use]
    pub fn words(&self) -> String {
        let station = shown::one_line(&self.station);
        let lay = if self.goes_on() { "lies" } else { "lay" };
        let until = match (&self.ended_by, self.next_good) {
            (_, Some(next)) => format!(" until the check of {next}"),
            (Some(reason), None) => {
                format!(" until the station was started anew ({})", shown::one_line(reason))
            }
            (None, None) => String::new(),
        };
        let good = self.last_good.map_or_else(
            || "no check before was good".to_owned(),
            |last| format!("the last good check was on {last}"),
        );
        let off = self.last_zero().map_or_else(String::new, |off| {
            format!(" On {} it read {} too much.", self.last_outside, direction(off))
        });
        format!(
            "{station}’s zero {lay} outside its limits since {}{until}; {good}.{off}",
            self.first_outside
        )
    }

    /// The channels whose zero is known.
    #[must_use]
    pub fn knows(&self, channel: Channel) -> bool {
        !self.zeros[channel].is_empty()
    }
}

fn interpolated(zeros: &[ZeroAt], day: Date) -> Option<ZeroAt> {
    let after = zeros.iter().position(|zero| zero.day >= day);
    let (before, next) = match after {
        None => return zeros.last().map(|last| ZeroAt { day, ..*last }),
        Some(index) => (index.checked_sub(1).and_then(|at| zeros.get(at)), zeros.get(index)?),
    };
    let Some(before) = before.filter(|_| next.day > day) else {
        return Some(ZeroAt { day, ..*next });
    };
    let days = |from: Date, to: Date| to.duration_since(from).as_secs_f64();
    let share = days(before.day, day) / days(before.day, next.day);
    let between = next.off - before.off;
    let u = |axis: usize, width: f64| {
        let own = (1.0 - share).powi(2) * before.u_arcmin[axis].powi(2)
            + share.powi(2) * next.u_arcmin[axis].powi(2);
        (own + width * width / 12.0).sqrt()
    };
    Some(ZeroAt {
        day,
        off: before.off + between * share,
        u_arcmin: [u(0, between.x_arcmin), u(1, between.y_arcmin)],
    })
}
