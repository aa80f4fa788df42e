//! What to aim off for before the locks are tightened, told from the last sessions of a shop.
//!
//! Advice is given where the shop's own test shows that tightening turns a ring
//! ([`survey::locks`](super::survey::locks)): the first visit of each unit, Student's t, corrected by Holm
//! for every housing and side that was looked at, whichever of them is on the bench.

use std::collections::HashSet;
use std::path::Path;

use jiff::civil::Date;
use solver::angle::{rounded_deg, turn_deg};
use solver::{Channel, PerChannel};

use super::Shop;
use super::survey::COVERAGE;
use super::survey::doubles::VisitOf;
use super::survey::locks::{LockTurns, Tightened, tested};
use crate::error::Error;
use crate::fact::SessionKind;
use crate::figures::{bearing, counted_s, number, step_decimals, turn};
use crate::file::{Disk, End};
use crate::fold::Session;
use crate::linked::Link;
use crate::lock_shift::turned_by_locks_deg;

/// What a shop's last sessions tell of one housing's locks.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LockAdvice {
    /// Each side as far as it is known; `None` where no unit was read before and after tightening.
    pub turns: PerChannel<Option<LockTurns>>,
}

/// One session's part in it.
struct LockSeen {
    unit: String,
    housing: String,
    day: Option<Date>,
    turned_deg: PerChannel<Option<f64>>,
}

impl LockSeen {
    fn of(session: &Session) -> Self {
        let unit = session.unit();
        let housing = session.housing().map(|housing| &housing.name);
        let last = session.rounds.iter().rev().find_map(|round| round.in_use().next_back());
        Self {
            unit: unit.map(|unit| unit.name.clone()).unwrap_or_default(),
            housing: housing.or(unit.map(|unit| &unit.housing)).cloned().unwrap_or_default(),
            day: last.map(|entry| entry.time.date()),
            turned_deg: turned_by_locks_deg(session),
        }
    }
}

impl Shop {
    /// What the locks of a housing type did to their rings, told from the shop's last sessions but the one
    /// at `except`. Practice, blind checks, files whose end is damaged or missing and sessions that go
    /// on in another file are left out. Reads files: not for the window's thread.
    ///
    /// # Errors
    /// As [`sessions_of`](Self::sessions_of).
    pub fn locks_of(
        &self,
        housing: &str,
        except: &Path,
        disk: &dyn Disk,
    ) -> Result<LockAdvice, Error> {
        let (mut seen, mut continued) = (Vec::new(), HashSet::new());
        for (session, end) in self.last_sessions(except, disk)? {
            let header = session.header.as_ref();
            let before = header.and_then(|header| header.continues.as_ref());
            continued.extend(before.map(|before| before.session.clone()));
            let practice = header.is_some_and(|held| matches!(held.kind, SessionKind::Practice(_)));
            if practice || end != End::Clean || Link::of(&session).is_some() {
                continue;
            }
            let name = header.map(|header| header.session.clone()).unwrap_or_default();
            seen.push((name, LockSeen::of(&session)));
        }
        seen.retain(|(name, _)| !continued.contains(name));
        let tightened = seen.iter().enumerate().map(|(index, (_, one))| {
            let visit = VisitOf { unit: &one.unit, housing: &one.housing, day: one.day };
            Tightened { index, visit, turned_deg: one.turned_deg }
        });
        let mut advice = LockAdvice::default();
        for of in tested(&tightened.collect::<Vec<_>>()) {
            if of.housing == housing {
                let channel = of.channel;
                advice.turns[channel] = Some(of);
            }
        }
        Ok(advice)
    }
}

impl LockAdvice {
    /// It in sentences, one a side, and where to set each ring so that tightening leaves it at its target:
    /// only where a turn is shown. `targets_deg`: ring angles, degrees; `step_deg`: what a ring can be set to,
    /// in which each is told.
    #[must_use]
    pub fn words(&self, targets_deg: &PerChannel<Option<f64>>, step_deg: f64) -> Vec<String> {
        if self.turns == PerChannel::default() {
            return vec![
                "What tightening does to the rings of this housing is not known: 2 units read before and \
                 after it are needed to tell."
                    .to_owned(),
            ];
        }
        let each = Channel::BOTH.into_iter();
        each.map(|channel| self.side(channel, targets_deg[channel], step_deg)).collect()
    }

    fn side(&self, channel: Channel, target_deg: Option<f64>, step_deg: f64) -> String {
        let side = channel.word();
        let Some(of) = &self.turns[channel] else {
            return format!(
                "What tightening does to the {side} ring of this housing is not known: 2 units read before \
                 and after it are needed to tell."
            );
        };
        let units = counted_s(of.points.len(), "unit");
        let mean = turn(of.sample.mean);
        let half = |of: Result<Option<f64>, solver::Error>| of.ok().flatten();
        let (Some(about_mean), Some(next), Some(test)) = (
            half(of.sample.half_width_of_mean(COVERAGE)),
            half(of.sample.half_width_of_next(COVERAGE)),
            of.test_words(),
        ) else {
            let why = if of.points.len() > 1 {
                "all alike to the last digit, which tells nothing"
            } else {
                "of 2 needed to tell"
            };
            return format!(
                "Tightening turned the {side} ring of this housing {mean} in {units} {why}."
            );
        };
        let about_mean = number(about_mean, 1);
        if !of.turns() {
            return format!(
                "It is not shown that tightening turns the {side} ring of this housing: {mean} ± {about_mean}° \
                 in {units} ({test})."
            );
        }
        let to = target_deg.map_or_else(String::new, |target_deg| {
            let exact_deg = target_deg - of.sample.mean;
            let aim_deg = rounded_deg(exact_deg, step_deg);
            let decimals = step_decimals(step_deg);
            let (to, aim) = (bearing(target_deg, decimals), bearing(aim_deg, decimals));
            // What the step leaves is known, and comes on top.
            let within = next + turn_deg(exact_deg, aim_deg).abs();
            if to == aim {
                return format!(
                    " That is less than the ring's step: set it to {to}; it then ends within {}° of that.",
                    number(within, 1)
                );
            }
            format!(
                " To end at {to}, set it to {aim}; it then ends within {}° of {to}.",
                number(within, 1)
            )
        });
        format!(
            "Tightening turns the {side} ring of this housing {mean} ± {about_mean}° ({units}, {test}).{to}"
        )
    }
}
