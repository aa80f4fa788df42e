//! Which stations wander: the middle of both circles' centres in each first round, against time, with a
//! straight line through it.
//!
//! A station whose boresight wanders moves both channels of every unit alike. Units scatter much more
//! than that, so it takes many to see it, and the check standard should have told long before.

use std::collections::BTreeMap;

use jiff::civil::Date;
use solver::stats::compare::holm;
use solver::stats::line::LineFit;

use super::doubles::later_visits_words;
use super::{COVERAGE, SIGNIFICANT, Survey};
use crate::axis::Axis;
use crate::figures::{arcmin, arcmin_fine};

/// Sessions of a station from which its drift is told: common practice, no source.
pub const ENOUGH_SESSIONS: usize = 8;

/// The days a drift is told for.
pub const MONTH_DAYS: f64 = 30.0;

/// One station's zero against time, on one axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Drift {
    /// The station.
    pub station: String,
    /// Which axis.
    pub axis: Axis,
    /// The day that days are counted from: the station's first session.
    pub first_day: Date,
    /// Each unit's first visit: the index of its session, days since the first, the middle of its centres on that axis,
    /// arcminutes.
    pub points: Vec<(usize, f64, f64)>,
    /// Later visits of the same units, which are left out.
    pub later_visits: usize,
    /// The line through them, arcminutes against days; `None` of fewer than [`ENOUGH_SESSIONS`], or
    /// all of one day.
    pub line: Option<LineFit>,
    /// Probability of such a slope if the station stood still, corrected by Holm for all stations
    /// and axes.
    pub corrected_p: Option<f64>,
}

impl Drift {
    /// The drift in 30 days and the half width of its 95 % interval, arcminutes.
    #[must_use]
    pub fn in_a_month_arcmin(&self) -> Option<[f64; 2]> {
        let line = self.line?;
        let half = line.slope_half_width(COVERAGE).ok()?;
        Some([line.slope * MONTH_DAYS, half * MONTH_DAYS])
    }

    /// Whether the station wanders on this axis, as far as 5 % tells.
    #[must_use]
    pub fn wanders(&self) -> bool {
        self.corrected_p.is_some_and(|p| p < SIGNIFICANT)
    }

    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let (station, axis) = (&self.station, self.axis.word());
        match (self.in_a_month_arcmin(), self.corrected_p) {
            (Some([drift, half]), Some(p)) => format!(
                "{station}, {axis}: {} by {} ± {} in 30 days (t-test of the slope, {} sessions, p {} \
                 corrected by Holm).{}",
                if p < SIGNIFICANT { "wanders" } else { "cannot be shown to wander; it moved" },
                arcmin(drift),
                arcmin_fine(half),
                self.points.len(),
                super::differ::p_words(p),
                later_visits_words(self.later_visits)
            ),
            _ => format!(
                "{station}, {axis}: {} of {ENOUGH_SESSIONS} sessions needed to tell.{}",
                self.points.len(),
                later_visits_words(self.later_visits)
            ),
        }
    }
}

impl Survey {
    /// Each named station's zero against time, by name, x before y.
    #[must_use]
    pub fn drift(&self) -> Vec<Drift> {
        let mut named: BTreeMap<&str, Vec<(usize, Zero)>> = BTreeMap::new();
        for (index, session) in self.counted().filter(|(_, session)| !session.station.is_empty()) {
            if let (Some(day), Some(middle)) = (session.day, session.middle()) {
                let value = [middle.x_arcmin, middle.y_arcmin];
                let zero = Zero { session: index, day, value };
                named.entry(&session.station).or_default().push((index, zero));
            }
        }
        let mut found = Vec::new();
        for (station, sessions) in named {
            let (sessions, later_visits) = self.first_visits(sessions);
            let sessions: Vec<Zero> = sessions.into_iter().map(|(_, zero)| zero).collect();
            let Some(first_day) = sessions.iter().map(|zero| zero.day).min() else { continue };
            for axis in Axis::BOTH {
                let points: Vec<(usize, f64, f64)> = sessions
                    .iter()
                    .map(|zero| (zero.session, days(first_day, zero.day), axis.pick(zero.value)))
                    .collect();
                let x: Vec<f64> = points.iter().map(|(_, day, _)| *day).collect();
                let y: Vec<f64> = points.iter().map(|(_, _, value)| *value).collect();
                let enough = points.len() >= ENOUGH_SESSIONS;
                found.push(Drift {
                    station: station.to_owned(),
                    axis,
                    first_day,
                    line: LineFit::through(&x, &y).ok().filter(|_| enough),
                    points,
                    later_visits,
                    corrected_p: None,
                });
            }
        }
        let p = |drift: &Drift| drift.line.and_then(|line| line.slope_is(0.0).ok());
        let tested: Vec<f64> = found.iter().filter_map(p).collect();
        let mut corrected = holm(&tested).unwrap_or_default().into_iter();
        for drift in found.iter_mut().filter(|drift| p(drift).is_some()) {
            drift.corrected_p = corrected.next();
        }
        found
    }
}

/// Where a station's zero seems to lie by one session.
struct Zero {
    session: usize,
    day: Date,
    value: [f64; 2],
}

/// Days from one day to another.
fn days(from: Date, to: Date) -> f64 {
    to.duration_since(from).as_secs_f64() / 86_400.0
}
